"""Every sample page of bench and decontam in one window of a panel, one after the other, its guard time over."""

from collections.abc import Iterator, Mapping
from contextlib import contextmanager
from dataclasses import replace
from pathlib import Path
from types import ModuleType

from PySide6.QtCore import QCoreApplication, QEvent

from kiosk.core.settings import Settings
from kiosk.core.views import View
from kiosk.ui.parts.glass import dirty_glass, new_glass
from kiosk.ui.screens.screen import Screen
from kiosk.ui.theme import BENCH
from kiosk.ui.window import Window
from tests.ui.samples import PANELS, Clock
from tests.ui.screens import asking_views, doing_views, intake_views
from tests.ui.screens.rails import SINCE, Wall

USUAL: Mapping[str, ModuleType] = {"asking_views": asking_views, "doing_views": doing_views}


@contextmanager
def stood_up(
    panel: str, *, dirty: bool = False, mirrored: bool = False, clock: Clock | None = None
) -> Iterator[Window]:
    """A window of the panel; `dirty`: decontam's; `clock`: what its guard measures by."""
    size, density = PANELS[panel]
    glass = replace((dirty_glass if dirty else new_glass)(size, density, BENCH, clock or Clock()), mirrored=mirrored)
    window = Window(glass, wall_ms=Wall(SINCE + 102_000), clock_text=_time)
    window.clock_timer.stop()
    window.set_pictures(_no_pictures)
    window.set_kept(Path)
    window.show()
    yield window
    window.close()
    window.deleteLater()
    QCoreApplication.sendPostedEvents(window, QEvent.Type.DeferredDelete)


def turned(
    window: Window, *, dirty: bool = False, samples: Mapping[str, ModuleType] = USUAL, own: Settings | None = None
) -> Iterator[tuple[str, View, Screen]]:
    """Name, view and screen of each page; `own` as a person has set the glass."""
    if own is not None:
        window.use(own)
    small, clock = window.small, window.glass.guard.clock
    views: dict[str, View] = {}
    if dirty:
        views |= intake_views.every(small=small)
    else:
        cases = samples["asking_views"].CASES
        views |= {f"ask_{name}": case.view(small, False) for name, case in cases.items()}
        views |= samples["doing_views"].every(small=small)
    assert isinstance(clock, Clock)
    for name, view in views.items():
        window.show_view(view)
        clock.now += 60_000 if name != "ask_check_waiting" else 6_000
        assert window.current is not None
        yield name, view, window.current


def _time() -> str:
    return "14:07"


def _no_pictures() -> tuple[Path, ...]:
    return ()
