"""The rows "Loaner", "Implant" and "IFU missing or changed": second count, used and refilled, papers, going home."""

from dataclasses import replace

import pytest

from kiosk.core import commands as c
from kiosk.core import events as e
from kiosk.core.catalogue import CountLine, Loaner, Tray
from kiosk.core.composing import Order, compose
from kiosk.core.dispositions import tray_disposition
from kiosk.core.papers import PackageLabel, TraySheet
from kiosk.core.past.counters import summary
from kiosk.core.shift import shift_of
from kiosk.core.stamp import local_time
from kiosk.core.state.bench import Bench
from kiosk.core.views import CountView, StopView
from kiosk.core.vocabulary import Disposition
from tests.core.department import EAR, PIN, Shift, desk, names

LOAN = Tray(
    code="LN-9",
    name="Loaner knee tray",
    lines=(CountLine(name="Trials", want=30), CountLine(name="Cutting blocks", want=4)),
    loaner=Loaner(vendor="Vendor 1", part=2, of=6, ifu_on_file=True, received="2031-03-05 16:20", received_by="S1"),
)
CADDY = Tray(
    code="TR-80",
    name="Screw caddy",
    lines=(
        CountLine(name="Screw 10", want=12, implant=True),
        CountLine(name="Screw 12", want=8, implant=True),
        CountLine(name="Drivers", want=2),
    ),
)
assert LOAN.loaner is not None
NO_IFU = replace(LOAN, loaner=replace(LOAN.loaner, ifu_on_file=False))
GOING = replace(LOAN, loaner=replace(LOAN.loaner, returning=True))


def opened(tray: Tray, **policy: object) -> Shift:
    around = desk(**policy)
    loads = {key: replace(load, trays=(*load.trays, tray.code)) for key, load in around.catalogue.loads.items()}
    loads = {"W-1": loads["W-1"]}
    catalogue = replace(around.catalogue, trays={**around.catalogue.trays, tray.code: tray}, loads=loads)
    shift = Shift(desk=replace(around, catalogue=catalogue))
    shift.sign_in()
    shift.open(tray.code)
    return shift


def second(shift: Shift, by: str = "T2", **counts: int) -> None:
    """The second person counts: as listed, but for the lines named."""
    shift.must(c.EnterPin(person=by, pin=PIN, second="count"))
    for line, have in counts.items():
        shift.must(c.CountLine(line=line.replace("_", " "), have=have, by=by))
    shift.must(c.CountAll(lines=tuple(line.name for line in shift.trip.tray.lines), took_ms=9000, by=by))
    shift.must(c.SecondCountDone(by=by))


def packed(shift: Shift) -> tuple[TraySheet, PackageLabel]:
    """Packed, and its two papers."""
    while shift.step.kind == "check":
        shift.yes()
    shift.pack()
    glance = shift.session.glance()
    number, trip = shift.trip.package, shift.trip
    sheet = compose(glance, Order(trip=trip, doc="tray_sheet", number=trip.id))
    label = compose(glance, Order(trip=trip, doc="package_label", number=number))
    assert isinstance(sheet, TraySheet)
    assert isinstance(label, PackageLabel)
    return sheet, label


def test_a_loaner_without_its_instructions_on_file_is_held_from_its_opening_and_never_packed() -> None:
    shift = opened(NO_IFU)
    assert shift.step.kind == "no_ifu"
    assert [hold.code for hold in shift.trip.holds] == ["no_ifu"]
    shift.send(c.CountAll(lines=("Trials",), took_ms=9000))
    assert shift.refused
    for by, why in (("T1", "refused.not_supervisor"), ("nobody", "refused.not_supervisor")):
        shift.send(c.RuleIfu(by=by))
        assert shift.refused == why
    assert names(shift.must(c.RuleIfu(by="S1"))) == ["ifu_filed", "hold_released"]
    assert shift.step.kind == "count"


def test_a_house_set_is_never_held_for_instructions() -> None:
    shift = opened(CADDY)
    assert not shift.trip.holds


def test_the_first_use_of_a_loaner_is_counted_by_a_second_person_and_both_stand_on_the_sheet() -> None:
    shift = opened(LOAN)
    shift.count()
    assert shift.step.kind == "second_count"
    second(shift)
    sheet, label = packed(shift)
    said = " ".join(sheet.exceptions)
    assert "LOANER 2 of 6" in said
    assert "Vendor 1" in said
    assert "Person T2" in said
    assert "LOANER 2 of 6" in label.alerts
    shift.print_all()
    shift.must(c.Readable(yes=True))
    shift.open(LOAN.code)  # it is known here now
    shift.count()
    assert shift.step.kind == "check"


