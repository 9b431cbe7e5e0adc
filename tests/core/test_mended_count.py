"""The count and what waits for it: missing pieces, counting again, the shelf, holds, the wrong tray, spares."""

from collections.abc import Callable

import pytest

from kiosk.core import commands as c
from kiosk.core import events as e
from kiosk.core.commands import Page
from kiosk.core.past.counters import summary
from kiosk.core.place import Place
from kiosk.core.shift import shift_of
from kiosk.core.stamp import local_time
from kiosk.core.views import CountView, MenuView, OverviewView, StepsView
from kiosk.core.vocabulary import Disposition
from tests.core.department import EAR, MORNING, PLAIN, Shift, at_work, forceps_short, names, scan, with_one_back


def counted(shift: Shift, at_ms: int | None = None) -> dict[str, int]:
    shifts = shift.desk.policy.shifts
    return summary(
        shift.log, shift_of(local_time(shift.at_ms if at_ms is None else at_ms, 0), shifts), shift.desk.policy
    )


def one_tube_short() -> Shift:
    shift = Shift()
    shift.sign_in()
    shift.open(EAR)
    for line in shift.trip.tray.lines:
        shift.must(c.CountLine(line=line.name, have=line.want - (line.name == "Paired tube")))
    shift.must(c.CountDiffers())
    return shift


def test_a_lumened_piece_counted_missing_is_not_checked() -> None:
    shift = one_tube_short()
    shift.yes_to_all()
    assert shift.step.kind == "shelf"
    assert shift.trip.pieces["A2#2"].yes == {}
    assert shift.trip.pieces["A2#1"].all_yes


@pytest.mark.parametrize("pause", [False, True])
def test_counting_again_brings_the_missing_piece_back(pause: bool) -> None:
    shift = one_tube_short()
    shift.yes_to_all()
    if pause:
        shift.must(c.Confirm(what="shelf"), c.SignOut())
        shift.sign_in("T2")
        shift.send(scan(EAR))
        shift.must(c.Confirm(what="covered", subject="1-000001"))
    else:
        shift.must(c.CountAgain())
    assert shift.step.kind == "count"
    shift.count()
    assert (shift.step.kind, shift.step.piece) == ("check", "A2#2")
    assert shift.trip.holds == ()  # nothing they wait for is waiting any more
    assert e.HoldReleased(holds=("1-H1",), why="nothing waits") in [kept.event for kept in shift.log]
    shift.yes_to_all()
    assert shift.step.kind == "pack"


def test_a_piece_counted_missing_after_its_checks_is_checked_again_when_it_is_there() -> None:
    shift = at_work(EAR)
    shift.yes_to_all()
    shift.must(c.StopHere(reason="break"), c.SignOut())
    shift.sign_in("T2")
    shift.send(scan(EAR))
    shift.must(c.Confirm(what="covered", subject="1-000001"))
    for line in shift.trip.tray.lines:
        shift.must(c.CountLine(line=line.name, have=line.want - (line.name == "Bent tube")))
    shift.must(c.CountDiffers(), c.CountAgain())
    shift.count()
    assert shift.step.piece == "A1"


def test_a_note_that_says_missing_never_brings_a_piece_out_of_quarantine() -> None:
    shift = one_tube_short()
    shift.yes_until("A1.bore.swab")
    shift.no("swab_left")
    shift.confirm("quarantine")
    shift.tidy()
    shift.yes_to_all()
    shift.must(c.RuleQuarantine(by="S1", piece="A1", note="missing"))
    shift.tidy()
    shift.must(c.CountAgain())
    assert shift.trip.pieces["A1"].disposition is Disposition.QUARANTINE


def test_a_hold_stands_as_long_as_one_of_its_pieces_waits_and_the_shelf_names_only_that_one() -> None:
    shift = one_tube_short()
    shift.yes_until("A1.bore.swab")
    shift.no("bone_grit")
    shift.confirm("item_back")
    shift.tidy()
    shift.yes_until("A2#1.bore.swab")
    shift.no("rust_spot")
    shift.confirm("repair")
    shift.tidy()
    assert [hold.waits_for for hold in shift.trip.holds] == [("A2#2", "Paired tube"), ("A1", "A2#1")]
    shift.must(c.CountAgain())
    shift.count()
    shift.yes_to_all()
    shift.must(c.RuleSubstitute(by="S1", piece="A1", spare="X1"))
    shift.yes_to_all()
    view = shift.session.view()
    assert isinstance(view, StepsView)
    assert [hold.waits_for for hold in shift.trip.holds] == [("A1", "A2#1")]
    assert view.help == "It waits for: Paired tube (1 of 2)"


