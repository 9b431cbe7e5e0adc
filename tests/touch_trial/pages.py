"""The pages of the trial: every sample page of the bench and of decontam, in the window of a panel."""

from contextlib import AbstractContextManager
from dataclasses import dataclass

from kiosk.core.views import View
from kiosk.ui.window import Window
from tests.touch_trial.hand import ONE_GLOVE, TWO_WET, Glove
from tests.ui.samples import Clock
from tests.ui.screens import asking_views, doing_views, intake_views
from tests.ui.screens.every_page import stood_up as panel_stood_up


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


def stood_up(station: Station, clock: Clock) -> AbstractContextManager[Window]:
    """The window of a station."""
    return panel_stood_up(station.panel, dirty=station.dirty, clock=clock)


def pages(station: Station, window: Window) -> dict[str, View]:
    """Its sample pages by name; those of the wiping, where nothing takes a touch, are among them."""
    if station.dirty:
        return intake_views.every(small=window.small)
    asked = {f"ask_{name}": case.view(window.small, False) for name, case in asking_views.CASES.items()}
    return asked | doing_views.every(small=window.small)
