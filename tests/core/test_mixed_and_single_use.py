"""A count that differs, row by row: mixed, single use, no mark of its own, substituted, wrong scan.

The rows and what a tool must and must never do there are common practice, no source.
"""

from dataclasses import replace

from kiosk.core import commands as c
from kiosk.core import events as e
from kiosk.core import views as v
from kiosk.core.commands import Page
from kiosk.core.composing import Order, compose
from kiosk.core.dispositions import dispositions
from kiosk.core.meaning import Kind
from kiosk.core.papers import Tag
from kiosk.core.place import Place
from kiosk.core.state.piece import TRAY
from kiosk.core.vocabulary import Disposition
from tests.core.department import EAR, Shift, at_work, names, scan, with_one_back
from tests.core.two_sets import SISTER, count_as, counted, mixed, sheet_of, two_sets

# Two trays mixed


def test_two_mixed_trays_both_wait_and_the_packed_ones_label_is_void() -> None:
    shift = mixed()
    shift.tell_what_differs()
    old = shift.bench.packed["1-000001"].package
    ruled = shift.must(c.RuleMixed(by="S1", station="", trip="1-000001"))
    kinds = names(ruled)
    assert kinds[:5] == ["mixed_trays", "lead_told", "tray_reopened", "label_voided", "correction"]
    sister = shift.bench.trips["1-000001"]
    assert not sister.ended
    assert sister.reopened == (old,)
    assert dispositions(sister)[SISTER] is Disposition.HOLD
    assert dispositions(shift.trip)[EAR] is Disposition.HOLD
    assert counted(shift)["trays_packed"] == 0


def test_the_earlier_complete_count_stays_and_the_correction_stands_beside_it() -> None:
    shift = mixed()
    shift.tell_what_differs()
    shift.must(c.RuleMixed(by="S1", station="", trip="1-000001"))
    of_sister = [kept.event for kept in shift.log if kept.stamp.trip == "1-000001"]
    assert e.CountOk() in of_sister
    (correction,) = [event for event in of_sister if isinstance(event, e.Correction)]
    assert (correction.was, correction.note) == ("as_listed", "Bent tube: 0 of 1; Paired tube: 3 of 2")


def test_what_was_exchanged_is_looked_at_anew_and_both_trays_are_counted_again() -> None:
    shift = mixed()
    shift.tell_what_differs()
    shift.yes_to_all()
    assert shift.trip.pieces["A1"].all_yes
    shift.must(c.RuleMixed(by="S1", station="", trip="1-000001"), c.RuleExchanged(by="S1"))
    assert shift.step.kind == "count"
    assert all(shift.trip.pieces[name].yes == {} for name in ("A1", "A2#1", "A2#2"))
    shift.count()
    shift.yes_to_all()
    assert shift.step.kind == "pack"
    assert f"mixed with {SISTER}, put right: Bent tube, Paired tube, exchanged under Person S1" in sheet_of(shift)
    assert not shift.bench.trips["1-000001"].counted
    assert counted(shift)["identity"] == 2


def test_nobody_but_a_supervisor_says_that_trays_were_mixed_or_exchanged() -> None:
    shift = mixed()
    shift.tell_what_differs()
    for command in (c.RuleMixed(by="T1", station="", trip="1-000001"), c.RuleExchanged(by="T1")):
        assert names(shift.send(command)) == ["try_refused"]
        assert shift.refused == "refused.not_supervisor"


def test_a_tray_that_can_not_hold_the_piece_is_not_offered_as_mixed() -> None:
    shift = mixed()
    shift.tell_what_differs()
    assert shift.send(c.RuleMixed(by="S1", station="", trip="1-000009")) == []
    assert shift.refused == "refused.not_asked"


# Single-use item found


def single_use(*, before_count: bool = False) -> Shift:
    shift = two_sets()
    shift.open(EAR)
    if before_count:
        shift.must(c.OpenPiece(piece="A1"))
    else:
        shift.count()
        shift.yes_until("A1.look")
    shift.no("single_use_found", Place())
    shift.confirm("discard")
    return shift


def test_a_single_use_item_is_held_after_its_picture_and_its_line_is_short() -> None:
    shift = single_use()
    assert shift.trip.pieces["A1"].disposition is Disposition.HOLD
    assert shift.trip.differences == (("Bent tube", 1, 0),)
    assert shift.step.kind == "search"


