"""A count that differs, row by row: missing and extra pieces.

The rows and what a tool must and must never do there are common practice, no source.
"""

from dataclasses import replace

import pytest

from kiosk.core import commands as c
from kiosk.core import events as e
from kiosk.core import views as v
from kiosk.core.catalogue import Load
from kiosk.core.commands import Page
from kiosk.core.dispositions import dispositions
from kiosk.core.together.matching import matches
from kiosk.core.vocabulary import Disposition
from tests.core.department import EAR, Shift, at_work, names
from tests.core.two_sets import SISTER, THIRD, at_short, count_as, sheet_of, two_sets

# Missing item


def test_a_missing_piece_opens_its_search_list_at_once_and_says_when_it_was_last_there() -> None:
    shift = at_work(EAR)
    shift.yes_to_all()
    shift.pack()
    shift.tidy()
    shift.open(EAR)
    count_as(shift, forceps=3)
    assert (shift.step.kind, shift.step.line) == ("search", "Forceps")
    view = shift.session.view()
    assert isinstance(view, v.MenuView)
    assert "1 of 4 Forceps" in view.title
    assert any("1-000001" in line for line in view.lines)
    places = [key.name for key in view.keys if key.name.startswith("searched")]
    assert places == [f"searched {place}" for place in ("sink", "racks", "trays", "linen", "waste")]


def test_the_search_list_keeps_every_tick_and_the_person_may_go_on_and_come_back_to_it() -> None:
    shift = at_short()
    shift.must(c.Search(line="Forceps", places=("sink",)), c.Search(line="Forceps", places=("sink", "linen")))
    assert shift.folded().trips[shift.trip.id].searched == {"Forceps": ("sink", "linen")}
    assert shift.step.kind == "search"
    shift.must(c.Search(line="Forceps", places=("sink", "linen"), over=True))
    assert shift.step.kind == "check"
    shift.session.turn = c.Turn(page=Page.HAPPENED)
    menu = shift.session.view()
    assert isinstance(menu, v.MenuView)
    assert "search again" in [key.name for key in menu.keys]


def test_a_tray_is_never_packed_with_a_silent_gap() -> None:
    shift = at_short()
    shift.yes_to_all()
    assert shift.step.kind == "shelf"
    assert dispositions(shift.trip)[EAR] is Disposition.HOLD
    assert shift.send(c.PackAndPrint()) == []
    assert [hold.waits_for for hold in shift.trip.holds] == [("Forceps",)]


@pytest.mark.parametrize("by", ["", "nobody"])
def test_found_is_not_taken_without_who_and_where(by: str) -> None:
    shift = at_short()
    assert shift.send(c.FoundIt(line="Forceps", where="racks", by=by)) == []
    assert shift.send(c.FoundIt(line="Forceps", where="", by="T1")) == []
    assert shift.trip.found_at == {}


def test_what_is_found_on_a_washer_rack_lies_in_the_tray_again_and_the_sheet_says_where_and_who() -> None:
    shift = at_short()
    found = shift.must(c.FoundIt(line="Forceps", where="racks", by="T2"))
    assert names(found) == ["missing_found", "hold_released"]
    assert shift.trip.differences == ()
    assert "found: Forceps, in a washer rack, by Person T2" in sheet_of(shift)


def test_what_is_found_at_the_sink_goes_to_decontam_first_and_the_tray_waits() -> None:
    shift = at_short()
    shift.must(c.FoundIt(line="Forceps", where="sink", by="T2"))
    assert shift.trip.differences == (("Forceps", 4, 3),)
    shift.yes_to_all()
    assert shift.step.kind == "shelf"


def test_a_found_lumened_piece_gets_its_checks() -> None:
    shift = two_sets()
    shift.open(EAR)
    count_as(shift, bent=0)
    shift.must(c.FoundIt(line="Bent tube", where="racks", by="T1"))
    shift.yes_to_all()
    assert shift.trip.pieces["A1"].all_yes
    assert shift.step.kind == "pack"


