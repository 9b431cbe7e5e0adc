"""The hands at the demo department's bench: what they do at each step that the rules ask for, by chance and seed."""

from dataclasses import dataclass, field, replace
from math import exp
from random import Random

from kiosk import resources
from kiosk.core import commands as c
from kiosk.core.agenda import Step, next_step
from kiosk.core.competency import wants_cosign
from kiosk.core.decide.checking import allowed
from kiosk.core.decide.counting import PLACES
from kiosk.core.decide.joints import wants_look
from kiosk.core.decide.packing import WET_STEP
from kiosk.core.dispose import outcome, photo_wanted
from kiosk.core.dispositions import waits
from kiosk.core.pace import pace_ms
from kiosk.core.place import Place
from kiosk.core.plan import PlannedCheck
from kiosk.core.session import Session
from kiosk.core.startup import startup_answered
from kiosk.core.state.bench import Bench
from kiosk.core.state.piece import TRAY
from kiosk.core.state.trip import Trip
from kiosk.core.viewing.checking import ICON_WANTS_NO_PLACE
from kiosk.core.vocabulary import Check, Disposition, Role
from kiosk.devices.clock import HandClock
from kiosk.rehearsal.month import PIN, Month, Watch, spare_of

LABEL_MINUTES = 3
"""Wet time on the demo department's disinfectant (invented)."""

LAST_DAYS = 7
"""Trays held in the last days stay held, so that the demo opens with some."""

PRINTER_OFF = "The printer does not answer."


class StoryFault(RuntimeError):
    """The rules refused what the story does: a bug of the story."""


@dataclass(slots=True)
class Visit:
    """A tray's time at the bench: what will be found, and at which answer something else happens."""

    codes: dict[str, list[str]] = field(default_factory=dict)
    events: dict[int, str] = field(default_factory=dict)
    answers: int = 0
    reprint: bool = False


class Hands:
    """A person at the bench: `do` does what the next step asks for."""

    watch: Watch

    def __init__(self, month: Month, session: Session, clock: HandClock) -> None:
        self.month, self.session, self.clock = month, session, clock
        self.rng = Random()
        self.visit = Visit()
        self.printer_back_ms = 0

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
            raise StoryFault(f"{notice[0]}: {command} at {next_step(self.bench, self.session.here)}")

    def do(self, step: Step) -> None:
        """Do what the step asks for."""
        getattr(self, f"_do_{step.kind}")(step)

    def step(self) -> Step:
        return next_step(self.bench, self.session.here)

    @property
    def closing(self) -> bool:
        return self.watch.day > self.month.days - LAST_DAYS

    def odd(self, name: str) -> bool:
        return self.rng.random() < float(self.month.told["trip_odds"][name])

    def _seconds(self, check: Check) -> float:
        middle, spread = self.month.told["answer_seconds"].get(str(check), (15, 0.5))
        person = self.session.desk.catalogue.people[self.watch.who]
        factor = self.month.told["trainee_factor"] if person.role is Role.TRAINEE else 1.0
        return float(middle * factor * exp(self.rng.gauss(0, spread)))

    def _do_count(self, _: Step) -> None:
        lines = self.trip.tray.lines
        seconds = float(self.month.told["seconds_per_count_line"])
        differs = 0
        if not self.trip.counts:
            differs = -1 if self.odd("count_short") else int(self.odd("count_over"))
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

    def _do_search(self, step: Step) -> None:
        """Every place is looked at, and it is not there."""
        self.send(c.Search(line=step.line, places=PLACES, over=True), after_s=self.rng.uniform(120, 400))

    def _do_whose(self, step: Step) -> None:
        self.send(c.ExtraIs(line=step.line), after_s=self.rng.uniform(10, 40))

    def _do_check(self, step: Step) -> None:
        assert step.check is not None
        check, spot = step.check, f"{step.piece}.{step.check.key}"
        event = self.visit.events.get(self.visit.answers)
        self.visit.answers += 1
        seconds = self._seconds(check.check)
        if check.check is Check.INSULATION and startup_answered(self.bench, self.session.desk, "tester") is False:
            self.visit.codes.setdefault(spot, []).insert(0, "kit_fault")
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
            may = [way for way in allowed(kind, found.code) if way is not Disposition.SECOND_LOOK]
            kind = may[0] if found.piece == TRAY else self.rng.choice(may)
        self.send(c.Confirm(what=kind), after_s=self.rng.uniform(4, 15))

    def _do_put_right(self, step: Step) -> None:
        assert step.task is not None
        if wants_look(self.trip.finding(step.task.n)):
            self.send(c.LookIntoJoint(soil=False), after_s=self.rng.uniform(5, 20))
        self.send(c.StepDone(step="put_right"), after_s=self.rng.uniform(40, 120))

    def _do_bench(self, step: Step) -> None:
        assert step.task is not None
        if step.task.level == "full" and self.bench.label_minutes is None:
            self.send(c.SetLabelTime(minutes=LABEL_MINUTES), after_s=15)
        if step.task.step == WET_STEP and self.bench.wet_since_ms is not None:
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
        ruling = None if self.closing else self._ruling()
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
            if spare in self.session.desk.catalogue.spares and spare not in trip.pieces:
                return c.RuleSubstitute(by=lead, piece=name, spare=spare)
        return None

    def _do_pack(self, _: Step) -> None:
        tray = self.trip.tray
        if tray.weighed:
            self.send(c.Weigh(value=f"{self.rng.uniform(5, 9.5):.1f}", unit="kg"), after_s=self.rng.uniform(15, 40))
        if wants_cosign(self.trip, self.session.desk):
            self.send(c.EnterPin(person=self.watch.lead, pin=PIN, second="cosign"), after_s=30)
            self.send(c.SignBeside(by=self.watch.lead), after_s=10)
        self.send(c.PlaceIndicators(count=tray.indicators), after_s=self.rng.uniform(5, 15))
        self.send(c.ChoosePackaging(kind=self.rng.choice(tray.packaging)), after_s=self.rng.uniform(5, 15))
        self.send(c.PackAndPrint(), after_s=self.rng.uniform(60, 180))
