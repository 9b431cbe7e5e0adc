"""Getting about on the screens: seeing what is there, touching on where a scenario is silent."""

from collections.abc import Callable, Mapping
from pathlib import Path
from time import perf_counter
from typing import Any

from kiosk.core import commands as c
from kiosk.core.agenda import Step
from kiosk.core.decide.happened import MAY_FALL
from kiosk.core.glance import way
from kiosk.core.pace import pace_ms
from kiosk.core.stamp import Kept
from kiosk.core.state.bench import Bench
from kiosk.core.state.piece import TRAY
from kiosk.core.state.trip import Trip
from kiosk.core.views import (
    AskView,
    CountView,
    DecisionView,
    DoneView,
    Key,
    MenuView,
    OverviewView,
    PinView,
    PrintView,
    SignInView,
    StepsView,
    View,
)
from kiosk.core.vocabulary import Role
from kiosk.devices.clock import HandClock
from kiosk.rehearsal.budget import Moment, Touch
from kiosk.rehearsal.camera import Camera
from kiosk.rehearsal.fingers import Fingers
from kiosk.rehearsal.scenario import Scenario
from kiosk.rehearsal.stage import MakeStage, Stage
from kiosk.rehearsal.stations import DECONTAM, FIRST, folders_of, raise_stages, stations_of
from kiosk.rehearsal.told import tell_numbers
from kiosk.rehearsal.world import PIN, World, at_ms

LABEL_MINUTES = 4
"""Wet time that the person types from the label where the scenario's policy has none."""

STEPS_AT_MOST = 400
"""Touches without getting anywhere before a play is given up."""


class PlayFault(Exception):
    """The play cannot go on: the screen is not where the scenario wants it."""