def test_a_small_part_that_is_missing_is_urgent_and_the_lead_is_told() -> None:
    shift = two_sets()
    catalogue = shift.session.desk.catalogue
    lines = tuple(replace(line, small=line.name == "Forceps") for line in catalogue.trays[EAR].lines)
    trays = {**catalogue.trays, EAR: replace(catalogue.trays[EAR], lines=lines)}
    shift.session.use(replace(shift.session.desk, catalogue=replace(catalogue, trays=trays)))
    shift.open(EAR)
    count_as(shift, forceps=3)
    assert e.LeadTold(piece="Forceps", why="missing_small") in [kept.event for kept in shift.log]
    view = shift.session.view()
    assert isinstance(view, v.MenuView)
    assert "in a patient" in view.lines[0]


def test_a_slip_of_the_count_is_put_right_by_counting_again_at_once() -> None:
    shift = at_short()
    shift.must(c.CountAgain())
    assert shift.step.kind == "count"
    assert shift.trip.holds  # until there is another count
    shift.count()
    assert shift.trip.holds == ()


# Extra item


def test_an_extra_piece_is_asked_whose_it_is_and_stays_with_its_tray() -> None:
    shift = two_sets()
    shift.open(EAR)
    count_as(shift, forceps=5)
    assert (shift.step.kind, shift.step.line) == ("whose", "Forceps")
    shift.must(c.ExtraIs(line="Forceps"))
    shift.yes_to_all()
    assert shift.step.kind == "shelf"


def test_an_extra_piece_never_goes_into_the_spares_without_a_supervisor_and_a_record() -> None:
    shift = two_sets()
    shift.open(EAR)
    count_as(shift, forceps=5)
    shift.must(c.ExtraIs(line="Forceps"))
    assert names(shift.send(c.RuleExtra(by="T1", line="Forceps", where="spares"))) == ["try_refused"]
    assert shift.refused == "refused.not_supervisor"
    put = shift.must(c.RuleExtra(by="S1", line="Forceps", where="spares"))
    assert names(put) == ["extra_put", "hold_released"]
    assert "extra piece: Forceps, went to spares, said Person S1" in sheet_of(shift)
    shift.yes_to_all()
    assert shift.step.kind == "pack"


def test_an_extra_is_matched_with_the_short_of_this_bench_before_that_of_another() -> None:
    shift = two_sets()
    shift.open(SISTER)
    count_as(shift, forceps=3)
    shift.yes_to_all()
    shift.must(c.Confirm(what="shelf"))
    shift.session.hear("B2", short_elsewhere().log)
    shift.open(EAR)
    count_as(shift, forceps=5)
    found = matches(shift.bench, shift.session.desk, shift.trip, "Forceps")
    assert [(match.station, match.differs) for match in found] == [("", -1), ("B2", -1)]
    view = shift.session.view()
    assert isinstance(view, v.MenuView)
    assert view.keys[0].send == c.ExtraIs(line="Forceps", tray=SISTER)


def short_elsewhere() -> Shift:
    there = two_sets()
    there.open(THIRD)
    count_as(there, forceps=3)
    return there


def test_a_short_of_another_load_is_matched_too() -> None:
    shift = two_sets()
    catalogue = shift.session.desk.catalogue
    loads = {
        "W-1": Load(id="W-1", released=True, trays=(EAR,)),
        "W-7": Load(id="W-7", released=True, trays=(SISTER,)),
    }
    shift.session.use(replace(shift.session.desk, catalogue=replace(catalogue, loads=loads)))
    shift.open(SISTER)
    count_as(shift, forceps=3)
    shift.yes_to_all()
    shift.must(c.Confirm(what="shelf"))
    shift.open(EAR)
    count_as(shift, forceps=5)
    (match,) = matches(shift.bench, shift.session.desk, shift.trip, "Forceps")
    assert (match.trip.tray.code, match.same_load) == (SISTER, False)
