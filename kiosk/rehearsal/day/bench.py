"""The hands at a bench of the day: one thing at a time, so that the stations' hours run side by side."""

from collections import Counter
from collections.abc import Callable, Sequence
from dataclasses import replace
from random import Random

from kiosk.core import commands as c
from kiosk.core.agenda import Step, to_clear, untouched
from kiosk.core.catalogue import Person
from kiosk.core.composing import Order, compose
from kiosk.core.decide.counting import to_discard
from kiosk.core.decide.second_looks import waiting
from kiosk.core.dispose import outcome
from kiosk.core.meaning import Kind, Meaning
from kiosk.core.state.piece import TRAY
from kiosk.core.state.trip import Trip
from kiosk.core.together.loads import unreleased
from kiosk.core.together.returns import OpenReturn, may_come_back
from kiosk.core.views import StopView
from kiosk.core.vocabulary import Disposition, Role
from kiosk.paper.render import render
from kiosk.rehearsal.day import errands
from kiosk.rehearsal.day.department import FOUND, IN_HAND, WASHED, Arrival
from kiosk.rehearsal.day.interruptions import INTERRUPTED
from kiosk.rehearsal.day.station import Station
from kiosk.rehearsal.hands import Hands, Visit
from kiosk.rehearsal.month import PIN, Month, Watch

PAPER_MADE_EVERY = 12
"""Each so many-th paper is made for real; the others leave for the tray unmade."""

WASHED_MS = 3_600_000
"""From decontam's answer until the piece is back on the clean side (invented)."""

SECONDS = ("color_only", "not_sure", "clear")
"""What the second person says, in turn."""