def test_only_a_held_piece_that_is_there_is_put_in_quarantine_and_only_once() -> None:
    shift = one_tube_short()
    shift.send(c.RuleQuarantine(by="S1", piece="A2#2", note=""))
    assert shift.refused == "refused.no_piece"
    shift.must(c.Turn(page=Page.RULING, subject="S1"))
    view = shift.session.view()
    assert isinstance(view, MenuView)
    assert [key.name for key in view.keys] == ["ruling.substitute"]
    shift.must(c.Turn())
    shift.yes_until("A1.bore.swab")
    shift.no("swab_left")
    shift.confirm("quarantine")
    shift.must(c.RuleQuarantine(by="S1", piece="A1", note=""))
    shift.send(c.RuleQuarantine(by="S1", piece="A1", note=""))
    assert shift.refused == "refused.no_piece"


def second_look() -> Shift:
    shift = at_work(EAR)
    shift.yes_until("A1.look")
    shift.must(c.Answer(piece="A1", key="look", yes=False, unsure=True))
    shift.confirm("second_look")
    shift.yes_to_all()
    return shift


def plain_repair() -> Shift:
    shift = at_work(PLAIN)
    shift.no("crack", Place(landmark="Forceps"))
    shift.confirm("repair")
    shift.tidy()
    shift.yes_to_all()
    return shift


def tube_back() -> Shift:
    shift = with_one_back()
    shift.yes_to_all()
    return shift


SUPERVISOR = c.Turn(page=Page.NAMES, subject="ruling:")


@pytest.mark.parametrize(
    ("tell", "wanted"),
    [
        (forceps_short, [SUPERVISOR, c.CountAgain()]),
        (second_look, [c.Turn(page=Page.NAMES, subject="second:look-1:"), c.Confirm(what=Disposition.ITEM_BACK)]),
        (plain_repair, [SUPERVISOR]),
        (tube_back, [SUPERVISOR]),
    ],
)
def test_the_shelf_page_offers_what_can_be_done_for_what_waits(tell: Callable[[], Shift], wanted: list[c.Send]) -> None:
    view = tell().session.view()
    assert isinstance(view, StepsView)
    assert [key.send for key in view.others] == wanted


def test_a_piece_that_waits_for_a_second_person_goes_back_from_the_shelf_page() -> None:
    shift = second_look()
    (back, *_) = shift.must(c.Confirm(what="item_back"))
    assert isinstance(back, e.ItemBack)
    assert shift.trip.pieces["A1"].disposition is Disposition.ITEM_BACK


@pytest.mark.parametrize("tray", [EAR, "TR-5"])  # the second one's load is not released
def test_the_wrong_tray_is_let_go_and_nothing_of_it_stays_open(tray: str) -> None:
    shift = Shift()
    shift.sign_in()
    shift.open(tray)
    view = shift.session.view()
    assert isinstance(view, OverviewView)
    assert c.LetGo() in [key.send for key in view.hand.left]
    assert names(shift.must(c.LetGo())) == ["tray_let_go"]
    assert shift.step.kind == "scan"
    assert counted(shift)["trays_open_at_end"] == 0
    shift.open(tray)
    assert [trip.id for trip in shift.bench.trips.values() if not trip.ended] == ["1-000002"]


def test_a_tray_with_no_lumens_costs_no_page_for_them_and_may_still_be_the_wrong_tray() -> None:
    shift = Shift()
    shift.sign_in()
    shift.must(scan(PLAIN))
    view = shift.session.view()
    assert isinstance(view, CountView)
    assert shift.trip.tray.name in view.title
    assert c.LetGo() in [key.send for key in view.hand.left]
    shift.must(c.CountLine(line=view.rows[0].line, have=view.rows[0].want))
    view = shift.session.view()
    assert isinstance(view, CountView)
    assert c.LetGo() not in [key.send for key in view.hand.left]


def test_a_tray_with_a_number_an_answer_or_a_finding_is_not_let_go() -> None:
    shift = Shift()
    shift.sign_in()
    shift.open(EAR)
    shift.must(c.CountLine(line="Forceps", have=4))
    shift.send(c.LetGo())
    assert shift.refused == "refused.not_asked"
    shift = tube_back()
    shift.must(c.Confirm(what="shelf"))
    shift.minutes(31)
    shift.send(scan(EAR))
    shift.must(c.Confirm(what="opened", subject="1-000001"))  # all is asked again, but a ticket is out
    shift.send(c.LetGo())
    assert shift.refused == "refused.not_asked"


def test_identity_counts_each_missing_piece_in_the_shift_of_the_count_only() -> None:
    shift = Shift()
    shift.sign_in()
    shift.open(PLAIN)
    shift.must(c.CountLine(line="Forceps", have=2), c.CountDiffers())
    shift.yes_to_all()
    shift.must(c.SignOut())
    shift.minutes(8 * 60)
    shift.sign_in()
    shift.must(scan("no such tray"))
    assert counted(shift, MORNING)["identity"] == 2
    assert counted(shift)["identity"] == 0
