"""What outlives a pause, another person's hands and a recount: a NO, a doubt, a held finding, the piece at decontam."""

from collections.abc import Callable
from dataclasses import replace

import pytest

from kiosk.core import commands as c
from kiosk.core import events as e
from kiosk.core.composing import Order, compose
from kiosk.core.dispositions import ruled_piece
from kiosk.core.papers import TraySheet
from kiosk.core.place import Place
from kiosk.core.together.repeats import in_a_row
from kiosk.core.viewing.doing import shelf
from kiosk.core.views import CountView, MenuView, StepsView
from kiosk.core.vocabulary import Disposition
from tests.core.department import BIG, EAR, HOLD, PIN, Shift, at_work, with_one_back, with_one_back_and_shelved


def said_no() -> Shift:
    """A NO to A1's swab; what was found is not named yet."""
    shift = at_work(EAR)
    shift.yes_until("A1.bore.swab")
    shift.must(c.Answer(piece="A1", key="bore.swab", yes=False, took_ms=9000))
    return shift


def stopped(shift: Shift) -> None:
    shift.must(c.StopHere(reason="called_away"))


def power_cut(shift: Shift) -> None:
    shift.send(c.Started(last_alive_ms=shift.at_ms))
    shift.must(c.EnterPin(person="T1", pin=PIN))


@pytest.mark.parametrize("away", [stopped, power_cut])
def test_a_no_whose_finding_is_not_named_yet_outlives_the_pause(away: Callable[[Shift], None]) -> None:
    shift = said_no()
    away(shift)
    shift.open(EAR)
    assert (shift.step.kind, shift.step.piece) == ("finding", "A1")
    shift.must(c.ReportFinding(code="bone_grit", place=Place(lumen="bore", at_mm=40)))
    assert [f.code for f in shift.trip.findings] == ["bone_grit"]


def test_a_no_outlives_another_persons_recount_and_is_not_theirs_to_take_back() -> None:
    shift = said_no()
    shift.must(c.StopHere(reason="end_of_shift"), c.EnterPin(person="T2", pin=PIN))
    resume(shift)
    shift.count()
    assert shift.step.kind == "finding"
    shift.send(c.TakeBack())
    assert shift.refused == "refused.not_your_answer"
    shift.must(c.ReportFinding(code="unsure", place=Place(lumen="bore")))
    assert shift.step.kind == "decide"


def test_who_said_no_may_take_it_back_after_the_pause() -> None:
    shift = said_no()
    stopped(shift)
    shift.open(EAR)
    shift.must(c.TakeBack())
    assert (shift.step.kind, shift.step.piece) == ("check", "A1")


def resume(shift: Shift, tray: str = EAR, *, covered: str = "covered") -> None:
    """Scan the tray that was set aside and say whether it stayed covered."""
    shift.open(tray)
    assert shift.session.turn is not None
    assert shift.session.turn.page is c.Page.RESUME
    shift.must(c.Confirm(what=covered, subject=shift.session.turn.subject))


def wrong_pin(shift: Shift) -> None:
    shift.send(c.EnterPin(person="T1", pin="0000"))


def first_aid_by_mistake(shift: Shift) -> None:
    shift.send(c.FirstAid(), c.FirstAidDone(mistake=True))


def nothing(_shift: Shift) -> None:
    pass


@pytest.mark.parametrize("before", [nothing, wrong_pin, first_aid_by_mistake])
def test_a_tray_left_too_long_is_asked_about_whatever_was_touched_before_the_pin(
    before: Callable[[Shift], None],
) -> None:
    shift = at_work(EAR)
    shift.yes()
    shift.send(c.SignOut(idle=True))
    shift.minutes(45)
    before(shift)
    shift.must(c.EnterPin(person="T1", pin=PIN))
    assert shift.step.kind == "scan"
    resume(shift)
    assert shift.step.kind == "count"


def taken_over() -> Shift:
    """T1's tray, resumed and counted by T2, who was called away from the screen."""
    shift = at_work(EAR)
    shift.yes()
    shift.must(c.StopHere(reason="end_of_shift"), c.EnterPin(person="T2", pin=PIN))
    resume(shift)
    shift.count()
    shift.send(c.SignOut(idle=True))
    shift.minutes(4)
    return shift


def test_the_tray_belongs_to_who_left_it_last_not_to_who_opened_it() -> None:
    shift = taken_over()
    shift.must(c.EnterPin(person="T1", pin=PIN))
    assert shift.step.kind == "scan"
    shift = taken_over()
    shift.must(c.EnterPin(person="T2", pin=PIN))
    assert shift.step.kind == "check"