class DayBench(Hands):
    """A bench and who stands at it through the day."""

    def __init__(
        self,
        station: Station,
        month: Month,
        watches: Sequence[Watch],
        arrivals: Sequence[Arrival],
        *,
        cut: Callable[["DayBench"], None],
    ) -> None:
        super().__init__(month, station.session, station.clock)
        self.station, self.watches, self.cut = station, tuple(watches), cut
        self.every = tuple(arrivals)
        self.coming = [row for row in arrivals if row.tray not in station.trays_opened()]
        self.befalls: dict[str, str] = {row.tray: row.befalls for row in arrivals}
        self.errands = list(errands.ERRANDS.get(station.name, ()))
        self.soiled: Counter[str] = Counter()  # tray -> how often its piece was found soiled
        self.rng = Random(f"{month.seed}/{station.name}")
        self.watch = next((w for w in watches if station.clock.at_ms < w.closes_ms), self.watches[-1])
        self.sign_ins: Counter[tuple[str, str]] = Counter()  # (shift, role)
        self.stops, self.tray_ms, self.stopped = 0, 0, False
        self.papers = self.papers_made = self.second_words = 0
        self.done: set[str] = set()  # what befell already

    @property
    def closing(self) -> bool:
        return False

    def odd(self, name: str) -> bool:
        """By chance in the story; on this day by what befalls the tray."""
        if name == "count_short" and (self._befalls("pack_short") or self._befalls("pack_short_phone")):
            return True  # and it is packed short later
        return self._once({"count_short": "short", "count_over": "over"}.get(name, name))

    def _befalls(self, what: str) -> bool:
        trip = self.bench.trip
        return trip is not None and self.befalls.get(trip.tray.code) == what

    def _once(self, what: str) -> bool:
        """Does this befall the tray on the bench, and for the first time?"""
        trip = self.bench.trip
        if trip is None or self.befalls.get(trip.tray.code) != what or trip.tray.code in self.done:
            return False
        self.done.add(trip.tray.code)
        return True

    def send(self, command: c.Command, *, after_s: float = 2.0) -> None:
        super().send(command, after_s=after_s)
        if isinstance(command, c.EnterPin):
            role = self.session.desk.catalogue.people[command.person].role
            self.sign_ins[self.watch.name, str(role)] += 1

    def turn(self) -> None:
        """Do the next thing; note a stop page that came up by it, and the time a tray lay open."""
        began, had_tray = self.clock.at_ms, self.bench.trip is not None
        self._turn()
        self.tray_ms += (self.clock.at_ms - began) if had_tray else 0
        stopped = isinstance(self.session.view(), StopView)
        self.stops += stopped and not self.stopped
        self.stopped = stopped

    def _turn(self) -> None:
        self.station.listen()
        self.session = self.station.session
        step = self.step()
        if self.clock.at_ms >= self.watch.closes_ms and step.kind in {"sign_in", "scan", "check"}:
            if self._change_shift(step):
                return
            step = self.step()
        match step.kind:
            case "first_aid":
                self.send(c.FirstAidDone(), after_s=900)
            case "sign_in":
                self._come()
            case "scan":
                if not self._errand():
                    self._next_tray()
            case _:
                if not self._befallen(step):
                    self.do(step)

    def _change_shift(self, step: Step) -> bool:
        """The next person's hour has come: a tray that is open is set aside for them. False on the last watch."""
        at = [watch.name for watch in self.watches].index(self.watch.name)
        if at + 1 == len(self.watches):
            return False
        if step.kind == "check":
            self.send(c.StopHere(reason="end_of_shift"), after_s=5)
        elif step.kind == "scan":
            self.send(c.SignOut(), after_s=20)
        self.watch = self.watches[at + 1]
        self.clock.advance(self.rng.randrange(120_000, 600_000))
        return True

    def _come(self) -> None:
        """Sign in when there is something to do."""
        if self._errand():
            return
        if not (self._unfinished() or self._due() or to_clear(self.bench)):
            self._wait()
            return
        self.send(c.Scanned(meaning=Meaning(kind=Kind.PERSON, text=self.watch.who)), after_s=20)
        self.send(c.EnterPin(person=self.watch.who, pin=PIN), after_s=self.rng.uniform(3, 9))
        while (step := self.step()).kind == "startup":
            self.send(c.AnswerStartup(question=step.question, yes=True), after_s=7)

    def _errand(self) -> bool:
        """The supervisor comes for something, where its hour has come and nothing lies open."""
        if not self.errands or self.clock.at_ms < self.watches[0].opens_ms + self.errands[0][0] * 3_600_000:
            return False
        _, errand = self.errands.pop(0)
        errands.call(self, errand)
        return True

    def _returned(self) -> OpenReturn | None:
        """A piece of this bench that decontam answered for long enough ago to have gone through a washer."""
        return next((r for r in may_come_back(self.bench, self.session.desk) if self._washed(r)), None)

    def _washed(self, each: OpenReturn) -> bool:
        said = each.back.said_ms
        return not each.station and said is not None and self.clock.at_ms - said > WASHED_MS

    def opened_anywhere(self) -> set[str]:
        """The trays that this bench opened."""
        return set(self.station.trays_opened())

    def _due(self) -> Arrival | None:
        return self.coming[0] if self.coming and self.coming[0].at_ms <= self.clock.at_ms else None

    def _unfinished(self) -> list[Trip]:
        """Trays set aside that may go on."""
        return [trip for trip in self.bench.trips.values() if not trip.ended and not trip.holds]

    def _wait(self) -> None:
        """Nothing to do: until the next tray, the end of the shift, or some minutes."""
        soon = self.clock.at_ms + 300_000
        after = self.coming[0].at_ms if self.coming else soon
        self.clock.set_to(max(self.clock.at_ms + 1000, min(soon, after)))

    def _next_tray(self) -> None:
        unfinished, due, back = self._unfinished(), self._due(), self._returned()
        opened = next(
            (n for n, pack in self.bench.packs.items() if n not in self.bench.void and self._opened_again(pack.tray)),
            "",
        )
        if opened:
            self.send(c.Reopen(number=opened, why="forgotten"), after_s=60)
            self.send(c.OldLabelGone(number=opened), after_s=20)
        elif back is not None:
            self.visit = Visit()
            self.send(c.SendBackClean(ticket=back.number, load=WASHED), after_s=40)
        elif unfinished:
            self._scan(unfinished[0].tray.code)
        elif due is not None:
            self.coming.pop(0)
            if due.befalls == "wrong_scan":
                self.send(c.Scanned(meaning=Meaning(kind=Kind.UNKNOWN, text="a supply's own code")), after_s=20)
            self.visit = Visit(reprint=due.befalls == "label_again")
            self._scan(due.tray)
        else:
            self.send(c.SignOut(), after_s=30)

    def _opened_again(self, tray: str) -> bool:
        if self.befalls.get(tray) != "opened_again" or tray in self.done:
            return False
        self.done.add(tray)
        return True

    def _scan(self, tray: str) -> None:
        self.send(c.Scanned(meaning=Meaning(kind=Kind.TRAY, text=tray)), after_s=self.rng.uniform(10, 60))
        turn = self.session.turn
        if turn is not None and turn.page is c.Page.RESUME:
            self.send(c.Confirm(what="covered", subject=turn.subject), after_s=self.rng.uniform(4, 12))

    def _befallen(self, step: Step) -> bool:
        """Does something else happen now than what the screen asks for?"""
        trip = self.bench.trip
        if trip is None:
            return False
        if untouched(trip) and step.kind == "count" and self._once("wrong_tray"):
            self.send(c.LetGo(), after_s=6)
            self._scan(trip.tray.code)
            return True
        if step.kind != "check":
            return False
        if self.visit.answers:
            return self._interrupted()
        self._foresee()
        return False

    def _interrupted(self) -> bool:
        """Does something break in on this tray? Then it happens now."""
        what = next((what for what in INTERRUPTED if self._once(what)), None)
        if what is not None:
            INTERRUPTED[what](self)
        return what is not None

    def _foresee(self) -> None:
        """What this tray brings, now that its pieces are known."""
        what = self.befalls.get(self.trip.tray.code, "")
        pieces = [p for p in self.trip.pieces.values() if p.disposition is None and not p.all_yes]
        checks = [(piece.name, check) for piece in pieces for check in piece.plan.checks]
        if what == "soil_twice" and pieces and self.soiled[self.trip.tray.code] < 2:
            self.soiled[self.trip.tray.code] += 1
            spot = next((f"{name}.{check.key}" for name, check in checks if check.check == "swab"), "")
            self.visit.codes[spot] = ["bone_grit"]
        elif what in FOUND and self._once(what):
            kinds, codes = FOUND[what]
            if what == "soil_by_hand":
                self.printer_back_ms = self.clock.at_ms + 3_600_000
            for kind in kinds:
                spots = [f"{name}.{check.key}" for name, check in checks if check.check == kind]
                if spots:
                    self.visit.codes[self.rng.choice(spots)] = list(codes)
                    break
        elif what in IN_HAND and self._once(what):
            self.visit.events[self.rng.randrange(2, max(3, len(checks)))] = IN_HAND[what]

    def _do_exposed(self, _: Step) -> None:
        """Which open trays were hit: the one on the bench. It goes back whole."""
        for trip in self.bench.trips.values():
            if not trip.ended and trip.hit != (trip == self.bench.trip):
                self.send(c.MarkHit(trip=trip.id, hit=not trip.hit), after_s=4)
        self.send(c.ClearExposure(kind="splash"), after_s=6)

    def _do_load(self, _: Step) -> None:
        """The lead signs the printout, if nobody did yet."""
        load = unreleased(self.bench, self.session.here, self.trip)
        if not load:  # signed at the other bench meanwhile: the load is scanned once more
            self.send(c.Scanned(meaning=Meaning(kind=Kind.LOAD, text=self.trip.load or "")), after_s=20)
            return
        self.send(c.EnterPin(person=self.watch.lead, pin=PIN, ruling=True), after_s=300)
        self.send(c.RuleLoad(by=self.watch.lead, load=load), after_s=20)

    def _do_decide(self, step: Step) -> None:
        assert step.task is not None
        found = self.trip.finding(step.task.n)
        if outcome(self.bench, self.trip, found, self.session.desk).kind is not Disposition.SECOND_LOOK:
            super()._do_decide(step)
            return
        if not found.photo and not found.no_photo:
            self.send(c.NoPhoto(reason="too_dark"), after_s=8)
        if found.n not in {f.n for f in waiting(self.trip)}:
            self.send(c.Confirm(what=Disposition.SECOND_LOOK), after_s=6)
        second = next(p.id for p in self.people(Role.SENIOR) if p.id != self.bench.who)
        self.send(c.EnterPin(person=second, pin=PIN, second=f"look-{found.n}"), after_s=240)
        says = SECONDS[self.second_words % len(SECONDS)]
        self.second_words += 1
        self.send(c.TakeSecondLook(by=second, n=found.n, says=says), after_s=30)

    def people(self, role: Role) -> list[Person]:
        return [person for person in self.session.desk.catalogue.people.values() if person.role is role]

    def _do_shelf(self, _: Step) -> None:
        """A spare where there is one to be taken; else the tray waits on the shelf."""
        if self._once("pack_short"):
            self._pack_short()
            return
        if self._once("pack_short_phone"):
            self._pack_short(phone=True)
            return
        ruling = self._ruling_here()
        if ruling is None:
            self.send(c.Confirm(what="shelf"), after_s=self.rng.uniform(15, 40))
            return
        self.send(c.EnterPin(person=self.watch.lead, pin=PIN, ruling=True), after_s=self.rng.uniform(60, 400))
        self.send(ruling, after_s=20)

    def _ruling_here(self) -> c.Command | None:
        """A spare, or the pieces' end: what came off inside goes to quarantine, a single-use piece is thrown away."""
        if self._befalls("spare"):
            return self._ruling()
        held = [n for n, piece in self.trip.pieces.items() if piece.disposition is Disposition.HOLD and n != TRAY]
        if held and self._befalls("swab_left"):
            return c.RuleQuarantine(by=self.watch.lead, piece=held[0], note="To the repair bench.")
        single = to_discard(self.trip)
        return c.RuleDiscard(by=self.watch.lead, piece=single[0].piece, note="Thrown away.") if single else None

    def _pack_short(self, *, phone: bool = False) -> None:
        """Somebody tries without being a supervisor, which is kept; then the lead gives it, and a second agrees."""
        lines = tuple(line for line, _, _ in self.trip.differences)
        give = c.GiveOverride(by=self.watch.who, what="missing_pack_short", subjects=lines, reason="not_found")
        self.clock.advance(20_000)
        self.session.send(give)
        if not phone:
            self.send(c.EnterPin(person=self.watch.lead, pin=PIN, ruling=True), after_s=300)
        self.send(replace(give, by=self.watch.lead, phone=phone), after_s=20)
        second = next(p.id for p in self.people(Role.SENIOR) if p.id != self.bench.who)
        self.send(c.EnterPin(person=second, pin=PIN, second="override"), after_s=120)
        self.send(c.SecondOnOverride(by=second, yes=True), after_s=10)

    def _do_print(self, step: Step) -> None:
        """A sample is made for real, through the composing and the drawing that the bench uses."""
        if self._once("by_hand"):
            self.printer_back_ms = self.clock.at_ms + 600_000
        for job in [job for job in self.trip.jobs if not job.settled and not job.why]:
            self.papers += 1
            if self.papers % PAPER_MADE_EVERY == 1:
                order = Order(trip=self.trip, doc=job.doc, number=job.number, copy=job.copy)
                paper = render(compose(self.session.glance(), order))
                (self.station.folder / f"{job.doc}-{job.number}.pdf").write_bytes(paper)
                self.papers_made += 1
        super()._do_print(step)

    def _do_print_failed(self, _: Step) -> None:
        """Written by hand where that may be, else tried again when the printer is back."""
        if self.clock.at_ms < self.printer_back_ms:
            self.send(c.WriteByHand(), after_s=240)
        else:
            self.send(c.PrintAgain(), after_s=30)
