"""A small invented department for the rules: one bench, a few trays, the shipped policy and the real planner."""

from collections.abc import Callable
from dataclasses import dataclass, field, replace
from decimal import Decimal
from functools import cache
from typing import Any

from kiosk import resources
from kiosk.codes import house
from kiosk.core import commands as c
from kiosk.core import events as e
from kiosk.core.agenda import Step, next_step
from kiosk.core.catalogue import Catalogue, CountLine, Item, Landmark, Load, Lumen, Person, Tray
from kiosk.core.desk import Desk, Now
from kiosk.core.evolve import evolve
from kiosk.core.meaning import Kind, Meaning
from kiosk.core.past.records import LogRecords
from kiosk.core.place import Place
from kiosk.core.session import Session
from kiosk.core.stamp import Kept
from kiosk.core.state.bench import Bench
from kiosk.core.state.trip import Trip
from kiosk.core.together.returns import went_whole
from kiosk.core.vocabulary import Check, Feature, Learnt, Opening, Role
from kiosk.lumen.planner import plan_tray
from kiosk.lumen.records import kit_from_mapping
from kiosk.lumen.share import tray_share
from kiosk.pins import PINS, hash_pin
from kiosk.places import RESOURCES

PIN = "2580"
MORNING = 1_930_000_000_000 // 86_400_000 * 86_400_000 + 8 * 3_600_000  # 08:00 UTC of a day
EAR, BIG, HOLD, PLAIN, LATE = "TR-1", "TR-2", "TR-3", "TR-4", "TR-5"


def _tube(name: str, inside: str | None, length: str | None, *features: Feature, **more: Any) -> Lumen:
    bore = None if inside is None else Decimal(inside)
    long = None if length is None else Decimal(length)
    return Lumen(name=name, inside_mm=bore, length_mm=long, features=frozenset(features), **more)


TUBE = Item(id="A1", name="Bent tube", type="fine_suction", lumens=(_tube("bore", "3.0", "150", Feature.CURVED),))
PAIR = replace(TUBE, id="A2", name="Paired tube", qty=2, lumens=(_tube("bore", "2.4", "120", air_kpa=100),))
LONG = Item(
    id="A3", name="Long tube", type="lap_takeapart", takes_apart=True, insulated=True, function=("jaws meet",),
    lumens=(
        _tube("inner", "3.0", "520", Feature.CURVED, landmarks=(Landmark(name="collar", at_mm=Decimal(60)),)),
        _tube("outer", "6.0", "200", Feature.FENESTRATED, open=Opening.ONE),
    ),
)  # fmt: skip
UNKNOWN = Item(id="A4", name="Unmeasured tube", type="marrow_needle", lumens=(_tube("bore", None, "90"),))
UNREACHED = Item(
    id="A5", name="Fine tip", type="eye_tip",
    lumens=(_tube("bore", "0.4", "20", forbid=frozenset({Check.SWAB, Check.SCOPE, Check.LIGHT, Check.HOLES})),),
)  # fmt: skip
TYPICAL = replace(TUBE, id="A6", name="Typical tube", lumens=(_tube("bore", "0.8", "60", learnt=Learnt.TYPICAL),))
SPARE = replace(TUBE, id="X1", name="Bent tube, spare")
TINY_SPARE = replace(UNREACHED, id="X2", name="Fine tip, spare")


def _tray(code: str, name: str, *items: Item, forceps: int = 4, **more: Any) -> Tray:
    lines = [CountLine(name=item.name, want=item.qty, item=item.id) for item in items]
    return Tray(code=code, name=name, items=items, lines=(*lines, CountLine(name="Forceps", want=forceps)), **more)


TRAYS = (
    _tray(EAR, "Ear set", TUBE, PAIR),
    _tray(BIG, "Big set", LONG, TUBE, weight_needed=True, packaging=("container",), indicators=2),
    _tray(HOLD, "Set on hold", UNKNOWN, UNREACHED, TYPICAL),
    _tray(PLAIN, "Plain set"),
    _tray(LATE, "Late set", PAIR),
)


@cache
def people() -> dict[str, Person]:
    hashed = hash_pin(PIN, b"a salt of the small department")
    roles = {"T1": Role.TECH, "T2": Role.TECH, "S1": Role.SUPERVISOR, "D1": Role.DECONTAM}
    return {
        code: Person(id=code, name=f"Person {code}", role=role, badge=code, pin_hash=hashed)
        for code, role in roles.items()
    }


