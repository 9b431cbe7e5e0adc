"""The pages of the trial: every sample page of the bench and of decontam, in the window of a panel."""

from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path

from PySide6.QtCore import QCoreApplication, QEvent

from kiosk.core.views import View
from kiosk.ui.parts.glass import dirty_glass, new_glass
from kiosk.ui.theme import BENCH
from kiosk.ui.window import Window
from tests.touch_trial.hand import ONE_GLOVE, TWO_WET, Glove
from tests.ui.samples import PANELS, Clock
from tests.ui.screens import asking_views, doing_views, intake_views

WALL_MS = 1_102_000
"""Wall clock of the sample pages: 102 s after what they say has begun."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Station:
    """A side of the department on one panel, with the hand that works there."""

    name: str
    panel: str
    glove: Glove
    dirty: bool = False


STATIONS = (
    Station(name="bench, 15.6 in", panel="15.6 in", glove=ONE_GLOVE),
    Station(name="bench, 10.1 in", panel="10.1 in", glove=ONE_GLOVE),
    Station(name="decontam, 15.6 in", panel="15.6 in", glove=TWO_WET, dirty=True),
    Station(name="decontam, 10.1 in", panel="10.1 in", glove=TWO_WET, dirty=True),
)


@contextmanager
def stood_up(station: Station, clock: Clock) -> Iterator[Window]:
    """The window of a station."""
    size, density = PANELS[station.panel]
    make = dirty_glass if station.dirty else new_glass
    window = Window(make(size, density, BENCH, clock), wall_ms=_wall, clock_text=_noon)
    window.clock_timer.stop()
    window.set_pictures(_no_pictures)
    window.set_kept(Path)
    window.show()
    yield window
    window.close()
    window.deleteLater()
    QCoreApplication.sendPostedEvents(window, QEvent.Type.DeferredDelete)


def pages(station: Station, window: Window) -> dict[str, View]:
    """Its sample pages by name; those of the wiping, where nothing takes a touch, are among them."""
    if station.dirty:
        return intake_views.every(small=window.small)
    asked = {f"ask_{name}": case.view(window.small, False) for name, case in asking_views.CASES.items()}
    return asked | doing_views.every(small=window.small)


def _wall() -> int:
    return WALL_MS


def _noon() -> str:
    return "14:07"


def _no_pictures() -> tuple[Path, ...]:
    return ()
