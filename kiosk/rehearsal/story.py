"""Thirty days of the demo department, played through the real rules by seed and kept as a bench keeps its days.

Nothing is written that the rules would refuse. No pictures are taken, and papers leave for the paper tray unmade.
"""

from collections.abc import Callable
from dataclasses import replace
from datetime import date
from pathlib import Path
from random import Random
from typing import Any

from kiosk import __version__, resources
from kiosk.core import commands as c
from kiosk.core.agenda import Step
from kiosk.core.catalogue import Catalogue
from kiosk.core.desk import Desk
from kiosk.core.meaning import Kind, Meaning
from kiosk.core.plan import PlannedCheck
from kiosk.core.session import Session
from kiosk.core.stamp import Kept
from kiosk.core.state.bench import Bench
from kiosk.core.state.trip import Trip
from kiosk.core.together.returns import may_come_back, spent_loads
from kiosk.core.vocabulary import Check
from kiosk.devices.clock import HandClock
from kiosk.lumen.planner import plan_tray
from kiosk.lumen.share import tray_share
from kiosk.rehearsal.hands import Hands, StoryFault, Visit
from kiosk.rehearsal.month import PIN, TOLD_PINS, Month, Watch, held_by_plan, in_the_story, mishaps, read_month
from kiosk.store.bench_store import BenchStore

__all__ = ["StoryFault", "tell"]

_ASKED = frozenset({"check", "finding"})


def tell(
    folder: Path,
    *,
    bench_number: int,
    days: int = 30,
    until: date,
    seed: int,
    progress: Callable[[int, int], None] | None = None,
    offset_min: int = 0,
) -> None:
    """Play the `days` days before `until` at one bench of the demo department into the empty store in `folder`.

    `progress` is told (days done, days). `offset_min`: local time is UTC plus this. Raises StoryFault, Outage.
    """
    month = read_month(bench_number, days=days, until=until, seed=seed, offset_min=offset_min)
    store = BenchStore(folder, month.bench)
    try:
        if store.log.head().seq:
            raise StoryFault("this bench has a history already")
        teller = Teller(month, store, bench_number)
        done = 0
        for watch in teller.watches:
            if progress and watch.day > done + 1:
                done = watch.day - 1
                progress(done, days)
            teller.play(watch)
            store.snapshot(teller.bench)
        store.rest()
    finally:
        store.close()
    if progress:
        progress(days, days)