def test_no_lumen_check_runs_on_a_single_use_item() -> None:
    shift = single_use()
    shift.yes_to_all()
    assert shift.trip.pieces["A1"].yes == {}


def test_nothing_lets_a_single_use_item_go_on() -> None:
    shift = single_use()
    tried = shift.send(c.GiveOverride(by="S1", what="single_use_found", subjects=("A1",), reason="not_found"))
    assert names(tried) == ["override_refused"]
    shift.must(c.Turn(page=Page.RULING, subject="S1"))
    view = shift.session.view()
    assert isinstance(view, v.MenuView)
    assert "discard" in [key.name for key in view.keys]


def test_a_single_use_item_found_before_the_count_is_not_counted_as_the_trays_own() -> None:
    shift = single_use(before_count=True)
    assert shift.step.kind == "count"
    view = shift.session.view()
    assert isinstance(view, v.CountView)
    assert view.rows[0].want == 1
    count_as(shift, bent=0)
    assert shift.trip.differences == (("Bent tube", 1, 0),)
    assert counted(shift)["identity"] == 2


def test_the_supervisor_throws_it_away_with_a_note_and_the_earlier_trips_are_asked_after() -> None:
    shift = at_work(EAR)
    shift.yes_to_all()
    shift.pack()
    shift.tidy()
    shift.open(EAR)
    shift.count()
    shift.yes_until("A1.look")
    shift.no("single_use_found", Place())
    shift.confirm("discard")
    done = shift.must(c.RuleDiscard(by="S1", piece="A1", note="Ask for the real one."))
    assert names(done)[:2] == ["discarded", "lead_told"]
    assert done[1] == e.LeadTold(piece="A1", why="look_back")
    note = compose(
        shift.session.glance(), Order(trip=shift.trip, doc="discard_note", number=shift.trip.pieces["A1"].ticket)
    )
    assert isinstance(note, Tag)
    facts = " ".join(f"{line.label} {line.value}" for line in note.facts)
    assert "earlier trips: look back" in facts
    assert "Person S1" in facts
    assert "1-000001" in note.state
    assert counted(shift)["discarded"] == 1
    assert dispositions(shift.trip)["A1"] is Disposition.DISCARD


def test_only_a_supervisor_throws_a_single_use_item_away() -> None:
    shift = single_use()
    assert names(shift.send(c.RuleDiscard(by="T2", piece="A1", note=""))) == ["try_refused"]
    assert shift.refused == "refused.not_supervisor"


# Substituted


def test_a_spare_takes_the_place_of_what_is_missing_and_gets_all_checks_of_its_own() -> None:
    shift = two_sets()
    shift.open(EAR)
    count_as(shift, bent=0)
    shift.tell_what_differs()
    shift.must(c.RuleSubstitute(by="S1", piece="A1", spare="X1"))
    assert shift.trip.differences == ()
    assert shift.trip.pieces["X1"].yes == {}
    shift.yes_to_all()
    assert shift.trip.pieces["X1"].all_yes
    assert shift.step.kind == "pack"
    assert "spare Bent tube, spare by Person S1" in sheet_of(shift)
    assert counted(shift)["replaced"] == 1


# Item without own mark


def test_a_piece_without_a_mark_is_this_line_of_this_tray_and_may_be_put_on_the_list_to_be_marked() -> None:
    shift = at_work(EAR)
    shift.yes_until("A1.look")
    shift.session.turn = c.Turn(page=Page.HAPPENED)
    view = shift.session.view()
    assert isinstance(view, v.MenuView)
    assert "mark this piece" in [key.name for key in view.keys]
    assert names(shift.must(c.WantMark(piece="A1"))) == ["mark_wanted"]
    assert shift.bench.to_mark == {f"{EAR}/A1": "Bent tube"}
    assert shift.send(c.WantMark(piece="A1")) == []  # once is enough


# Wrong scan


def test_a_wrong_scan_says_what_it_was_and_opens_nothing() -> None:
    shift = two_sets()
    shift.open(EAR)
    shift.count()
    shift.yes_to_all()
    shift.pack()
    shift.tidy()
    number = shift.trip.package
    shift.open(SISTER)
    shift.must(scan(number, Kind.LABEL))
    said = shift.session.view().notice
    assert f"{EAR}, packed" in said
    assert "Nothing was opened" in said
    assert (shift.step.kind, shift.trip.tray.code) == ("count", SISTER)
    assert counted(shift)["wrong_scans"] == 1