def one_of_two_back() -> Shift:
    """One of the paired tubes is at decontam, its twin is not looked at yet, and T2 takes the tray up again."""
    shift = at_work(EAR)
    shift.yes_until("A2#1.bore.swab")
    shift.no("bone_grit")
    shift.confirm("item_back")
    shift.tidy()
    shift.must(c.StopHere(reason="end_of_shift"), c.EnterPin(person="T2", pin=PIN))
    resume(shift)
    return shift


def test_a_piece_at_decontam_is_not_counted_and_its_twin_is_not_missing() -> None:
    shift = one_of_two_back()
    view = shift.session.view()
    assert isinstance(view, CountView)
    assert {row.line: row.want for row in view.rows}["Paired tube"] == 1
    shift.count()
    assert shift.trip.counts["Paired tube"] == 1
    assert shift.trip.differences == ()
    assert shift.trip.pieces["A2#2"].disposition is None
    shift.yes_to_all()
    assert shift.step.kind == "shelf"


def test_a_spare_for_a_piece_that_was_away_at_the_count_is_counted() -> None:
    shift = with_one_back()
    shift.must(c.StopHere(reason="end_of_shift"), c.EnterPin(person="T2", pin=PIN))
    resume(shift)
    shift.count()
    assert shift.trip.counts["Bent tube"] == 0
    shift.must(c.RuleSubstitute(by="S1", piece="A1", spare="X1"))
    shift.yes_to_all()
    shift.pack()
    sheet = compose(shift.session.glance(), Order(trip=shift.trip, doc="tray_sheet", number=shift.trip.id))
    assert isinstance(sheet, TraySheet)
    assert {line.label: line.value for line in sheet.counts}["Bent tube"] == "1 / 1"


def test_a_tray_that_only_waits_is_counted_once_it_is_known_with_what_it_goes_on() -> None:
    shift = with_one_back_and_shelved()
    shift.must(c.SignOut(), c.EnterPin(person="S1", pin=PIN))
    resume(shift)
    assert shift.step.kind == "shelf"  # a ruling is asked for, not seven pages of a count
    shift.must(c.RuleSubstitute(by="S1", piece="A1", spare="X1"))
    assert shift.step.kind == "count"
    shift.count()
    assert shift.trip.counts["Bent tube"] == 1
    shift.yes_to_all()
    assert shift.step.kind == "pack"


def test_a_supervisor_who_answered_on_the_tray_does_not_rule_on_it() -> None:
    shift = with_one_back()
    shift.must(c.StopHere(reason="end_of_shift"), c.EnterPin(person="S1", pin=PIN))
    resume(shift)
    shift.count()
    shift.yes()
    shift.send(c.RuleSubstitute(by="S1", piece="A1", spare="X1"))
    assert shift.refused == "refused.own_work"


def test_a_tray_that_waits_for_a_missing_piece_is_counted_when_it_is_taken_up() -> None:
    shift = Shift()
    shift.sign_in()
    shift.open()
    shift.must(c.CountAll(lines=("Bent tube", "Paired tube"), took_ms=5000), c.CountLine(line="Forceps", have=3))
    shift.must(c.CountDiffers())
    shift.yes_to_all()
    shift.must(c.Confirm(what="shelf"), c.SignOut(), c.EnterPin(person="T2", pin=PIN))
    resume(shift)
    assert shift.step.kind == "count"


def test_what_was_packed_into_an_uncovered_tray_is_asked_again() -> None:
    shift = at_work(BIG)
    shift.yes_to_all()
    assert shift.step.kind == "pack"
    shift.must(c.Weigh(value="5", unit="kg"), c.PlaceIndicators(count=2), c.ChoosePackaging(kind="container"))
    shift.must(c.StopHere(reason="break"))
    shift.minutes(60)
    resume(shift, BIG, covered="opened")
    shift.count()
    shift.yes_to_all()
    shift.send(c.PackAndPrint())
    assert shift.refused == "refused.not_ready"


def test_a_held_piece_comes_before_one_at_decontam_in_the_ruling_and_quarantine_last() -> None:
    shift = at_work(EAR)
    shift.yes_until("A1.bore.swab")
    shift.no("swab_left")
    shift.confirm("quarantine")
    shift.tidy()
    shift.yes_until("A2#1.bore.swab")
    shift.no("blocked")
    shift.confirm("item_back")
    shift.tidy()
    held = ruled_piece(shift.trip)
    assert held is not None
    assert held.name == "A1"
    shift.send(c.Turn(page=c.Page.RULING, subject="S1"))
    view = shift.session.view()
    assert isinstance(view, MenuView)
    assert "ruling.quarantine" in [key.name for key in view.keys]
    shift.must(c.RuleQuarantine(by="S1", piece="A1", note="tip in the bore"))
    next_one = ruled_piece(shift.trip)
    assert next_one is not None
    assert next_one.name == "A2#1"