def catalogue() -> Catalogue:
    loads = (
        Load(id="W-1", released=True, trays=(EAR, BIG, HOLD, PLAIN)),
        Load(id="W-2", released=False, trays=(LATE,)),
    )
    return Catalogue(
        trays={tray.code: tray for tray in TRAYS},
        spares={SPARE.id: SPARE, TINY_SPARE.id: TINY_SPARE},
        people=people(),
        loads={load.id: load for load in loads},
        kit=kit_from_mapping(resources.read_yaml(RESOURCES / "kit.yaml")),
    )


def desk(**policy: Any) -> Desk:
    """The bench's surroundings, with some policy values changed."""
    return Desk(
        bench="Bench 1", bench_number=1, catalogue=catalogue(), policy=resources.policy(policy),
        findings=resources.findings(), types=resources.item_types(), choices=resources.choices(),
        make_plan=plan_tray, share=tray_share, encode=_encode, with_check=_with_check, pins=PINS, software="0",
    )  # fmt: skip


def _encode(number: str) -> str:
    return _or_itself(house.encode, number)


def _with_check(number: str) -> str:
    return _or_itself(house.with_check, number)


def _or_itself(code: Callable[[str], str], number: str) -> str:
    try:
        return code(number)
    except ValueError:
        return number


@dataclass(slots=True)
class Shift:
    """A session on the small department, its log and its clock; every command takes ten seconds."""

    desk: Desk = field(default_factory=desk)
    at_ms: int = MORNING
    pace_ms: int = 10_000
    log: list[Kept] = field(default_factory=list)
    session: Session = field(init=False)

    def __post_init__(self) -> None:
        station = "D1" if self.desk.side == "decontam" else "B1"
        self.desk = replace(self.desk, records=LogRecords(lambda: {station: self.log}))
        self.session = Session(
            bench=Bench(), desk=self.desk, words=resources.words(), clock=self.now, keep=self.log.extend
        )

    def now(self) -> Now:
        return Now(at_ms=self.at_ms, offset_min=0)

    @property
    def bench(self) -> Bench:
        return self.session.bench

    @property
    def trip(self) -> Trip:
        trip = self.bench.trip
        assert trip is not None
        return trip

    @property
    def step(self) -> Step:
        return next_step(self.bench, self.session.here)

    @property
    def refused(self) -> str:
        """The key of the refusal of the last command, or ""."""
        notice = self.session.notice
        return notice[0] if notice and notice[0].startswith("refused.") else ""

    def send(self, *sends: c.Send) -> list[e.Event]:
        """Send; the events kept."""
        events = []
        for send in sends:
            self.at_ms += self.pace_ms
            events += [kept.event for kept in self.session.send(send)]
        return events

    def must(self, *sends: c.Send) -> list[e.Event]:
        """Send what must be taken."""
        events = []
        for send in sends:
            events += self.send(send)
            assert not self.refused, (self.refused, send, self.step)
        return events

    def minutes(self, minutes: float) -> None:
        self.at_ms += int(minutes * 60_000)

    def sign_in(self, who: str = "T1") -> None:
        self.must(c.EnterPin(person=who, pin=PIN))
        while self.step.kind == "startup":
            self.must(c.AnswerStartup(question=self.step.question, yes=True))

    def open(self, tray: str = EAR) -> list[e.Event]:
        """Scan a tray; one that went back as a whole has been in the washer since."""
        if went_whole(self.bench, self.session.desk, tray):
            self.wash(tray)
        return self.must(scan(tray))

    def wash(self, tray: str) -> str:
        """A new load with this tray, released."""
        catalogue = self.session.desk.catalogue
        load = Load(id=f"W-{901 + len(catalogue.loads)}", released=True, trays=(tray,))
        loads = {**catalogue.loads, load.id: load}
        self.session.use(replace(self.session.desk, catalogue=replace(catalogue, loads=loads)))
        return load.id

    def count(self) -> None:
        self.must(c.CountAll(lines=tuple(line.name for line in self.trip.tray.lines), took_ms=5000))

    def yes(self, took_ms: int = 90_000) -> list[e.Event]:
        """YES to the open check; a scope that is due is cleaned before, a count that differs is told."""
        self.tell_what_differs()
        while self.step.kind == "scope":
            self.must(c.StepDone(step="scope"))
        step = self.step
        assert step.check is not None, step
        return self.must(c.Answer(piece=step.piece, key=step.check.key, yes=True, took_ms=took_ms))

    def yes_until(self, name: str) -> None:
        """YES up to the check named `A1.bore.swab`."""
        self.tell_what_differs()
        while name != (here := self._here()):
            assert here or self.step.kind == "scope", (name, self.step)
            self.yes()

    def tell_what_differs(self) -> None:
        """Nothing found at the sink; nobody knows whose an extra piece is."""
        while self.step.kind in {"search", "whose"}:
            line = self.step.line
            search = c.Search(line=line, places=("sink",), over=True)
            self.must(search if self.step.kind == "search" else c.ExtraIs(line=line))

    def yes_to_all(self) -> None:
        self.tell_what_differs()
        while self.step.kind in {"check", "scope"}:
            if self.step.kind == "scope":
                self.must(c.StepDone(step="scope"))
            else:
                self.yes()

    def _here(self) -> str:
        return f"{self.step.piece}.{self.step.check.key}" if self.step.check else ""

    def no(self, code: str, place: Place | None = None) -> list[e.Event]:
        """NO to the open check, with what was found; a picture is declined where one is wanted."""
        while self.step.kind == "scope":
            self.must(c.StepDone(step="scope"))
        step = self.step
        assert step.check is not None, step
        answer = c.Answer(piece=step.piece, key=step.check.key, yes=False, took_ms=9000)
        where = place or Place(lumen=step.check.lumen, at_mm=40 if step.check.lumen else None)
        return self.must(answer, c.ReportFinding(code=code, place=where))

    def confirm(self, what: str) -> list[e.Event]:
        """Confirm the decision, without a picture."""
        events = []
        if self.session.turn is not None and self.session.turn.page is c.Page.LOAD_ALERT:
            self.must(c.Turn())
        if "photo" in type(self.session.view()).__name__.lower() or self._photo_wanted():
            events += self.must(c.NoPhoto(reason="too_dark"))
        return events if self.step.kind != "decide" else events + self.must(c.Confirm(what=what))

    def _photo_wanted(self) -> bool:
        main = getattr(self.session.view(), "main", None)
        return main is not None and main.send == c.Turn(page=c.Page.PHOTO)

    def print_all(self, where: str = "paper tray", why: str = "") -> list[e.Event]:
        """What comes of every paper on its way."""
        events = []
        for job in [j for j in self.trip.jobs if not j.settled and not j.why]:
            came = c.PrintCame(doc=job.doc, number=job.number, copy=job.copy, where="" if why else where, why=why)
            events += self.must(came)
        return events

    def tidy(self) -> None:
        """Bench, gloves and papers, until the tray itself goes on."""
        while self.step.kind in {"broken", "bench", "gloves", "print", "readable"}:
            if self.step.kind == "broken":
                self.must(c.Call(answered=True))
            elif self.step.kind == "print":
                assert self.print_all()
            elif self.step.kind == "readable":
                self.must(c.Readable(yes=True))
            else:
                if self.bench.label_minutes is None:
                    self.must(c.SetLabelTime(minutes=3))
                self.minutes(5)
                self.must(c.StepDone(step=self.step.kind))

    def pack(self, weight: str = "5") -> list[e.Event]:
        if self.trip.tray.weighed:
            self.must(c.Weigh(value=weight, unit="kg"))
        kind = self.trip.tray.packaging[0]
        return self.must(
            c.PlaceIndicators(count=self.trip.tray.indicators), c.ChoosePackaging(kind=kind), c.PackAndPrint()
        )

    def folded(self) -> Bench:
        bench = Bench()
        for kept in self.log:
            bench = evolve(bench, kept)
        return bench