# The count itself


def test_all_as_listed_faster_than_a_second_is_asked_once() -> None:
    shift = two_sets()
    shift.open(EAR)
    quick = c.CountAll(lines=("Bent tube", "Paired tube", "Forceps"), took_ms=900)
    assert shift.send(quick) == []
    assert shift.session.notice == ("notice.count_quick", {})
    assert "count_ok" in names(shift.send(replace(quick, took_ms=1000)))


# What other stations found; several pieces that wait; the other pieces


def test_a_tray_that_another_bench_found_mixed_is_fetched_and_opened_at_its_own_bench() -> None:
    here = two_sets()
    here.open(SISTER)
    here.count()
    here.yes_to_all()
    here.pack()
    here.tidy()
    number = here.trip.package
    there = two_sets()
    there.session.desk = replace(there.session.desk, bench_number=2)
    there.session.hear("B1", here.log)
    there.open(EAR)
    count_as(there, bent=2, paired=1)
    there.tell_what_differs()
    ruled = there.must(c.RuleMixed(by="S1", station="B1", trip="1-000001"))
    assert names(ruled) == ["mixed_trays", "lead_told"]  # nothing is written for another station
    here.session.hear("B2", there.log)
    here.must(c.Turn())
    page = here.session.view()
    assert isinstance(page, v.ScanView)
    assert page.kept[0].send == c.OpenMixed(trip="1-000001")
    opened = here.must(c.OpenMixed(trip="1-000001"))
    assert names(opened)[:3] == ["tray_reopened", "label_voided", "correction"]
    assert here.bench.trips["1-000001"].reopened == (number,)
    assert here.send(c.OpenMixed(trip="1-000001")) == []


def test_the_supervisor_picks_which_of_several_waiting_pieces_the_ruling_is_about() -> None:
    shift = with_one_back()
    shift.yes_until("A2#1.look")
    shift.no("no_mark", Place())
    shift.confirm("hold")
    shift.must(c.Turn(page=Page.RULING_PIECES, subject="S1"))
    rows = shift.session.view()
    assert isinstance(rows, v.ListView)
    assert [row.name for row in rows.rows] == ["A2#1", "A1"]  # what is held comes first
    assert rows.rows[1].send is not None
    shift.must(rows.rows[1].send)
    page = shift.session.view()
    assert isinstance(page, v.MenuView)
    assert "Bent tube" in page.help
    spare = next(key.send for key in page.keys if isinstance(key.send, c.Turn) and key.send.page is Page.SPARE)
    shift.must(spare, scan("X1", Kind.ITEM))
    assert shift.trip.replaced == {"A1": "X1"}


def cracked_forceps() -> Shift:
    shift = Shift()
    shift.sign_in()
    shift.open(EAR)
    shift.count()
    shift.yes_until(f"{TRAY}.others")
    shift.no("crack", Place(landmark="Forceps"))
    shift.confirm("repair")
    shift.tidy()
    shift.yes_to_all()
    return shift


def test_what_was_found_among_the_other_pieces_and_taken_out_makes_its_line_short_and_the_look_is_asked_again() -> None:
    shift = cracked_forceps()
    assert shift.step.kind == "shelf"
    assert shift.send(c.RuleOthers(by="S1", n=1, taken_out=False)) == []  # damage is never settled as it is
    ruled = shift.must(c.RuleOthers(by="S1", n=1, taken_out=True))
    assert names(ruled)[:2] == ["others_ruled", "count_short"]
    assert shift.trip.differences == (("Forceps", 4, 3),)
    shift.tell_what_differs()
    assert (shift.step.piece, shift.step.check and shift.step.check.key) == (TRAY, "others")
    assert counted(shift)["damage"] == 1  # the finding stands
    shift.yes_to_all()
    assert shift.step.kind == "shelf"
    assert shift.trip.holds


def test_the_shelf_page_of_a_tray_with_a_damaged_plain_piece_leads_to_the_supervisor() -> None:
    view = cracked_forceps().session.view()
    assert isinstance(view, v.StepsView)
    assert c.Turn(page=Page.NAMES, subject="ruling:") in [key.send for key in view.others]
