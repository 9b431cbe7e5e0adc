"""What holds for every test: off screen, our own fonts, no network, no unexpected log line, the same examples."""

import gc
import logging
import os
import sys
from collections.abc import Iterator

os.environ.setdefault("QT_QPA_PLATFORM", "offscreen")

import hypothesis
import pytest
from PySide6.QtGui import QFontDatabase
from PySide6.QtWidgets import QApplication

from kiosk.app.tidy import collect_due
from kiosk.places import RESOURCES
from tests.cost import CHEAP, REAL, charge

charge(*CHEAP)

hypothesis.settings.register_profile("same", deadline=None, derandomize=True, database=None)
hypothesis.settings.register_profile("wide", deadline=None, max_examples=2000)  # --hypothesis-profile=wide
hypothesis.settings.load_profile("same")


def _stay_on_this_machine(event: str, args: tuple[object, ...]) -> None:
    if event != "socket.connect" or not isinstance(args[1], tuple):
        return
    host = str(args[1][0])
    if not host.startswith("127.") and host not in ("::1", "localhost"):
        raise RuntimeError(f"a test may not reach {host}: no network in tests")


sys.addaudithook(_stay_on_this_machine)


@pytest.hookimpl(trylast=True)
def pytest_collection_modifyitems(items: list[pytest.Item]) -> None:
    """Files with long tests first: begun last, one of them would keep a single core at work at the end."""
    long = {item.path for item in items if item.get_closest_marker("slow")}
    items.sort(key=lambda item: item.path not in long)


@pytest.fixture(scope="session")
def qapp(qapp: QApplication) -> QApplication:
    """The one application, with the shipped fonts: without them a bare machine draws boxes for letters."""
    for path in sorted((RESOURCES / "fonts").glob("*.ttf")):
        assert QFontDatabase.addApplicationFont(str(path)) >= 0, path
    return qapp


_QT_LEFT = pytest.StashKey[bool]()


@pytest.fixture(autouse=True)
def qt_is_tidied_on_the_main_thread(request: pytest.FixtureRequest) -> Iterator[None]:
    """As the kiosk does: a window with timers that another thread tidied up is a crash some tests later."""
    stash = request.config.stash
    if "qapp" not in request.fixturenames:
        if stash.get(_QT_LEFT, False):
            gc.collect()
            gc.enable()
            stash[_QT_LEFT] = False
        yield
        return
    stash[_QT_LEFT] = True
    gc.disable()
    yield
    collect_due()


@pytest.fixture
def real_pins() -> Iterator[None]:
    """PINs cost what they cost in the product."""
    charge(*REAL)
    yield
    charge(*CHEAP)


class _Lines(logging.Handler):
    def __init__(self) -> None:
        super().__init__(logging.WARNING)
        self.lines: list[str] = []

    def emit(self, record: logging.LogRecord) -> None:
        self.lines.append(f"{record.levelname} {record.name}: {record.getMessage()}")


@pytest.fixture(autouse=True)
def log_lines(request: pytest.FixtureRequest) -> Iterator[list[str]]:
    """Fail on a log line at WARNING or above, unless `@pytest.mark.expect_log("text in it")` announced it."""
    texts = [str(text) for mark in request.node.iter_markers("expect_log") for text in mark.args]
    handler = _Lines()
    logging.getLogger().addHandler(handler)
    yield handler.lines
    logging.getLogger().removeHandler(handler)
    unexpected = [line for line in handler.lines if not any(text in line for text in texts)]
    absent = [text for text in texts if not any(text in line for line in handler.lines)]
    assert not unexpected, f"unexpected log lines: {unexpected}"
    assert not absent, f"log lines that did not come: {absent}"
