"""A shift told by its numbers: hands play as many trays through the real rules, at real stations, until they come out.

`given.told` of a scenario holds the numbers (tests/scenarios/README.md). Nothing is written into a counter: what the
hands did is counted afterwards like any other shift, and a number that does not come out is a fault of the file.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace
from datetime import date
from decimal import Decimal
from pathlib import Path
from random import Random
from typing import Any

from kiosk import resources
from kiosk.core import commands as c
from kiosk.core.agenda import Step
from kiosk.core.catalogue import CountLine, Item, Load, Lumen, Tray
from kiosk.core.dispose import outcome, photo_wanted
from kiosk.core.meaning import Kind, Meaning
from kiosk.core.past.counters import book_of
from kiosk.core.past.records import local_span
from kiosk.core.policy import Policy
from kiosk.core.session import Session
from kiosk.core.stamp import Kept
from kiosk.core.state.bench import Bench
from kiosk.core.vocabulary import Disposition
from kiosk.desk import make_desk
from kiosk.devices.clock import HandClock
from kiosk.rehearsal.hands import Hands, Visit
from kiosk.rehearsal.month import Month, Watch, in_the_story
from kiosk.rehearsal.scenario import Scenario, ScenarioFault
from kiosk.rehearsal.world import OFFSET_MIN, PIN, World, person_from
from kiosk.store.bench_store import BenchStore

SEED = 20310304
_ODDS = ("count_short", "count_over", "wrong_scan", "corrected_answer", "cant_tell", "paused", "label_reprinted")
_AIR_KPA = 100
FORCEPS = "Forceps"


@dataclass(frozen=True, slots=True, kw_only=True)
class Tale:
    """One trip to be played. `items`: open, tiny or two (a lumen seen, one nobody sees, two seen), a piece each.

    `codes`: what is found at a check, in order. `differs`: forceps more or less than listed. `ends`: what is confirmed
    instead of what the rules say first. `held`: nobody rules on it. `at_ms`: when its ticket is made.
    """

    items: tuple[str, ...] = ("open",)
    codes: Mapping[str, tuple[str, ...]] = field(default_factory=dict)
    differs: int = 0
    ends: str = ""
    held: bool = False
    slip: bool = False
    again: bool = False
    splash: bool = False
    load: str = ""
    at_ms: int = 0


def _tube(name: str, inside: str) -> Lumen:
    return Lumen(name=name, inside_mm=Decimal(inside), length_mm=Decimal(150), air_kpa=_AIR_KPA)


_LUMENS: Mapping[str, tuple[Lumen, ...]] = {
    "open": (_tube("bore", "6.0"),),
    "tiny": (_tube("bore", "0.8"),),
    "two": (_tube("bore", "6.0"), _tube("side way", "6.0")),
}
_TYPES = {"open": "tonsil_suction", "tiny": "fine_suction", "two": "trocar_cannula"}


def tales(told: Mapping[str, int | str], end_ms: int) -> list[Tale]:
    """The trips that make the numbers, all but the pieces that nothing happens to."""
    back, items = int(told["trays_back"]), int(told["tickets"]) - int(told["trays_back"])
    wet_back = int(told["wet"]) - int(told["dried_again"])
    grave = int(told["bench_full"]) - int(told["exposures"])
    soiled = [Tale(codes={"A1.bore.swab": ("red_mark",)}) for _ in range(grave)]
    soiled += [Tale(codes={"A1.bore.swab": ("bone_grit",)}, ends="tray_back") for _ in range(back - grave)]
    soiled += [Tale(codes={"A1.bore.swab": ("bone_grit",)}) for _ in range(items - wet_back)]
    for n in range(int(told["load_soiled"])):
        soiled[n] = replace(soiled[n], load=str(told["load"]))
    waits = end_ms - int(told["ticket_waits_minutes"]) * 60_000
    soiled[-1] = replace(soiled[-1], held=True, at_ms=waits)
    if len(soiled) != int(told["soil"]):
        raise ScenarioFault(f"given.told: {len(soiled)} tickets for soil make no {told['soil']} soiled pieces")
    out = [*soiled[:-1]]
    out += [Tale(codes={"A1.bore.dry": ("clear_drops",) * 3}) for _ in range(wet_back)]
    out += [Tale(codes={"A1.bore.dry": ("clear_drops",)}) for _ in range(int(told["dried_again"]))]
    out += [Tale(codes={"A1.look": ("fiber",)}) for _ in range(int(told["foreign"]))]
    out += [Tale(codes={"A1.look": ("crack",)}) for _ in range(int(told["damage"]))]
    out += [Tale(differs=-1) for _ in range(int(told["trays_packed_short"]))]
    out += [Tale(differs=1, held=True) for _ in range(int(told["identity"]) - int(told["trays_packed_short"]))]
    out[0] = replace(out[0], again=bool(told["reprints"]))
    slips = [n for n, tale in enumerate(out) if tale == Tale(codes={"A1.look": ("crack",)})]
    for n in slips[: int(told["withdrawn"])]:
        out[n] = replace(out[n], slip=True)
    for n in slips[-int(told["exposures"]) :] if told["exposures"] else []:
        out[n] = replace(out[n], splash=True)
    plain = int(told["trays_packed"]) - sum(not (t.held or t.differs or _goes_back(t)) for t in out)
    out += _plain(told, plain, out)
    Random(SEED).shuffle(out)
    return [*out, soiled[-1]]


def _goes_back(tale: Tale) -> bool:
    return tale.ends == "tray_back" or ("red_mark",) in tale.codes.values()


def _plain(told: Mapping[str, int | str], trips: int, before: Sequence[Tale]) -> list[Tale]:
    """Trips that nothing happens on, with the pieces that are still to come: `two` and `tiny` as the lumens ask."""
    ended = sum(
        any("bore" in spot or "crack" in code for spot, code in t.codes.items()) and not _dried(t) for t in before
    )
    spares = sum(_by_spare(t) for t in before)
    pieces = int(told["pieces_checked"]) - (len(before) + 1) - spares
    lumens = int(told["lumens_checked"]) - (len(before) - ended) - spares
    tiny, two = int(told["lumens_not_seen"]), lumens - pieces
    if min(tiny, two, pieces - tiny - two, trips - 1) < 0:
        raise ScenarioFault("given.told: the pieces and lumens do not come out")
    kinds = ["tiny"] * tiny + ["two"] * two + ["open"] * (pieces - tiny - two)
    return [Tale(items=tuple(kinds[n::trips])) for n in range(trips)]


def _dried(tale: Tale) -> bool:
    return ("clear_drops",) in tale.codes.values()


def _by_spare(tale: Tale) -> bool:
    """Does a spare take the piece's place, so that one more is checked?"""
    gone = {("bone_grit",), ("crack",), ("clear_drops",) * 3}
    return bool(gone & set(tale.codes.values())) and not (tale.held or tale.ends)


