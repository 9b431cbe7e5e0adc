"""Thirty days of the demo department, played through the real rules by seed and kept as a bench keeps its days.

Nothing is written that the rules would refuse. No pictures are taken, and papers leave for the paper tray unmade.
"""

from collections.abc import Callable
from dataclasses import dataclass, field, replace
from datetime import date
from math import exp
from pathlib import Path
from random import Random
from typing import Any

from kiosk import __version__, resources
from kiosk.core import commands as c
from kiosk.core.agenda import Step, next_step, waits
from kiosk.core.bench import TRAY, Bench, Trip
from kiosk.core.decide.checking import pace_ms
from kiosk.core.decide.packing import FULL_STEPS
from kiosk.core.desk import Desk
from kiosk.core.dispose import outcome, photo_wanted
from kiosk.core.meaning import Kind, Meaning
from kiosk.core.place import Place
from kiosk.core.plan import PlannedCheck
from kiosk.core.session import Session
from kiosk.core.stamp import Kept
from kiosk.core.viewing.checking import ICON_WANTS_NO_PLACE
from kiosk.core.vocabulary import Check, Disposition, Role
from kiosk.devices.clock import HandClock
from kiosk.lumen.planner import plan_tray
from kiosk.lumen.share import tray_share
from kiosk.rehearsal.month import PIN, Month, Watch, held_by_plan, in_the_story, mishaps, read_month, spare_of
from kiosk.store.bench_store import BenchStore

LABEL_MINUTES = 3
"""Wet time on the demo department's disinfectant (invented)."""

LAST_DAYS = 7
"""Trays held in the last days stay held, so that the demo opens with some."""

PRINTER_OFF = "The printer does not answer."
_ASKED = frozenset({"check", "finding"})


class StoryFault(RuntimeError):
    """The rules refused what the story does: a bug of the story."""


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


@dataclass(slots=True)
class Visit:
    """A tray's time at the bench: what will be found, and at which answer something else happens."""

    codes: dict[str, list[str]] = field(default_factory=dict)
    events: dict[int, str] = field(default_factory=dict)
    answers: int = 0
    reprint: bool = False