def test_the_second_count_is_blind_and_never_the_same_badge() -> None:
    shift = opened(LOAN)
    shift.must(c.CountLine(line="Trials", have=30), c.CountLine(line="Cutting blocks", have=4), c.CountDiffers())
    for by in ("T1", "D1", "nobody"):
        shift.send(c.CountLine(line="Trials", have=30, by=by))
        assert shift.refused
    shift.must(c.EnterPin(person="T2", pin=PIN, second="count"))
    view = shift.session.view()
    assert isinstance(view, CountView)
    assert all(row.have is None and row.state == "" for row in view.rows)


def test_two_counts_that_differ_are_both_made_again_and_nobody_is_told_who_was_right() -> None:
    shift = opened(LOAN)
    shift.count()
    second(shift, Trials=29)
    assert shift.step.kind == "count"
    assert set(shift.trip.counts) == {"Cutting blocks"}
    assert shift.trip.second_counts == {}
    shift.must(c.CountAll(lines=("Trials",), took_ms=9000))
    second(shift)
    assert shift.step.kind == "check"


def test_a_loaner_is_always_weighed() -> None:
    shift = opened(LOAN)
    shift.count()
    second(shift)
    shift.yes_to_all()
    shift.must(c.PlaceIndicators(count=1), c.ChoosePackaging(kind="wrap"))
    shift.send(c.PackAndPrint())
    assert shift.refused == "refused.weigh_first"


def test_a_loaner_goes_home_counted_with_no_label_and_is_new_when_it_comes_again() -> None:
    shift = opened(GOING)
    shift.send(c.ReturnLoaner())
    assert shift.refused  # not before the count
    shift.count()
    events = shift.must(c.ReturnLoaner())
    assert [event.doc for event in events if isinstance(event, e.PrintAsked)] == ["tray_sheet"]
    assert tray_disposition(shift.trip) is Disposition.CLOSED
    assert shift.bench.loaners == frozenset()


def test_a_loaner_does_not_go_home_while_a_piece_of_it_is_at_decontam() -> None:
    ear = desk().catalogue.trays[EAR]
    shift = opened(replace(ear, code="LN-8", loaner=GOING.loaner))
    shift.count()
    shift.yes_until("A1.bore.swab")
    shift.no("brown_film")
    shift.confirm("item_back")
    shift.print_all()
    shift.tidy()
    shift.send(c.ReturnLoaner())
    assert shift.refused == "refused.loaner_waits"


def test_used_and_refilled_screws_are_no_missing_pieces_and_hold_nothing() -> None:
    shift = opened(CADDY, second_person=[])
    shift.must(c.CountLine(line="Screw 10", have=12), c.CountImplant(line="Screw 10", used=3, refilled=3))
    shift.must(c.CountLine(line="Screw 12", have=6), c.CountLine(line="Drivers", have=2))
    events = shift.must(c.CountDiffers())
    assert names(events) == ["implant_used", "count_ok"]
    assert not shift.trip.differences
    assert not shift.trip.holds
    sheet, label = packed(shift)
    said = " ".join(sheet.exceptions)
    assert "IMPLANT" in said
    assert "Screw 10: 3 used, 3 refilled" in said
    assert "Screw 12: 2 used, 0 refilled" in said
    assert "IMPLANT" in label.alerts
    assert "releas" not in f"{sheet} {label}".lower()
    policy = shift.desk.policy
    counters = summary(shift.log, shift_of(local_time(shift.at_ms, 0), policy.shifts), policy)
    assert (counters["identity"], counters["holds_placed"]) == (0, 0)


def test_a_driver_that_is_missing_from_a_caddy_is_still_missing() -> None:
    shift = opened(CADDY, second_person=[])
    shift.must(*(c.CountLine(line=line.name, have=line.want) for line in CADDY.implants))
    shift.must(c.CountLine(line="Drivers", have=1))
    assert "count_short" in names(shift.must(c.CountDiffers()))


def test_implants_alone_are_counted_by_a_second_person() -> None:
    shift = opened(CADDY)
    shift.count()
    assert shift.step.kind == "second_count"
    shift.must(c.EnterPin(person="T2", pin=PIN, second="count"))
    view = shift.session.view()
    assert isinstance(view, CountView)
    assert [row.name for row in view.rows] == ["Screw 10", "Screw 12"]


@pytest.mark.parametrize("asked", [LOAN, CADDY])
def test_a_bench_restarted_knows_who_has_counted(asked: Tray) -> None:
    shift = opened(asked)
    shift.count()
    second(shift)
    assert shift.folded() == shift.bench
    assert shift.bench != Bench()


def test_a_loaner_that_was_processed_elsewhere_is_told_to_be_cleaned_here() -> None:
    shift = opened(LOAN)
    catalogue = replace(shift.desk.catalogue, loads={})
    fresh = Shift(desk=replace(shift.desk, catalogue=catalogue))
    fresh.sign_in()
    fresh.open(LOAN.code)
    view = fresh.session.view() if fresh.session.turn is None else None
    fresh.send(c.Turn())
    view = fresh.session.view()
    assert isinstance(view, StopView)
    assert any("Processed elsewhere does not count" in line for line in view.lines)
