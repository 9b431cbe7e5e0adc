"""Put right here: fiber, stiff, magnetized, with or without a lumen; lubricant only after the joint was looked into."""

from dataclasses import replace

import pytest

from kiosk.core import commands as c
from kiosk.core import events as e
from kiosk.core.catalogue import CountLine
from kiosk.core.composing import Order, compose
from kiosk.core.papers import TraySheet
from kiosk.core.past.counters import summary
from kiosk.core.place import Place
from kiosk.core.shift import shift_of
from kiosk.core.stamp import local_time
from kiosk.core.views import StepsView
from kiosk.core.vocabulary import Disposition
from tests.core.department import EAR, PLAIN, Shift, at_work, desk, names


def seen_on(shift: Shift, line: str, code: str) -> None:
    """After all looks: something on a piece without a lumen."""
    shift.must(c.ReportOther(), c.ReportFinding(code=code, place=Place(landmark=line)))


def steps(shift: Shift) -> str:
    view = shift.session.view()
    assert isinstance(view, StepsView)
    return " ".join((*view.steps, view.main.label, *(key.label for key in view.others))).lower()


def test_no_lubricant_is_offered_before_the_joint_was_looked_into() -> None:
    shift = at_work(PLAIN)
    shift.yes_to_all()
    seen_on(shift, "Forceps", "stiff")
    assert "lubric" not in steps(shift)
    shift.send(c.StepDone(step="put_right"))
    assert shift.refused == "refused.joint_first"
    shift.must(c.LookIntoJoint(soil=False))
    assert "lubricate as its instructions say" in steps(shift)


def test_soil_in_the_joint_is_named_and_goes_back_and_nothing_is_put_on_it() -> None:
    shift = at_work(PLAIN)
    shift.yes_to_all()
    seen_on(shift, "Forceps", "stiff")
    shift.must(c.LookIntoJoint(soil=True))
    shift.must(c.ReportFinding(code="bone_grit", place=Place(landmark="Forceps")))
    (back,) = (event for event in shift.confirm("item_back") if isinstance(event, e.ItemBack))
    assert set(back.findings) == {1, 2}
    assert not any(isinstance(kept.event, e.BenchFixed) for kept in shift.log)


def eye_line() -> Shift:
    around = desk()
    trays = dict(around.catalogue.trays)
    trays[PLAIN] = replace(trays[PLAIN], lines=(CountLine(name="Eye scissors", want=2, lubricate=False),))
    shift = Shift(desk=replace(around, catalogue=replace(around.catalogue, trays=trays)))
    shift.sign_in()
    shift.open(PLAIN)
    shift.count()
    return shift


def test_where_the_record_says_no_lubricant_none_is_offered_at_all() -> None:
    shift = eye_line()
    shift.yes_to_all()
    seen_on(shift, "Eye scissors", "stiff")
    shift.must(c.LookIntoJoint(soil=False))
    assert "gets no lubricant" in steps(shift)
    assert "lubricate as" not in steps(shift)


def test_what_was_put_right_is_looked_at_again_before_the_tray_goes_on() -> None:
    shift = at_work(PLAIN)
    shift.yes_to_all()
    seen_on(shift, "Forceps", "magnetized")
    shift.must(c.StepDone(step="put_right"))
    assert (shift.step.kind, shift.step.piece) == ("check", "tray")
    shift.yes()
    assert shift.step.kind == "pack"


def test_three_put_right_are_three_on_the_sheet_and_in_the_figures() -> None:
    around = desk()
    trays = dict(around.catalogue.trays)
    more = (*trays[EAR].lines, CountLine(name="Scissors", want=1))
    trays[EAR] = replace(trays[EAR], lines=more)
    shift = Shift(desk=replace(around, catalogue=replace(around.catalogue, trays=trays)))
    shift.sign_in()
    shift.open(EAR)
    shift.count()
    shift.yes_until("A1.look")
    shift.no("fiber", Place(landmark="shaft"))
    shift.must(c.StepDone(step="put_right"))
    shift.yes_to_all()
    for line, code in (("Scissors", "stiff"), ("Forceps", "magnetized")):
        seen_on(shift, line, code)
        if code == "stiff":
            shift.must(c.LookIntoJoint(soil=False))
        shift.must(c.StepDone(step="put_right"))
        shift.yes()
    policy = shift.desk.policy
    counted = summary(shift.log, shift_of(local_time(shift.at_ms, 0), policy.shifts), policy)
    assert (counted["bench_fixed"], counted["damage"], counted["foreign"], counted["repairs"]) == (3, 2, 1, 0)
    sheet = compose(shift.session.glance(), Order(trip=shift.trip, doc="tray_sheet", number="x"))
    assert isinstance(sheet, TraySheet)
    assert "put right at the bench: 3" in sheet.exceptions


@pytest.mark.parametrize("code", ["stiff", "magnetized", "fiber"])
def test_what_stays_as_it_is_goes_back(code: str) -> None:
    shift = at_work(PLAIN)
    shift.yes_to_all()
    seen_on(shift, "Forceps", code)
    assert "item_back" in names(shift.must(c.Confirm(what="item_back")))
    assert shift.trip.pieces["tray"].disposition is Disposition.ITEM_BACK


def test_nothing_is_reported_of_other_pieces_before_they_were_looked_at() -> None:
    shift = at_work(EAR)
    shift.send(c.ReportOther())
    assert shift.refused == "refused.not_asked"