class Teller(Hands):
    """Plays the shifts of one bench, a tray after the other, and keeps each tray's events together."""

    def __init__(self, month: Month, store: BenchStore, bench_number: int) -> None:
        self.store = store
        self.watches = tuple(month.watches())
        self.kept: list[Kept] = []
        self.catalogue = in_the_story(month.catalogue)
        self.held = {code for code, tray in self.catalogue.trays.items() if held_by_plan(tray, month)}
        self.once = [dict(once) for once in month.told["once"] if once.get("bench", "B1") == month.bench]
        clock = HandClock(at_ms=0, offset_min=month.offset_min)
        session = Session(
            bench=Bench(),
            desk=_desk(self.catalogue, month, bench_number),
            words=resources.words(),
            clock=clock.now,
            keep=self.kept.extend,
        )
        super().__init__(month, session, clock)

    def play(self, watch: Watch) -> None:
        """One shift."""
        self.watch = watch
        self.rng = Random(f"{self.month.seed}/{self.month.bench}/{watch.day}/{watch.name}")
        self.session.use(replace(self.session.desk, catalogue=replace(self.catalogue, loads=dict(watch.loads))))
        self.clock.set_to(watch.opens_ms + self.rng.randrange(600_000))
        trays = [trip.tray.code for trip in self.bench.trips.values() if self._goes_on(trip)]
        trays += [tray for tray in watch.trays if tray not in trays]
        if watch == self.watches[-1]:
            trays[:0] = sorted(self.held)[self.session.desk.bench_number - 1 :: 2]
        half = (len(trays) + 1) // 2 if len(trays) > 3 else len(trays)
        for bout in (trays[:half], trays[half:]):
            if not bout or self.clock.at_ms > watch.closes_ms - 900_000:
                break
            self._bout(bout)
            self.clock.advance(self.rng.randrange(25 * 60_000, 70 * 60_000))
        self._keep()

    def _goes_on(self, trip: Trip) -> bool:
        """Left at the end of a shift, or held and today somebody comes for it."""
        if trip.ended or trip.tray.code in self.held:
            return False
        return not trip.holds or (not self.closing and self.rng.random() < 0.5)

    def _bout(self, trays: list[str]) -> None:
        """Sign in, walk these trays one after the other, sign out."""
        self.sign_in()
        self._take_in()
        for tray in trays:
            if self.bench.who is None or self.clock.at_ms > self.watch.closes_ms - 600_000:
                break
            if self._comes(tray):
                self.walk(tray)
        if self.bench.who is not None:
            self.send(c.SignOut(), after_s=self.rng.uniform(10, 90))
        self._keep()

    def _take_in(self) -> None:
        """Pieces that decontam sent back meanwhile: their trays go on with them, or they go to the spares."""
        load = next((load.id for load in self.watch.loads.values() if load.released), None)
        for back in may_come_back(self.bench, self.session.desk) if load else ():
            hours = Random(f"{self.month.seed}/{back.number}").uniform(*self.month.told["back_hours"])
            if self.clock.at_ms - back.at_ms > hours * 3_600_000:
                self.send(c.SendBackClean(ticket=back.number, load=load or ""), after_s=30)

    def _comes(self, tray: str) -> bool:
        """Is this tray walked now? One that is held waits for its piece; one that its plan holds comes at the end."""
        going = next((t for t in self.bench.trips.values() if t.tray.code == tray and not t.ended), None)
        if tray in self.held:
            return going is None and self.watch == self.watches[-1]
        if going is None and not self._washed(tray):
            return False
        waited = self.clock.at_ms - going.pause.at_ms > 3_600_000 if going and going.pause else True
        return going is None or (waited and not (going.holds and self.closing))

    def _washed(self, tray: str) -> bool:
        """Has it been in the washer since it went back as a whole, if it did?"""
        spent = spent_loads(self.bench, self.session.desk, tray)
        return not spent or any(tray in load.trays and load.id not in spent for load in self.watch.loads.values())

    def sign_in(self) -> None:
        """Badge and PIN, and the bench start-up where it is due."""
        who = self.watch.who
        self.send(c.Scanned(meaning=Meaning(kind=Kind.PERSON, text=who)), after_s=20)
        self.send(c.EnterPin(person=who, pin=PIN), after_s=self.rng.uniform(3, 9))
        while (step := self.step()).kind == "startup":
            yes = step.question != "tester" or self.rng.random() > 0.02
            self.send(c.AnswerStartup(question=step.question, yes=yes), after_s=self.rng.uniform(4, 25))

    def walk(self, tray: str) -> None:
        """Walk a tray until it is packed, gone back, or set aside."""
        if self.odd("wrong_scan"):
            self.send(
                c.Scanned(meaning=Meaning(kind=Kind.UNKNOWN, text="a supply's own code")),
                after_s=self.rng.uniform(15, 60),
            )
        self._scan(tray, after_s=self.rng.uniform(20, 120))
        self.visit = Visit(reprint=self.odd("label_reprinted"))
        while self.bench.who is not None and (step := self.step()).kind != "scan":
            if step.kind == "check" and not self.visit.answers:
                self._foresee()
            if step.kind in _ASKED and self._happens_now(step):
                continue
            self.do(step)
        self._keep()

    def _scan(self, tray: str, *, after_s: float) -> None:
        self.send(c.Scanned(meaning=Meaning(kind=Kind.TRAY, text=tray)), after_s=after_s)
        turn = self.session.turn
        if turn is not None and turn.page is c.Page.RESUME:
            self.send(c.Confirm(what="covered", subject=turn.subject), after_s=self.rng.uniform(4, 12))

    def _keep(self) -> None:
        self.store.keep(self.kept)
        self.kept.clear()

    def _foresee(self) -> None:
        """Draw what this visit brings, now that its pieces are known."""
        pieces = {p.name: p for p in self.trip.pieces.values() if p.item and p.disposition is None and not p.all_yes}
        plans = {name: piece.plan for name, piece in pieces.items()}
        types = {name: piece.item.type for name, piece in pieces.items() if piece.item}
        self.visit.codes = mishaps(self.rng, self.month, plans, types)
        checks = sum(len(plan.checks) for plan in plans.values()) + 2
        for name in ("corrected_answer", "cant_tell", "paused"):
            if self.odd(name):
                self.visit.events[self.rng.randrange(checks)] = name
        for once in [once for once in self.once if self._due(once)]:
            if self._foresee_once(once, [(name, check) for name, plan in plans.items() for check in plan.checks]):
                self.once.remove(once)

    def _due(self, once: dict[str, Any]) -> bool:
        """On its shift, or on the next that is staffed and has a tray for it."""
        order = list(self.month.policy.shifts)
        here = (self.watch.day, order.index(self.watch.name))
        return here >= (int(once["day"]), order.index(once["shift"]))

    def _foresee_once(self, once: dict[str, Any], checks: list[tuple[str, PlannedCheck]]) -> bool:
        """Bring in what happens once in the month. True when it has been brought in whole."""
        match once["what"]:
            case "printer_down":
                self.printer_back_ms = self.clock.at_ms + once["minutes"] * 60_000
                return True
            case "power_cut":
                self.visit.events[self.rng.randrange(5)] = "power_cut"
                return True
            case "splash":
                spots, code = [f"{p}.{k.key}" for p, k in checks if k.check is Check.AIR], "splash"
            case "scope_out_of_use":
                spots, code = [f"{p}.{k.key}" for p, k in checks if k.tool == once["scope"]], "brown_film"
            case _:
                spots, code = [f"{p}.{k.key}" for p, k in checks if k.check is Check.SWAB], "bone_grit"
        if spots:
            self.visit.codes[self.rng.choice(spots)] = [code]
            once["soiled_pieces"] = once.get("soiled_pieces", 1) - 1
        return bool(spots) and once["soiled_pieces"] == 0

    def _happens_now(self, step: Step) -> bool:
        """Something else than the answer: a pause, a power cut, the end of the shift."""
        late = self.clock.at_ms > self.watch.closes_ms and self.watch != self.watches[-1]
        if late and step.kind == "check":
            self.send(c.StopHere(reason="end_of_shift"), after_s=5)
            return True
        event = self.visit.events.get(self.visit.answers)
        if event not in {"paused", "power_cut"} or step.kind != "check":
            return False
        del self.visit.events[self.visit.answers]
        tray = self.trip.tray.code
        if event == "power_cut":
            alive = self.clock.at_ms
            self.send(c.Started(last_alive_ms=alive), after_s=240)
        else:
            self.send(c.StopHere(reason=self.rng.choice(["break", "called_away"])))
            self.send(c.SignOut(idle=True), after_s=185)
            long = self.rng.random() < 0.2
            self.clock.advance(
                int(self.rng.uniform(32, 55) * 60_000) if long else self.rng.randrange(60_000, 1_200_000)
            )
        self.sign_in()
        self._scan(tray, after_s=8)
        return True


def _desk(catalogue: Catalogue, month: Month, bench_number: int) -> Desk:
    return Desk(
        bench=f"Bench {bench_number}",
        bench_number=bench_number,
        catalogue=catalogue,
        policy=month.policy,
        findings=resources.findings(),
        types=resources.item_types(),
        choices=resources.choices(),
        make_plan=plan_tray,
        share=tray_share,
        encode=str,  # no paper is made
        with_check=str,
        pins=TOLD_PINS,
        software=__version__,
    )