class Walker:
    """The people of one scenario, at its stations; `at` is the station where the last one stands."""

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
        names = stations_of(scenario, world)
        if "told" in scenario.given:
            world = tell_numbers(scenario, world, folders_of(names, out))
        self.scenario, self.world, self.out = scenario, world, out
        self.clock = HandClock(at_ms=begins_at(scenario, world), offset_min=60)
        self.stages = raise_stages(names, make_stage, world, self.clock, out, size)
        self.at = self.bench_at = FIRST
        self.who, self.day = "", world.day
        self.benches: dict[str, str] = {}  # person -> the bench where they signed in last
        self.touches: list[Touch] = []
        self.fingers = Fingers(lambda: self.stage.kiosk.window, self.clock, slow_ms=slow_ms, around=self._seen)
        self.camera = Camera(out / "screens" if pictures else None, self.clock)
        self.kept_before: dict[str, int] = {}
        self.papers_before: frozenset[Path] = frozenset()
        self.hurt: Mapping[str, Any] = {}  # the splash or sharp being cleared up

    def step_up(self, action: Mapping[str, Any]) -> None:
        """Who acts, and at which station: the one named, decontam's for its people, else where they signed in."""
        self.who = str(action.get("who", self.who))
        known = self.world.catalogue.people.get(self.who)
        if "bench" in action:
            self.at = str(action["bench"])
        elif known is not None and known.role is Role.DECONTAM and DECONTAM in self.stages:
            self.at = DECONTAM
        elif "who" in action:
            self.at = self.benches.get(self.who, self.bench_at)
        self.bench_at = self.bench_at if self.at == DECONTAM else self.at
        if action["do"] == "sign_in":
            self.benches[self.who] = self.at

    def mark(self) -> None:
        """It is `now`: only what comes from here on is compared."""
        self.listen()
        self.kept_before = {name: len(log) for name, log in self.logs().items()}
        self.papers_before = frozenset(self.papers())
        self.camera.shown.clear()
        self.camera.glass.clear()
        self.touches.clear()

    def logs(self) -> dict[str, list[Kept]]:
        """What each station kept."""
        return {name: list(stage.kiosk.store.read()) for name, stage in self.stages.items()}

    def papers(self) -> list[Path]:
        """Every paper that came out, in no order."""
        return [path for stage in self.stages.values() for path in stage.papers.glob("*.pdf")]

    def close(self) -> None:
        """The play is over."""
        for stage in self.stages.values():
            stage.close()

    @property
    def stage(self) -> Stage:
        """The station where the last person stands."""
        return self.stages[self.at]

    @property
    def step(self) -> Step:
        """The bench's next step."""
        return self.stage.kiosk.session.glance().step

    def view(self) -> View:
        """What the screen shows; a picture of it is taken when it is new."""
        self.fingers.settle()
        self.listen()
        view = self.stage.kiosk.session.view()
        self.camera.see(self.stage.kiosk.window, view)
        return view

    def listen(self) -> None:
        """Every station hears what the others kept."""
        for stage in self.stages.values():
            stage.kiosk.listen()

    @property
    def bench(self) -> Bench:
        """The station as it stands."""
        return self.stage.kiosk.session.bench

    @property
    def trip(self) -> Trip:
        """The trip on the bench."""
        trip = self.stage.kiosk.session.bench.trip
        if trip is None:
            raise PlayFault("no tray is open")
        return trip

    def scan(self, text: str) -> None:
        """Read a code with the scanner."""
        self.listen()
        self.clock.advance(1500)
        self._seen(text, lambda: self.stage.kiosk.scanned(text), scan=True)
        self.view()

    def _seen(self, send: object, act: Callable[[], None], *, scan: bool = False) -> None:
        """Do one touch or scan, and note where it was made, what was kept by it and how long the program took."""
        kiosk = self.stage.kiosk
        step, page = self.step, type(kiosk.session.view()).__name__
        before = kiosk.store.log.head().seq
        began = perf_counter()
        act()
        seconds = perf_counter() - began
        lumen = step.check.lumen if step.check else ""
        self.touches.append(
            Touch(
                at=Moment(page=page, step=step.kind, piece=step.piece, lumen=lumen or ""),
                send=send,
                kept=tuple(kept.event for kept in kiosk.store.log.read(before)),
                seconds=seconds,
                scan=scan,
            )
        )

    def walk(self, there: Callable[[View, Step], bool], what: str) -> View:
        """Touch on, as the screen asks, until `there` holds. Raises PlayFault where only the scenario can say."""
        for _ in range(STEPS_AT_MOST):
            view = self.view()
            if there(view, self.step):
                return view
            self._onward(view, what)
        raise PlayFault(f"{what}: the screens go round in a circle at {type(view).__name__} {view.title!r}")

    def happened(self, send: c.Send) -> None:
        """Stop here, something happened, and the key that says what."""
        self.walk(lambda _, step: step.kind in MAY_FALL, "event")
        for press in (c.Turn(page=c.Page.STOP), c.Turn(page=c.Page.HAPPENED), send):
            self.fingers.send(press)
            self.view()

    def ruling(self, who: str) -> None:
        """A supervisor signs in for a ruling, by the key of whatever page has one."""
        ruled = c.Turn(page=c.Page.NAMES, subject="ruling:")
        ways = (ruled, c.Turn(page=c.Page.HAPPENED), c.Turn(page=c.Page.STOP))  # the nearest first
        for _ in ways:
            view = self.walk(lambda view, _: _may_rule(view, ways), "ruling")
            way = next(way for way in ways if any(key.send == way for key in keys(view)))
            self.fingers.send(way)
            if way == ruled:
                break
            self.view()
        self.view()
        self.scan(who)
        self.type_pin()
        self.view()

    def _onward(self, view: View, what: str) -> None:
        step = self.step
        match view:
            case OverviewView():
                self.fingers.send(next(key for key in view.hand.right if key.kind == "main").send)
            case AskView() if step.kind in {"startup", "readable"} or step.piece == TRAY:
                self.yes(view)
            case MenuView() if step.kind == "whose":
                self.fingers.named("nobody knows")
            case StepsView() if step.kind != "put_right":
                self.steps(view)
            case DecisionView(main=key) if key is not None and isinstance(key.send, c.Confirm):
                self.fingers.send(key.send)
            case PrintView(main=None):
                self.wait_for_papers()
            case SignInView() if self.stage.kiosk.session.turn is not None:
                self.fingers.send(c.Turn())  # nobody else is here
            case CountView():
                self.fingers.named("count all")  # the scenario is silent about the count
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

    def type_pin(self) -> None:
        """The PIN of whoever's badge was scanned."""
        view = self.view()
        if not isinstance(view, PinView):
            raise PlayFault(f"no PIN is asked for, but {view.title!r}")
        self.fingers.type(PIN)
        if isinstance(self.view(), PinView):
            self.fingers.named("done")

    def do_sign_out(self, action: Mapping[str, Any]) -> None:
        """Leave the station; a tray that lies there keeps its place."""
        if self.stage.kiosk.session.bench.who is None:
            return
        self.view()
        if not any(button.payload == c.SignOut() for button in self.fingers.buttons()):
            self.fingers.send(c.Turn(page=c.Page.STOP))
            self.fingers.send(c.StopHere(reason="end_of_shift"))
        else:
            self.fingers.send(c.SignOut())
        self.view()

    def wait_for_papers(self) -> None:
        """Wait for the printers."""
        while any(stage.kiosk.busy() for stage in self.stages.values()):
            self.fingers.settle()
        self.fingers.settle()


def begins_at(scenario: Scenario, world: World) -> int:
    """When the play begins, Unix milliseconds: at the first thing done before `now`, else at `now`."""
    before = scenario.given.get("before", ())
    if not before:
        return world.at_ms
    first = before[0]
    return min(world.at_ms, at_ms(f"{first.get('day', world.day)} {first['t']}"))


def _may_rule(view: View, ways: tuple[c.Turn, ...]) -> bool:
    """Does this page lead to a ruling? What is said back first gets its own key: only what waits is ruled on."""
    main = view.main if isinstance(view, DecisionView) else None
    decided = main is None or not isinstance(main.send, c.Confirm)
    return any(key.send in (ways if decided else ways[:1]) for key in keys(view))


def keys(view: View) -> list[Key]:
    """The keys of a page, and those of its rail."""
    keys = [getattr(view, "main", None), *getattr(view, "others", ()), *getattr(view, "keys", ())]
    return [key for key in (*keys, *view.hand.left, *view.hand.right) if isinstance(key, Key)]