class Counting(Hands):
    """Hands that play tales at one bench."""

    def __init__(self, month: Month, session: Session, clock: HandClock, watch: Watch) -> None:
        super().__init__(month, session, clock)
        self.watch, self.rng, self.tale, self.slipped = watch, Random(SEED), Tale(), False

    def sign_in(self) -> None:
        self.send(c.EnterPin(person=self.watch.who, pin=PIN), after_s=5)
        while (step := self.step()).kind == "startup":
            self.send(c.AnswerStartup(question=step.question, yes=True), after_s=6)

    def play(self, tray: str, tale: Tale) -> None:
        """One trip, to its end or to the shelf."""
        self.tale, self.slipped = tale, False
        first = self.session.desk.catalogue.trays[tray].items[0].id
        self.visit = Visit(codes={spot.replace("A1", first, 1): list(codes) for spot, codes in tale.codes.items()})
        self._lay(tray)
        while (step := self.step()).kind != "scan" or self._left_open(tray):
            if step.kind == "scan":
                self._lay(tray)
            else:
                self.do(step)

    def _lay(self, tray: str) -> None:
        self.send(c.Scanned(meaning=Meaning(kind=Kind.TRAY, text=tray)), after_s=20)
        turn = self.session.turn
        if turn is not None and turn.page is c.Page.RESUME:
            self.send(c.Confirm(what="covered", subject=turn.subject), after_s=5)

    def _left_open(self, tray: str) -> bool:
        """Was the tray left on the way, and nobody put it on the shelf?"""
        mine = [trip for trip in self.bench.trips.values() if trip.tray.code == tray and not trip.ended]
        return bool(mine) and mine[0].pause is not None and mine[0].pause.reason != "hold_shelf"

    def _do_sign_in(self, _: Step) -> None:
        self.sign_in()

    def _do_count(self, _: Step) -> None:
        lines = self.trip.tray.lines
        differs = self.tale.differs if not self.trip.counts else 0
        if differs:
            want = next(line.want for line in lines if line.name == FORCEPS)
            self.send(c.CountLine(line=FORCEPS, have=want + differs), after_s=10)
        rest = tuple(line.name for line in lines if line.name not in self.trip.counts)
        self.send(c.CountAll(lines=rest, took_ms=20_000), after_s=20)
        if differs:
            self.send(c.CountDiffers(), after_s=10)
        if self.tale.splash:
            self.send(c.FirstAid(), after_s=5)
            self.send(c.FirstAidDone(), after_s=60)

    def _do_exposed(self, _: Step) -> None:
        """The trays were covered: only the bench is cleaned."""
        for trip in [trip for trip in self.bench.trips.values() if trip.hit and not trip.ended]:
            self.send(c.MarkHit(trip=trip.id, hit=False), after_s=3)
        self.send(c.ClearExposure(kind="splash"), after_s=20)

    def _do_check(self, step: Step) -> None:
        assert step.check is not None
        if self.tale.slip and not self.slipped and step.check.key == "bore.swab":
            self.slipped = True
            answer = c.Answer(piece=step.piece, key=step.check.key, yes=False, took_ms=9000)
            place = self._place(step.piece, step.check.key, "brown_film")
            self.send(answer, after_s=9)
            self.send(c.ReportFinding(code="brown_film", place=place), after_s=4)
            self.send(c.TakeBack(), after_s=3)
            return
        Hands._do_check(self, step)

    def _do_decide(self, step: Step) -> None:
        if self.tale.at_ms and not self._photo_due(step):
            self.clock.set_to(self.tale.at_ms - 1000)
            self.send(c.Confirm(what=Disposition.ITEM_BACK), after_s=1)
        elif self.tale.ends and not self._photo_due(step):
            self.send(c.Confirm(what=self.tale.ends), after_s=6)
        else:
            Hands._do_decide(self, step)

    def _photo_due(self, step: Step) -> bool:
        assert step.task is not None
        found = self.trip.finding(step.task.n)
        return photo_wanted(found, outcome(self.bench, self.trip, found, self.session.desk).kind, self.session.desk)

    def _do_readable(self, _: Step) -> None:
        bad = self.tale.again and any(job.doc == "return_ticket" and not job.copy for job in self.trip.jobs)
        once = not any(job.copy for job in self.trip.jobs)
        self.send(c.Readable(yes=not (bad and once)), after_s=8)

    def _do_shelf(self, step: Step) -> None:
        if self.tale.held:
            self.send(c.Confirm(what="shelf"), after_s=15)
            return
        self.send(c.EnterPin(person=self.watch.lead, pin=PIN, ruling=True), after_s=60)
        if self.tale.differs < 0:
            given = c.GiveOverride(
                by=self.watch.lead, what="missing_pack_short", subjects=(FORCEPS,), reason="not_found", words=""
            )
            self.send(given, after_s=15)
            self.send(c.EnterPin(person=self.second, pin=PIN, second="override"), after_s=20)
            self.send(c.SecondOnOverride(by=self.second, yes=True), after_s=8)
            return
        ruling = self._ruling()
        assert ruling is not None, step
        self.send(ruling, after_s=20)

    @property
    def second(self) -> str:
        """Somebody else than who works here and who rules."""
        people = self.session.desk.catalogue.people
        return next(code for code in people if code.startswith("T") and code != self.watch.who)


