"""Spares like for like, and what the papers and pages say that nobody saw."""

from dataclasses import replace
from decimal import Decimal

import pytest

from kiosk.core import commands as c
from kiosk.core.catalogue import Item
from kiosk.core.composing import Order, compose
from kiosk.core.glance import unseen
from kiosk.core.papers import TraySheet
from kiosk.core.spares import alike
from kiosk.core.views import DoneView, PackView, StopView
from kiosk.core.vocabulary import Feature, Opening
from tests.core.department import BIG, EAR, LONG, PIN, SPARE, TUBE, Shift, at_work, with_one_back


def unlike() -> dict[str, Item]:
    (bore,) = TUBE.lumens
    return {
        "type": replace(TUBE, type="eye_tip"),
        "takes apart": replace(TUBE, takes_apart=True),
        "insulated": replace(TUBE, insulated=True),
        "tests": replace(TUBE, function=("jaws meet",)),
        "bore": replace(TUBE, lumens=(replace(bore, inside_mm=Decimal("2.9")),)),
        "length": replace(TUBE, lumens=(replace(bore, length_mm=Decimal(140)),)),
        "ends": replace(TUBE, lumens=(replace(bore, open=Opening.ONE),)),
        "features": replace(TUBE, lumens=(replace(bore, features=frozenset({Feature.BLIND})),)),
        "number of lumens": replace(TUBE, lumens=(bore, replace(bore, name="side"))),
    }


@pytest.mark.parametrize("what", list(unlike()))
def test_a_spare_that_differs_is_not_like_for_like(what: str) -> None:
    assert alike(SPARE, TUBE)
    assert alike(replace(LONG, id="X9", name="Spare"), LONG)
    assert not alike(unlike()[what], TUBE)


def test_one_spare_is_not_in_two_trays() -> None:
    shift = Shift()
    shift.sign_in()
    for tray in (EAR, BIG):
        shift.open(tray)
        shift.count()
        shift.yes_until("A1.bore.swab")
        shift.no("bone_grit")
        shift.confirm("item_back")
        shift.tidy()
        if tray == EAR:
            shift.must(c.RuleSubstitute(by="S1", piece="A1", spare="X1"), c.StopHere(reason="break"))
    shift.send(c.RuleSubstitute(by="S1", piece="A1", spare="X1"))
    assert shift.refused == "refused.not_alike"


def test_the_page_for_a_spare_names_what_is_on_record_and_says_when_nothing_is() -> None:
    shift = with_one_back()
    shift.must(c.Turn(page=c.Page.SPARE, subject="S1"))
    view = shift.session.view()
    assert isinstance(view, StopView)
    assert view.lines == ("On record: X1, Bent tube, spare",)
    shift.must(c.RuleSubstitute(by="S1", piece="A1", spare="X1"), c.StopHere(reason="break"))
    shift.open(BIG)
    shift.count()
    shift.yes_until("A1.bore.swab")
    shift.no("bone_grit")
    shift.confirm("item_back")
    shift.must(c.Turn(page=c.Page.SPARE, subject="S1"))
    view = shift.session.view()
    assert isinstance(view, StopView)
    assert view.lines == ("No spare of this kind is on record here.",)


def test_pack_page_done_page_and_tray_sheet_count_the_same_lumens_not_seen() -> None:
    """Without scopes nobody looks through these tubes; the replaced piece's lumen is not among the three."""
    shift = Shift()
    shift.must(c.EnterPin(person="T1", pin=PIN))
    while shift.step.kind == "startup":
        shift.must(c.AnswerStartup(question=shift.step.question, yes=not shift.step.question.startswith("scope")))
    known = shift.session.desk.catalogue
    spares = {"X7": replace(LONG, id="X7")}
    shift.session.use(replace(shift.session.desk, catalogue=replace(known, spares=spares)))
    shift.open(BIG)
    shift.count()
    shift.yes_until("A3.outer.swab")
    assert "A3.inner" in shift.trip.not_seen
    shift.no("bone_grit")
    shift.confirm("item_back")
    shift.tidy()
    shift.must(c.RuleSubstitute(by="S1", piece="A3", spare="X7"))
    shift.yes_to_all()
    shift.must(c.Weigh(value="5", unit="kg"))
    packing = shift.session.view()
    assert isinstance(packing, PackView)
    assert unseen(shift.trip) == 3
    assert "nside not seen: 3 of 3 lumens" in packing.saying
    shift.pack()
    sheet = compose(shift.session.glance(), Order(trip=shift.trip, doc="tray_sheet", number=shift.trip.id))
    assert isinstance(sheet, TraySheet)
    assert sheet.not_seen == "inside not seen: 3 of 3 lumens"
    shift.print_all()
    shift.must(c.Readable(yes=True))
    done = shift.session.view()
    assert isinstance(done, DoneView)
    assert "Inside not seen: 3 of 3 lumens." in done.lines


def test_a_tray_seen_from_end_to_end_speaks_of_no_lumen_not_seen() -> None:
    shift = at_work(EAR)
    shift.yes_to_all()
    packing = shift.session.view()
    assert isinstance(packing, PackView)
    assert "not seen" not in packing.saying
