"""The frozen program starts without this checkout, walks a tray on a real X server, and prints to a real queue.

Against the outside: an X server (Xvfb) with the touches of a mouse (XTest, by xdotool), a print server (CUPS), the
dynamic linker, and PyInstaller's own frozen empty window for the size.
"""

import json
import os
import shutil
import subprocess
import time
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

import pytest

from tests.packaging import walked
from tests.packaging.print_server import QUEUE, own_print_server

ROOT = Path(__file__).resolve().parents[2]
DIST = ROOT / "build" / "frozen" / "dist"
PROGRAM = DIST / "throughlight" / "throughlight"
DEMO = DIST / "throughlight" / "_internal" / "kiosk" / "shipped" / "resources" / "demo"
PIN = "604721"
"""Of P-24: resources/demo/README.md."""
ABSENT = [n for n in ("Xvfb", "xdotool", "cupsd") if shutil.which(n, path=f"{os.environ['PATH']}:/usr/sbin") is None]

pytestmark = [
    pytest.mark.slow,
    pytest.mark.timeout(1200),
    pytest.mark.skipif(
        not os.environ.get("THROUGHLIGHT_INSTALL"),
        reason="freezing takes minutes and Python's packages: THROUGHLIGHT_INSTALL=1 runs it",
    ),
]


@pytest.fixture(scope="module")
def frozen() -> Path:
    """The program of this checkout, frozen anew."""
    made = subprocess.run(["bash", "packaging/frozen"], cwd=ROOT, capture_output=True, text=True, check=False)
    assert made.returncode == 0, made.stdout + made.stderr
    return PROGRAM


@pytest.fixture
def machine(tmp_path: Path) -> dict[str, str]:
    """An environment that knows nothing of this checkout."""
    return {"PATH": "/usr/bin:/bin", "HOME": str(tmp_path), "LANG": "C.UTF-8"}


def _run(frozen: Path, machine: dict[str, str], *words: str | Path) -> str:
    done = subprocess.run(
        [frozen, *words], env=machine, cwd="/", capture_output=True, text=True, check=False, timeout=300
    )
    assert done.returncode == 0, done.stdout + done.stderr
    return done.stdout


def test_a_frozen_program_plays_the_demo_tray_off_screen_and_makes_its_papers(
    frozen: Path, machine: dict[str, str], tmp_path: Path
) -> None:
    assert "holds" in _run(frozen, machine, "play", "--demo", "--out", tmp_path / "out")
    papers = list((tmp_path / "out").rglob("*.pdf"))
    assert len(papers) == 3
    assert all(paper.read_bytes().startswith(b"%PDF-") for paper in papers)


def test_a_frozen_program_has_its_statistics(frozen: Path, machine: dict[str, str]) -> None:
    """Against a published example: 81 of 263, limits of Wilson's method 0.2553 to 0.3662 (Newcombe 1998, table I)."""
    rate = json.loads(_run(frozen, machine, "rate", "81", "263", "--json"))
    assert rate["wilson"] == pytest.approx([0.2553, 0.3662], abs=5e-5)


def test_nothing_is_carried_that_the_program_never_loads(frozen: Path) -> None:
    names = {path.name for path in frozen.parent.rglob("*.so*")}
    unused = ("Qt6WebEngine", "Qt63D", "Qt6Designer", "Qt6Pdf", "Qt6Charts", "Qt6Svg", "Qt6VirtualKeyboard", "Qt6Sql")
    assert [name for name in names if any(word in name for word in unused)] == []
    assert {"libqxcb.so", "libqwayland-generic.so", "libqoffscreen.so", "libffmpegmediaplugin.so"} <= names


@contextmanager
def _screen() -> Iterator[str]:
    """An X server of the test's own; its display."""
    reading, writing = os.pipe()
    command = ["Xvfb", "-displayfd", str(writing), "-screen", "0", "1920x1080x24", "-nolisten", "tcp", "-ac"]
    server = subprocess.Popen(command, pass_fds=[writing], stderr=subprocess.DEVNULL)
    os.close(writing)
    with os.fdopen(reading) as told:
        display = f":{told.readline().strip()}"
    try:
        yield display
    finally:
        server.terminate()
        server.wait(10)


@pytest.mark.skipif(bool(ABSENT), reason=f"needs {', '.join(ABSENT)}; packaging/setup.sh installs it")
def test_a_frozen_program_walks_a_tray_and_prints(
    frozen: Path, machine: dict[str, str], qapp: object, tmp_path: Path
) -> None:
    hand = walked.walk(Path(__file__).with_name("one_tray.yaml"), tmp_path / "hand")
    assert hand.missed == []
    store = tmp_path / "bench"
    _run(frozen, machine, "catalogue", "load", DEMO, "--store", store)
    with own_print_server() as printer, _screen() as display:
        own = {**machine, "DISPLAY": display, "QT_QPA_PLATFORM": "xcb", "CUPS_SERVER": "127.0.0.1:631"}
        command = [str(frozen), "--demo", "--store", str(store), "--printer", QUEUE]
        with (tmp_path / "log").open("wb") as log:
            kiosk = subprocess.Popen(command, env=own, stdout=log, stderr=log)
        try:
            _hand(hand.deeds, own)
            end = time.monotonic() + 30
            while len(printer.jobs) < 2 and time.monotonic() < end:
                time.sleep(0.1)
        finally:
            kiosk.terminate()
            assert kiosk.wait(30) == 0, (tmp_path / "log").read_text()
    assert [job[:5] for job in printer.jobs] == [b"%PDF-"] * 2
    assert walked.names_in(store) == hand.events


def _hand(deeds: list[walked.Deed], own: dict[str, str]) -> None:
    """Do with a mouse and a keyboard what a hand did on the stage."""
    time.sleep(8)
    deeds = walked.with_pin(deeds, PIN)
    for before, deed in zip([deeds[0], *deeds], deeds, strict=False):
        time.sleep((deed.at_ms - before.at_ms) / 1000)
        if deed.touch:
            words = ["mousemove", *map(str, deed.touch), "mousedown", "1", "sleep", "0.09", "mouseup", "1"]
        else:
            words = ["type", "--delay", "8", f"{deed.scan}\n"]
        subprocess.run(["xdotool", *words], env=own, check=True, timeout=30)
