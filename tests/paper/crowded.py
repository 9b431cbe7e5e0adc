"""The papers of a department in which everything is long: names of 48 letters, 110 count lines, 12 lumens, 40 holds.

Told through the rules and composed as the kiosk composes them, so that what is looked at is what is printed.
"""

from collections.abc import Iterator
from dataclasses import replace
from decimal import Decimal
from functools import cache

from kiosk.core import commands as c
from kiosk.core import events as e
from kiosk.core.catalogue import Catalogue, CountLine, Item, Load, Lumen, Tray
from kiosk.core.composing import Order, ReportOrder, compose, compose_report
from kiosk.core.papers import Paper
from kiosk.core.past.records import told_trip
from kiosk.core.place import Place
from kiosk.core.stamp import local_time
from tests.core.department import PIN, PLAIN, Shift, desk, scan

MANY = 40
TUBE = Lumen(name="irrigation and suction way", inside_mm=Decimal("3.0"), length_mm=Decimal(240))
LONG = "Reconstruction and microvascular set, spare no "
ITEM = "Irrigation handpiece with two-way outer sleeve"
LOAD = "W-310304-0001"
CLEANING_LEVELS = {
    "atp RLU LUMINOMETER NO 7 ROOM 12": ["100.25", "250.75"],
    "carbohydrate µg/instrument": ["100.125", "1000.125", "over"],
}


def _item(code: str, name: str, *lumens: Lumen) -> Item:
    return Item(id=code, name=name[:48], type="fine_suction", lumens=lumens or (TUBE,))


def _held(n: int) -> Tray:
    tube = _item(f"H{n}", f"{ITEM} {n:02d}")
    lines = (CountLine(name=tube.name, want=1, item=tube.id), CountLine(name="Forceps", want=4))
    return Tray(code=f"TR-{1000 + n}", name=f"{LONG}{n}"[:48], items=(tube,), lines=lines)


def _large() -> Tray:
    """110 count lines, four of them with three lumens each."""
    ways = tuple(replace(TUBE, name=f"{name} way of the handpiece") for name in ("suction", "irrigation", "working"))
    items = tuple(_item(f"L{n}", f"{ITEM} {n:02d}", *ways) for n in range(4))
    lines = [CountLine(name=item.name, want=1, item=item.id) for item in items]
    lines += [CountLine(name=f"Clamp curved with long jaws and a fine tip no {n}", want=n % 5 + 1) for n in range(106)]
    return Tray(code="TR-2000", name=f"{LONG}99"[:48], items=items, lines=tuple(lines))


def department(plain: Catalogue) -> Catalogue:
    """A catalogue of long names around what a plain department has."""
    held = [_held(n) for n in range(MANY)]
    trays = {tray.code: tray for tray in (*held, _large(), plain.trays[PLAIN])}
    people = {key: replace(one, name=f"Wilhelmina Featherstonehaugh-{key}") for key, one in plain.people.items()}
    loads = {LOAD: Load(id=LOAD, released=True, trays=tuple(trays))}
    return replace(plain, trays=trays, people=people, loads=loads)


@cache
def crowded() -> Shift:
    """A shift with 40 trays held for a piece that went back, one short, one large tray packed, and a note written."""
    plain = desk(cleaning_levels=CLEANING_LEVELS)
    shift = Shift(desk=replace(plain, catalogue=department(plain.catalogue)), pace_ms=1_000)
    shift.sign_in()
    for n in range(MANY):
        _send_back(shift, f"TR-{1000 + n}", f"H{n}")
    shift.must(scan("TR-2000"))
    shift.count()
    shift.yes_to_all()
    shift.pack()
    shift.print_all()
    shift.must(c.Readable(yes=True))
    shift.must(scan(PLAIN), c.CountLine(line="Forceps", have=3), c.CountDiffers())
    shift.tell_what_differs()
    shift.must(c.StopHere(reason="end_of_shift"), c.SignOut(), c.EnterPin(person="S1", pin=PIN))
    _tests(shift)
    return shift


def _tests(shift: Shift) -> None:
    """Results of two meters with long names, of a long tray and a long mark, and of another thing."""
    long = "M-0123456789012345-ABCDEFGH"
    read = c.KeepCleaningTest(kind="atp", unit="RLU", method="extract", meter="LUMINOMETER NO 7 ROOM 12")
    for n, about in enumerate(("tray=TR-1001", f"item={long}", f"load={LOAD}", "tray=TR-2000", "other=SINK")):
        shift.must(replace(read, about=about, value=f"{90 * n + 70}.25"))
        shift.must(replace(read, meter="LUMINOMETER NO 9 ROOM 14", about=about, value="9876543"))
    by_area = replace(read, kind="carbohydrate", unit="µg/instrument", about="tray=TR-1002", value="1234.567")
    other = replace(by_area, kind="other", what="ENDOTOXIN IN RINSE WATER", unit="EU/instrument", meter="-")
    shift.must(by_area, other, c.AnswerCleaningTest(test="CT-10001", done="mistyped"))


def _send_back(shift: Shift, tray: str, piece: str) -> None:
    shift.must(scan(tray))
    shift.count()
    shift.yes_until(f"{piece}.{TUBE.name}.swab")
    shift.no("bone_grit", Place(lumen=TUBE.name, at_mm=130))
    shift.confirm("item_back")
    shift.tidy()
    shift.yes_to_all()
    shift.must(c.Confirm(what="shelf"))


def papers() -> Iterator[tuple[str, Paper]]:
    """Every paper of the crowded department by a name for its picture, each as a first print."""
    shift = crowded()
    glance = shift.session.paper_glance
    day = f"day/{local_time(shift.at_ms, 0).date().isoformat()}"
    asked: tuple[c.Send, ...] = (
        c.PrintReport(doc="shift_summary", about=day),
        c.PrintReport(doc="handover_list"),
        c.RunLookback(kind="load", value=LOAD, why="load_bad"),
        c.PrintReport(doc="scope_log", about="SC-1"),
        c.PrintReport(doc="policy_page"),
        c.PrintReport(doc="cleaning_tests"),
        c.IssueForms(kind="return_ticket", many=2),
        c.IssueForms(kind="tray_sheet", many=2),
        c.DrawAudit(many=6, seed=7),
    )
    for n, send in enumerate(asked):
        shift.must(send)
        job = shift.bench.jobs[-1]
        order = ReportOrder(doc=job.doc, number=job.number, copy=job.copy, about=job.about)
        yield f"{n}_{job.doc}", compose_report(glance(), order)
        shift.session.send(c.PrintCame(doc=job.doc, number=job.number, copy=job.copy, where="queue"))
    opened = [kept.stamp.trip for kept in shift.log if isinstance(kept.event, e.TrayOpened)]
    for number in (opened[0], opened[MANY]):
        trip = told_trip(shift.desk.records.of_trip(number or ""))
        assert trip is not None
        for job in trip.jobs:
            of_tray = Order(trip=trip, doc=job.doc, number=job.number)
            yield f"{trip.tray.code}_{job.doc}", compose(glance(), of_tray)


def of_nothing() -> Paper:
    """The summary of a shift in which nothing was done but signing in."""
    shift = Shift()
    shift.must(c.EnterPin(person="S1", pin=PIN))
    day = local_time(shift.at_ms, 0).date().isoformat()
    shift.must(c.PrintReport(doc="shift_summary", about=f"day/{day}"))
    job = shift.bench.jobs[-1]
    order = ReportOrder(doc=job.doc, number=job.number, copy=job.copy, about=job.about)
    return compose_report(shift.session.paper_glance(), order)
