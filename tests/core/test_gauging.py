"""A lumen of unknown size is gauged at the bench, a wrong size corrected there: by the supervisor's word only.

Source of the rule: the largest pin that goes is the narrowest clear inside (common practice, no source).
"""

from decimal import Decimal

import pytest

from kiosk.core import commands as c
from kiosk.core import events as e
from kiosk.core.commands import Page
from kiosk.core.composing import Order, compose
from kiosk.core.papers import TraySheet
from kiosk.core.views import NumberView
from kiosk.core.vocabulary import Disposition, Learnt
from tests.core.by_chance import offered
from tests.core.department import EAR, HOLD, Shift, at_work, names

ASKED = c.Measure(piece="A4", lumen="bore", goes="1.5", stops="2.0")


def gauged(shift: Shift) -> list[e.Event]:
    return shift.must(ASKED)


def ruled(shift: Shift) -> list[e.Event]:
    return shift.must(c.RuleSize(by="S1", piece="A4", lumen="bore"))


def test_pin_goes_then_pin_stops_each_on_its_own_pad_and_what_is_known_is_not_asked() -> None:
    shift = at_work(HOLD)
    shift.must(c.Measure(piece="A4", lumen="bore", goes="1.5"))
    view = shift.session.view()
    assert isinstance(view, NumberView)
    assert (view.title, view.field) == ("Smallest pin that STOPS, in mm", "stops")
    assert names(gauged(shift)) == ["hold_placed", "measured"]  # the length of 90 mm is in the record


def test_the_largest_pin_that_goes_is_the_size_never_the_one_that_stops_nor_what_is_typical() -> None:
    shift = at_work(HOLD)
    gauged(shift)
    ruled(shift)
    (way,) = shift.trip.pieces["A4"].item.lumens if shift.trip.pieces["A4"].item else ()
    assert (way.inside_mm, way.length_mm, way.learnt) == (Decimal("1.5"), Decimal(90), Learnt.GAUGE_PIN)


@pytest.mark.parametrize(("goes", "stops"), [("2.0", "2.0"), ("2.5", "2.0")])
def test_pins_that_can_not_be_are_measured_again(goes: str, stops: str) -> None:
    shift = at_work(HOLD)
    shift.send(c.Measure(piece="A4", lumen="bore", goes=goes, stops=stops))
    assert not any(isinstance(kept.event, e.Measured) for kept in shift.log)


def test_a_measure_releases_nothing_before_the_supervisor_takes_it() -> None:
    shift = at_work(HOLD)
    gauged(shift)
    assert shift.trip.pieces["A4"].disposition is Disposition.HOLD
    shift.send(c.RuleSize(by="T1", piece="A4", lumen="bore"))
    assert shift.refused == "refused.not_supervisor"
    events = names(ruled(shift))
    assert events == ["hold_released", "record_corrected", "record_used", "plan_shown"]
    assert "bore.swab" in shift.trip.pieces["A4"].plan.keys
    assert shift.trip.pieces["A4"].plan.hold is None


def test_what_was_answered_after_the_first_looks_is_asked_again() -> None:
    shift = at_work(EAR)
    shift.yes_until("A1.bore.swab")
    shift.must(c.CorrectSize(by="S1", piece="A1", lumen="bore", inside="2.0", length="150"))
    assert set(shift.trip.pieces["A1"].yes) == {"look"}
    assert shift.step.check is not None
    assert shift.step.check.key == "bore.dry"
    swab = next(check for check in shift.trip.pieces["A1"].plan.checks if check.key == "bore.swab")
    assert swab.use == "2.0 mm"


def test_a_tech_never_edits_sizes() -> None:
    shift = at_work(EAR)
    shift.send(c.CorrectSize(by="T1", piece="A1", lumen="bore", inside="2.0", length="150"))
    assert shift.refused == "refused.not_supervisor"
    for page in (None, c.Turn(page=Page.STOP), c.Turn(page=Page.HAPPENED)):
        shift.session.turn = page
        assert not any(isinstance(send, c.CorrectSize) for send in offered(shift.session.view()))


def test_the_size_is_known_ever_after_in_this_tray() -> None:
    shift = at_work(HOLD)
    gauged(shift)
    ruled(shift)
    record = shift.session.desk.catalogue.trays[HOLD].items[0]
    assert record.lumens[0].inside_mm == Decimal("1.5")


def test_the_sheet_says_what_was_measured() -> None:
    shift = at_work(HOLD)
    gauged(shift)
    ruled(shift)
    sheet = compose(shift.session.glance(), Order(trip=shift.trip, doc="tray_sheet", number="x"))
    assert isinstance(sheet, TraySheet)
    assert any(line.startswith("measured 1.5 mm: Unmeasured tube") for line in sheet.exceptions)


@pytest.mark.parametrize(("everywhere", "corrected"), [(False, 1), (True, 2)])
def test_the_same_item_in_another_tray_is_listed_and_changed_only_by_the_supervisors_word(
    everywhere: bool, corrected: int
) -> None:
    from dataclasses import replace

    shift = at_work(HOLD)
    known = shift.session.desk.catalogue
    twin = replace(known.trays[HOLD].items[0], id="B4")
    ear = replace(known.trays[EAR], items=(*known.trays[EAR].items, twin))
    shift.session.use(replace(shift.session.desk, catalogue=replace(known, trays={**known.trays, EAR: ear})))
    gauged(shift)
    events = shift.must(c.RuleSize(by="S1", piece="A4", lumen="bore", everywhere=everywhere))
    assert sum(isinstance(event, e.RecordCorrected) for event in events) == corrected
    inside = next(item for item in shift.session.desk.catalogue.trays[EAR].items if item.id == "B4").lumens[0].inside_mm
    assert (inside == Decimal("1.5")) is everywhere
    assert (shift.session.notice == ("notice.same_elsewhere", {"trays": EAR})) is not everywhere