def test_every_held_piece_of_a_tray_can_be_ruled_on() -> None:
    shift = at_work(HOLD)
    while shift.step.kind != "shelf":
        if shift.step.kind == "plan_hold":
            shift.must(c.Confirm(what="hold"))
        else:
            shift.yes()
    ruled = []
    while (piece := ruled_piece(shift.trip)) and piece.disposition is Disposition.HOLD:
        ruled.append(piece.name)
        shift.must(c.RuleQuarantine(by="S1", piece=piece.name, note="no check reaches it"))
        shift.tidy()
    assert sorted(ruled) == ["A4", "A5", "A6"]


def test_a_doubt_goes_back_with_the_whole_tray_and_stands_on_its_ticket() -> None:
    shift = at_work(EAR)
    shift.yes_until("A1.bore.swab")
    shift.no("unsure", Place(lumen="bore"))
    shift.confirm("second_look")
    shift.tidy()
    shift.yes_until("A2#1.bore.swab")
    shift.no("red_mark")
    (back,) = (event for event in shift.confirm("tray_back") if isinstance(event, e.TrayBack))
    assert back.pieces == ("A1", "A2#1")
    assert shift.bench.trips[shift.log[-1].stamp.trip or ""].pieces["A1"].disposition is Disposition.TRAY_BACK


def broken_in_the_basket() -> Shift:
    """At the tray's own look something broken off was held for the lead."""
    shift = at_work(EAR)
    shift.yes_until("tray.basket")
    shift.no("part_broken_off", Place(landmark="basket"))
    shift.confirm("quarantine")
    return shift


def test_what_is_held_from_the_basket_never_goes_to_the_sink_with_a_later_finding() -> None:
    shift = broken_in_the_basket()
    shift.tidy()
    shift.yes_until("tray.others")
    shift.no("bone_grit", Place(landmark="Forceps"))
    (back,) = (event for event in shift.confirm("item_back") if isinstance(event, e.ItemBack))
    assert back.findings == (2,)
    assert shift.trip.pieces["tray"].disposition is Disposition.HOLD


def test_a_held_piece_is_lidded_in_a_bin_of_its_own_and_no_paper_speaks_of_parts() -> None:
    shift = at_work(EAR)
    shift.yes_until("A1.bore.swab")
    shift.no("swab_left")
    shift.confirm("quarantine")
    steps = shift.session.view()
    assert isinstance(steps, StepsView)
    assert "own" in steps.steps[0]
    assert not any("return bin" in line for line in steps.steps)
    shift.tidy()
    shift.must(c.RuleQuarantine(by="S1", piece="A1", note="tip in the bore"))
    shift.print_all()
    assert shift.step.kind == "readable"
    lines = getattr(shift.session.view(), "steps", ())
    assert lines
    assert not any("Part" in line for line in lines)


def test_two_alike_pieces_in_one_trip_are_one_failed_check_in_a_row() -> None:
    shift = at_work(EAR)
    for piece in ("A2#1", "A2#2"):
        shift.yes_until(f"{piece}.bore.swab")
        shift.no("blocked")
        assert not any(isinstance(event, e.LeadTold) for event in shift.confirm("item_back"))
        shift.tidy()
    assert in_a_row(shift.bench.turnouts[f"{EAR}/A2"]) == 1


@pytest.mark.parametrize("small", [True, False])
def test_what_a_tray_waits_for_is_named_in_one_line_and_the_rest_counted(*, small: bool) -> None:
    shift = at_work(EAR)
    long = "Irrigation tip with a side hole near its bend, "
    pieces = {
        name: replace(piece, disposition=Disposition.HOLD, plan=replace(piece.plan, name=f"{long}{name}"))
        for name, piece in shift.trip.pieces.items()
        if piece.item
    }
    trip = replace(shift.trip, pieces={**shift.trip.pieces, **pieces}, counted=True)
    shift.session.bench = replace(shift.bench, trips={**shift.bench.trips, trip.id: trip})
    shift.session.small = small
    view = shelf(shift.session.glance())
    assert len(pieces) == 3
    assert view.help.startswith(f"It waits for: {long}")
    assert view.help.endswith("and 2 more" if small else "and 1 more")