def tell_numbers(scenario: Scenario, world: World, folders: Mapping[str, Path]) -> World:
    """Play the shift into the stations' stores. Gives the world with the trays and people that were told of.

    Raises ScenarioFault where a number does not come out.
    """
    told = scenario.given["told"]
    policy = resources.policy({**told.get("policy", {})}, version=world.policy.version)
    shift = str(told["shift"])
    start, end = (ms - OFFSET_MIN * 60_000 for ms in local_span((shift, date.fromisoformat(world.day)), policy.shifts))
    some = tales(told["numbers"], end)
    trays = {f"TR-{5001 + n}": _tray(f"TR-{5001 + n}", n, tale) for n, tale in enumerate(some)}
    loads: dict[str, tuple[str, ...]] = {
        f"W-{2205 + n}": (code,) for n, (code, tale) in enumerate(zip(trays, some, strict=True)) if not tale.load
    }
    own = tuple(code for code, tale in zip(trays, some, strict=True) if tale.load)
    loads[str(told["numbers"]["load"])] = own
    people = {**world.catalogue.people, **{row["id"]: person_from(row) for row in told["people"]}}
    catalogue = replace(
        world.catalogue,
        trays={**world.catalogue.trays, **trays},
        people=people,
        loads={name: Load(id=name, released=True, trays=codes) for name, codes in loads.items()},
    )
    spares = in_the_story(catalogue).spares
    logs = _played(
        told, replace(catalogue, spares=spares), policy, (start, end), list(zip(trays, some, strict=True)), shift
    )
    for station, log in logs.items():
        store = BenchStore(folders[station] / "store", station)
        store.keep(log)
        store.rest()
        store.close()
    _check(told, logs, (shift, date.fromisoformat(world.day)), policy, end, scenario.file)
    return replace(world, catalogue=catalogue)


