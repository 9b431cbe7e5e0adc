"""Getting about on the screens: seeing what is there, touching on where a scenario is silent."""

from collections.abc import Callable
from pathlib import Path

from kiosk.core import commands as c
from kiosk.core.agenda import Step
from kiosk.core.bench import TRAY, Trip
from kiosk.core.decide.checking import pace_ms
from kiosk.core.glance import way
from kiosk.core.views import (
    AskView,
    DecisionView,
    DoneView,
    OverviewView,
    PrintView,
    StepsView,
    View,
)
from kiosk.devices.clock import HandClock
from kiosk.rehearsal.camera import Camera
from kiosk.rehearsal.fingers import Fingers
from kiosk.rehearsal.scenario import Scenario
from kiosk.rehearsal.stage import MakeStage
from kiosk.rehearsal.world import World

LABEL_MINUTES = 4
"""Wet time that the person types from the label where the scenario's policy has none."""

STEPS_AT_MOST = 400
"""Touches without getting anywhere before a play is given up."""


class PlayFault(Exception):
    """The play cannot go on: the screen is not where the scenario wants it."""


class Walker:
    """A person at the bench of one scenario."""

    def __init__(
        self,
        scenario: Scenario,
        world: World,
        make_stage: MakeStage,
        *,
        out: Path,
        size: tuple[int, int],
        pictures: bool,
        slow_ms: int = 0,
    ) -> None:
        self.scenario, self.world, self.out = scenario, world, out
        self.clock = HandClock(at_ms=world.at_ms, offset_min=60)
        self.stage = make_stage(world, self.clock, out, size)
        self.fingers = Fingers(lambda: self.stage.kiosk.window, self.clock, slow_ms=slow_ms)
        self.camera = Camera(out / "screens" if pictures else None, self.clock)
        self.papers_seen = 0

    @property
    def step(self) -> Step:
        """The bench's next step."""
        return self.stage.kiosk.session.glance().step

    def view(self) -> View:
        """What the screen shows; a picture of it is taken when it is new."""
        self.fingers.settle()
        view = self.stage.kiosk.session.view()
        self.camera.see(self.stage.kiosk.window, view)
        return view

    @property
    def trip(self) -> Trip:
        """The trip on the bench."""
        trip = self.stage.kiosk.session.bench.trip
        if trip is None:
            raise PlayFault("no tray is open")
        return trip

    def scan(self, text: str) -> None:
        """Read a code with the scanner."""
        self.clock.advance(1500)
        self.stage.kiosk.scanned(text)
        self.view()

    def walk(self, there: Callable[[View, Step], bool], what: str) -> View:
        """Touch on, as the screen asks, until `there` holds. Raises PlayFault where only the scenario can say."""
        for _ in range(STEPS_AT_MOST):
            view = self.view()
            if there(view, self.step):
                return view
            self._onward(view, what)
        raise PlayFault(f"{what}: the screens go round in a circle at {type(view).__name__} {view.title!r}")

    def _onward(self, view: View, what: str) -> None:
        step = self.step
        match view:
            case OverviewView():
                self.fingers.send(next(key for key in view.hand.right if key.kind == "main").send)
            case AskView() if step.kind in {"startup", "readable"} or step.piece == TRAY:
                self.yes(view)
            case StepsView() if step.kind != "put_right":
                self.steps(view)
            case DecisionView(main=key) if key is not None and isinstance(key.send, c.Confirm):
                self.fingers.send(key.send)
            case PrintView(main=None):
                self.wait_for_papers()
            case DoneView():
                self.fingers.send(view.main.send)
            case _:
                where = f"{type(view).__name__} {view.title!r} ({step.kind} {step.piece}) {view.notice}"
                raise PlayFault(f"{what}: the scenario does not say what to do at {where}")

    def steps(self, view: StepsView) -> None:
        """Do the step on the screen; a label time that is wanted is typed, one that runs is waited for."""
        if isinstance(view.main.send, c.Turn) and view.main.send.subject == "minutes":
            self.fingers.send(view.main.send)
            self.fingers.type(str(LABEL_MINUTES))
            self.fingers.named("done")
            return
        if view.timer_ms:
            self.clock.set_to(view.since_ms + view.timer_ms + 1000)
            self.stage.kiosk.window.show_view(view)
        self.fingers.send(view.main.send)

    def yes(self, view: AskView) -> None:
        """YES, after looking as long as the lumen needs."""
        step = self.step
        if step.check is not None and step.piece in self.trip.pieces:
            lumen = way(self.trip.pieces[step.piece].item, step.check.lumen)
            length = lumen.length_mm if lumen else None
            self.clock.advance(pace_ms(self.world.policy, length) + 500)
        self.fingers.send(view.yes.send)
        self.view()

    def wait_for_papers(self) -> None:
        """Wait for the printer."""
        while self.stage.kiosk.busy():
            self.fingers.settle()
        self.fingers.settle()