class Teller:
    """The hands at the bench."""

    def __init__(self, month: Month, store: BenchStore, bench_number: int) -> None:
        self.month, self.store = month, store
        self.watches = tuple(month.watches())
        self.catalogue = in_the_story(month.catalogue)
        self.clock = HandClock(at_ms=0, offset_min=month.offset_min)
        self.kept: list[Kept] = []
        self.session = Session(
            bench=Bench(),
            desk=_desk(self.catalogue, month, bench_number),
            words=resources.words(),
            clock=self.clock.now,
            keep=self.kept.extend,
        )
        self.rng = Random()
        self.visit = Visit()
        self.once = [dict(once) for once in month.told["once"] if once.get("bench", "B1") == month.bench]
        self.printer_back_ms = 0
        self.held = {code for code, tray in self.catalogue.trays.items() if held_by_plan(tray, month)}

    @property
    def bench(self) -> Bench:
        """The bench as it stands."""
        return self.session.bench

    @property
    def trip(self) -> Trip:
        """The trip on the bench."""
        trip = self.bench.trip
        assert trip is not None
        return trip

    def send(self, command: c.Command, *, after_s: float = 2.0) -> None:
        """Let time pass, then do it. Raises StoryFault where the rules refuse."""
        self.clock.advance(int(after_s * 1000))
        self.session.send(command)
        notice = self.session.notice
        if notice and notice[0].startswith("refused."):
            raise StoryFault(f"{notice[0]}: {command} at {next_step(self.bench, self.session.desk)}")

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
        return not trip.holds or (not self._closing and self.rng.random() < 0.5)

    @property
    def _closing(self) -> bool:
        return self.watch.day > self.month.days - LAST_DAYS

    def _bout(self, trays: list[str]) -> None:
        """Sign in, walk these trays one after the other, sign out."""
        self.sign_in()
        for tray in trays:
            if self.bench.who is None or self.clock.at_ms > self.watch.closes_ms - 600_000:
                break
            if self._comes(tray):
                self.walk(tray)
        if self.bench.who is not None:
            self.send(c.SignOut(), after_s=self.rng.uniform(10, 90))
        self._keep()

    def _comes(self, tray: str) -> bool:
        """Is this tray walked now? One that is held waits for its piece; one that its plan holds comes at the end."""
        going = next((t for t in self.bench.trips.values() if t.tray.code == tray and not t.ended), None)
        if tray in self.held:
            return going is None and self.watch == self.watches[-1]
        waited = self.clock.at_ms - going.pause.at_ms > 3_600_000 if going and going.pause else True
        return going is None or (waited and not (going.holds and self._closing))

    def sign_in(self) -> None:
        """Badge and PIN, and the bench start-up where it is due."""
        who = self.watch.who
        self.send(c.Scanned(meaning=Meaning(kind=Kind.PERSON, text=who)), after_s=20)
        self.send(c.EnterPin(person=who, pin=PIN), after_s=self.rng.uniform(3, 9))
        while (step := self._step()).kind == "startup":
            yes = step.question != "tester" or self.rng.random() > 0.02
            self.send(c.AnswerStartup(question=step.question, yes=yes), after_s=self.rng.uniform(4, 25))

    def walk(self, tray: str) -> None:
        """Walk a tray until it is packed, gone back, or set aside."""
        if self._odd("wrong_scan"):
            load = self.rng.choice(list(self.watch.loads))
            self.send(c.Scanned(meaning=Meaning(kind=Kind.LOAD, text=load)), after_s=self.rng.uniform(15, 60))
        self._scan(tray, after_s=self.rng.uniform(20, 120))
        self.visit = Visit(reprint=self._odd("label_reprinted"))
        while self.bench.who is not None and (step := self._step()).kind != "scan":
            if step.kind == "check" and not self.visit.answers:
                self._foresee()
            if step.kind in _ASKED and self._happens_now(step):
                continue
            getattr(self, f"_do_{step.kind}")(step)
        self._keep()

    def _scan(self, tray: str, *, after_s: float) -> None:
        self.send(c.Scanned(meaning=Meaning(kind=Kind.TRAY, text=tray)), after_s=after_s)
        turn = self.session.turn
        if turn is not None and turn.page is c.Page.RESUME:
            self.send(c.Confirm(what="covered", subject=turn.subject), after_s=self.rng.uniform(4, 12))

    def _step(self) -> Step:
        return next_step(self.bench, self.session.desk)

    def _keep(self) -> None:
        self.store.keep(self.kept)
        self.kept.clear()

    def _odd(self, name: str) -> bool:
        return self.rng.random() < float(self.month.told["trip_odds"][name])

    def _seconds(self, check: Check) -> float:
        middle, spread = self.month.told["answer_seconds"].get(str(check), (15, 0.5))
        person = self.catalogue.people[self.watch.who]
        factor = self.month.told["trainee_factor"] if person.role is Role.TRAINEE else 1.0
        return float(middle * factor * exp(self.rng.gauss(0, spread)))

    def _foresee(self) -> None:
        """Draw what this visit brings, now that its pieces are known."""
        pieces = {p.name: p for p in self.trip.pieces.values() if p.item and p.disposition is None and not p.all_yes}
        plans = {name: piece.plan for name, piece in pieces.items()}
        types = {name: piece.item.type for name, piece in pieces.items() if piece.item}
        self.visit.codes = mishaps(self.rng, self.month, plans, types)
        checks = sum(len(plan.checks) for plan in plans.values()) + 2
        for name in ("corrected_answer", "cant_tell", "paused"):
            if self._odd(name):
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

    def _do_count(self, _: Step) -> None:
        lines = self.trip.tray.lines
        seconds = float(self.month.told["seconds_per_count_line"])
        differs = 0
        if not self.trip.counts:
            differs = -1 if self._odd("count_short") else int(self._odd("count_over"))
        if differs:
            line = self.rng.choice([line for line in lines if line.item is None] or lines)
            self.send(c.CountLine(line=line.name, have=line.want + differs), after_s=seconds)
        for at in range(0, len(lines), 5):
            page = tuple(line.name for line in lines[at : at + 5] if line.name not in self.trip.counts)
            if page:
                took = len(page) * seconds * self.rng.uniform(0.6, 1.6)
                self.send(c.CountAll(lines=page, took_ms=int(took * 1000)), after_s=took)
        if differs:
            self.send(c.CountDiffers(), after_s=20)

    def _do_check(self, step: Step) -> None:
        assert step.check is not None
        check, spot = step.check, f"{step.piece}.{step.check.key}"
        event = self.visit.events.get(self.visit.answers)
        self.visit.answers += 1
        seconds = self._seconds(check.check)
        answer = c.Answer(piece=step.piece, key=check.key, yes=True, took_ms=int(seconds * 1000))
        if self.visit.codes.get(spot):
            self.send(replace(answer, yes=False), after_s=seconds)
        elif event == "cant_tell":
            self.send(replace(answer, yes=False, unsure=True), after_s=seconds)
        elif event == "corrected_answer":
            self.send(replace(answer, yes=False), after_s=seconds)
            self.send(c.TakeBack(), after_s=3)
        else:
            self._yes(answer, check, seconds)

    def _yes(self, answer: c.Answer, check: PlannedCheck, seconds: float) -> None:
        item = self.trip.pieces[answer.piece].item
        lumen = next((way for way in item.lumens if way.name == check.lumen), None) if item else None
        pace = pace_ms(self.month.policy, lumen.length_mm if lumen else None) if check.check is Check.SCOPE else 0
        if answer.took_ms < pace and self.rng.random() < 0.9:  # most look on until the pace is reached
            answer = replace(answer, took_ms=pace + self.rng.randrange(4000))
        self.send(answer, after_s=max(seconds, answer.took_ms / 1000))
        if answer.took_ms < pace:
            self.send(replace(answer, sure=True), after_s=3)

    def _do_finding(self, _: Step) -> None:
        asking = self.trip.asking
        assert asking is not None
        codes = self.visit.codes[f"{asking.piece}.{asking.key}"]
        code = codes.pop(0)
        self.send(c.ReportFinding(code=code, place=self._place(asking.piece, asking.key, code)), after_s=4)

    def _place(self, piece: str, key: str, code: str) -> Place:
        name = key.rpartition(".")[0]
        item = self.trip.pieces[piece].item
        lumen = next((way for way in item.lumens if way.name == name), None) if item else None
        if lumen is None:
            return Place(landmark=resources.words().say(f"places.{self.rng.choice(['joint', 'shaft'])}"))
        if lumen.length_mm is None or code in ICON_WANTS_NO_PLACE:
            return Place(lumen=name)
        return Place(lumen=name, at_mm=self.rng.randrange(int(lumen.length_mm) // 10 + 1) * 10)

    def _do_decide(self, step: Step) -> None:
        assert step.task is not None
        found = self.trip.finding(step.task.n)
        kind = outcome(self.bench, self.trip, found, self.session.desk).kind
        if photo_wanted(found, kind, self.session.desk):
            self.send(c.NoPhoto(reason=self.rng.choice(["no_scope", "too_dark", "no_time"])), after_s=8)
            return
        if kind is Disposition.SECOND_LOOK:  # nobody comes for a second look in the story: wiped and looked at, or sent
            kind = self.rng.choice([Disposition.BENCH_FIX, Disposition.ITEM_BACK])
        self.send(c.Confirm(what=kind), after_s=self.rng.uniform(4, 15))

    def _do_put_right(self, _: Step) -> None:
        self.send(c.StepDone(step="put_right"), after_s=self.rng.uniform(40, 120))

    def _do_bench(self, step: Step) -> None:
        assert step.task is not None
        if step.task.level == "full" and self.bench.label_minutes is None:
            self.send(c.SetLabelTime(minutes=LABEL_MINUTES), after_s=15)
        if step.task.step == FULL_STEPS - 1 and self.bench.wet_since_ms is not None:
            self.clock.set_to(self.bench.wet_since_ms + LABEL_MINUTES * 60_000)
        self.send(c.StepDone(step="bench", number=step.task.step), after_s=self.rng.uniform(15, 60))

    def _do_gloves(self, _: Step) -> None:
        self.send(c.StepDone(step="gloves"), after_s=self.rng.uniform(30, 60))

    def _do_scope(self, _: Step) -> None:
        self.send(c.StepDone(step="scope"), after_s=self.rng.uniform(20, 45))

    def _do_print(self, _: Step) -> None:
        why = PRINTER_OFF if self.clock.at_ms < self.printer_back_ms else ""
        for job in [job for job in self.trip.jobs if not job.settled and not job.why]:
            where = "" if why else "paper tray"
            self.send(c.PrintCame(doc=job.doc, number=job.number, copy=job.copy, where=where, why=why), after_s=4)

    def _do_print_failed(self, _: Step) -> None:
        again = self.rng.random() < 0.5
        self.send(c.PrintAgain() if again else c.WriteByHand(), after_s=30 if again else 240)

    def _do_readable(self, _: Step) -> None:
        bad = self.visit.reprint and self.trip.packed_ms is not None
        self.visit.reprint = False if bad else self.visit.reprint
        self.send(c.Readable(yes=not bad), after_s=self.rng.uniform(5, 20))

    def _do_plan_hold(self, _: Step) -> None:
        self.send(c.Confirm(what=Disposition.HOLD), after_s=10)

    def _do_shelf(self, _: Step) -> None:
        """The lead rules at once, later, or not any more in the last days."""
        ruling = None if self._closing else self._ruling()
        if ruling is None or (self.visit.answers and self.rng.random() < 0.25):
            self.send(c.Confirm(what="shelf"), after_s=self.rng.uniform(15, 40))
            return
        self.send(c.EnterPin(person=self.watch.lead, pin=PIN, ruling=True), after_s=self.rng.uniform(60, 400))
        self.send(ruling, after_s=20)

    def _ruling(self) -> c.Command | None:
        """Quarantine for a piece held for the third time; a spare for one that left the tray."""
        trip, lead = self.trip, self.watch.lead
        for name in waits(trip):
            piece = trip.pieces.get(name)
            if piece is None or piece.item is None or name == TRAY:
                continue
            if piece.disposition is Disposition.HOLD and not piece.plan.hold:
                return c.RuleQuarantine(by=lead, piece=name, note="Looked at by the lead. To the repair bench.")
            spare = spare_of(piece.item.id)
            if spare in self.catalogue.spares and spare not in trip.pieces:
                return c.RuleSubstitute(by=lead, piece=name, spare=spare)
        return None

    def _do_pack(self, _: Step) -> None:
        tray = self.trip.tray
        if tray.weight_needed:
            self.send(c.Weigh(value=f"{self.rng.uniform(5, 9.5):.1f}", unit="kg"), after_s=self.rng.uniform(15, 40))
        self.send(c.PlaceIndicators(count=tray.indicators), after_s=self.rng.uniform(5, 15))
        self.send(c.ChoosePackaging(kind=self.rng.choice(tray.packaging)), after_s=self.rng.uniform(5, 15))
        self.send(c.PackAndPrint(), after_s=self.rng.uniform(60, 180))


def _desk(catalogue: Any, month: Month, bench_number: int) -> Desk:
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
        software=__version__,
    )