def _played(
    told: Mapping[str, Any],
    catalogue: Any,
    policy: Policy,
    span: tuple[int, int],
    some: list[tuple[str, Tale]],
    shift: str,
) -> dict[str, list[Kept]]:
    who = [str(row["id"]) for row in told["people"]]
    tech, lead, dirty = who[0], str(told["lead"]), who[-1]
    odds = dict.fromkeys(_ODDS, 0.0)
    month = Month(
        told={
            "trip_odds": odds,
            "answer_seconds": {},
            "trainee_factor": 1.0,
            "seconds_per_count_line": 1,
            "back_hours": [4, 30],
        },
        catalogue=catalogue,
        policy=policy,
        bench="B1",
        days=1_000,
        until=date(2031, 1, 1),
        seed=SEED,
        offset_min=OFFSET_MIN,
    )
    watch = Watch(
        day=1, name=shift, who=tech, lead=lead, opens_ms=span[0], closes_ms=span[1], trays=(), loads=catalogue.loads
    )
    clock, kept = HandClock(at_ms=span[0] + 120_000, offset_min=OFFSET_MIN), list[Kept]()
    session = Session(
        bench=Bench(), desk=make_desk(catalogue, policy), words=resources.words(), clock=clock.now, keep=kept.extend
    )
    hands = Counting(month, session, clock, watch)
    hands.sign_in()
    for code, tale in some:
        hands.play(code, tale)
    hands.send(c.SignOut(), after_s=30)
    return {"B1": kept, "D1": _received(catalogue, policy, kept, dirty, int(told["numbers"]["tickets_waiting"]))}


def _received(catalogue: Any, policy: Policy, bench: list[Kept], who: str, waiting: int) -> list[Kept]:
    """Decontam takes in every ticket but the last ones, a quarter of an hour after each."""
    clock, kept = HandClock(at_ms=bench[0].stamp.at_ms, offset_min=OFFSET_MIN), list[Kept]()
    desk = make_desk(catalogue, policy, side="decontam")
    session = Session(bench=Bench(), desk=desk, words=resources.words(), clock=clock.now, keep=kept.extend)
    session.hear("B1", bench)
    session.send(c.EnterPin(person=who, pin=PIN))
    made = [(k.stamp.at_ms, ticket) for k in bench if (ticket := getattr(k.event, "ticket", ""))]
    for at_ms, ticket in made[: len(made) - waiting]:
        clock.set_to(max(clock.at_ms, at_ms + 900_000))
        session.send(c.ReceiveTicket(ticket=ticket, by="scan"))
    session.send(c.SignOut())
    return kept


def _check(
    told: Mapping[str, Any],
    logs: Mapping[str, list[Kept]],
    shift: tuple[str, date],
    policy: Policy,
    end: int,
    file: str,
) -> None:
    """Every number that is a counter must come out as told."""
    counts = book_of(logs, shift, policy, until_ms=end).counts
    numbers = {name: n for name, n in told["numbers"].items() if name in counts}
    wrong = {name: (n, counts[name]) for name, n in numbers.items() if counts[name] != n}
    if wrong:
        raise ScenarioFault(f"{file}: given.told does not come out (told, counted): {wrong}")


def _tray(code: str, number: int, tale: Tale) -> Tray:
    items = tuple(
        Item(id=f"{code[3:]}A{n}", name=f"Told tube {number + 1}.{n}", type=_TYPES[kind], lumens=_LUMENS[kind])
        for n, kind in enumerate(tale.items, 1)
    )
    lines = [CountLine(name=item.name, want=1, item=item.id) for item in items]
    return Tray(
        code=code, name=f"Told tray {number + 1}", items=items, lines=(*lines, CountLine(name=FORCEPS, want=12))
    )