def scan(text: str, kind: Kind = Kind.TRAY) -> c.Scanned:
    return c.Scanned(meaning=Meaning(kind=kind, text=text))


def names(events: list[e.Event]) -> list[str]:
    """The events by their names on disk."""
    return [e.NAME_OF[type(event)] for event in events]


def at_work(tray: str = EAR, **policy: Any) -> Shift:
    """Signed in, the tray open and counted."""
    shift = Shift(desk=desk(**policy))
    shift.sign_in()
    shift.open(tray)
    shift.count()
    return shift


def with_one_back(**policy: Any) -> Shift:
    """At work on the ear set: grit in one tube, which goes back with its ticket; the bench is tidied."""
    shift = at_work(**policy)
    shift.yes_until("A1.bore.swab")
    shift.no("bone_grit", Place(lumen="bore", at_mm=10))
    shift.confirm("item_back")
    shift.tidy()
    return shift


def with_one_back_and_shelved() -> Shift:
    """The rest of that set is looked at, and it waits on the hold shelf."""
    shift = with_one_back()
    shift.yes_to_all()
    shift.must(c.Confirm(what="shelf"))
    return shift


def forceps_short() -> Shift:
    """The plain set with three of its four forceps; everything else is looked at."""
    shift = Shift()
    shift.sign_in()
    shift.open(PLAIN)
    shift.must(c.CountLine(line="Forceps", have=3), c.CountDiffers())
    shift.yes_to_all()
    return shift
