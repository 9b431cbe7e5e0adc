"""What becomes of pieces: which leave with whose ticket, what one person may settle, what is taken back."""

from collections.abc import Callable

import pytest

from kiosk.core import commands as c
from kiosk.core import events as e
from kiosk.core.composing import Order, compose
from kiosk.core.papers import ReturnTicket, Tag, TraySheet
from kiosk.core.past.counters import summary
from kiosk.core.place import Place
from kiosk.core.shift import shift_of
from kiosk.core.stamp import local_time
from kiosk.core.together.repeats import in_a_row
from kiosk.core.views import DecisionView, StepsView
from kiosk.core.vocabulary import Disposition
from tests.core.department import BIG, EAR, Shift, at_work, names


def paper(shift: Shift, doc: str, number: str) -> object:
    return compose(shift.session.glance(), Order(trip=shift.trip, doc=doc, number=number))


def the_ticket(shift: Shift) -> ReturnTicket:
    made = paper(shift, "return_ticket", shift.trip.tickets[-1].number)
    assert isinstance(made, ReturnTicket)
    return made


def counted(shift: Shift) -> dict[str, int]:
    shifts = shift.desk.policy.shifts
    return summary(shift.log, shift_of(local_time(shift.at_ms, 0), shifts), shift.desk.policy)


def in_quarantine(shift: Shift) -> None:
    held(shift)
    shift.must(c.RuleQuarantine(by="S1", piece="A1", note="missing"))
    shift.tidy()


def held(shift: Shift) -> None:
    shift.yes_until("A1.bore.swab")
    shift.no("swab_left")
    shift.confirm("quarantine")
    shift.tidy()


def in_repair(shift: Shift) -> None:
    shift.yes_until("A1.look")
    shift.no("crack", Place(landmark="joint"))
    shift.confirm("repair")
    shift.tidy()


def already_back(shift: Shift) -> None:
    shift.yes_until("A1.bore.swab")
    shift.no("bone_grit")
    shift.confirm("item_back")
    shift.tidy()


@pytest.mark.parametrize("left", [in_quarantine, held, in_repair, already_back])
def test_a_piece_that_was_taken_out_never_goes_with_the_whole_tray(left: Callable[[Shift], None]) -> None:
    shift = at_work(EAR)
    left(shift)
    before = shift.trip.pieces["A1"]
    shift.yes_until("A2#1.bore.swab")
    shift.no("red_mark")
    (back, *_) = shift.confirm("tray_back")
    assert isinstance(back, e.TrayBack)
    assert back.pieces == ("A2#1",)
    after = shift.trip.pieces["A1"]
    assert (after.disposition, after.ticket, after.note) == (before.disposition, before.ticket, before.note)
    assert "Does not go with the tray: Bent tube." in the_ticket(shift).todo


def test_a_tray_sent_back_for_its_plain_pieces_has_them_on_its_ticket_after_a_basket_finding() -> None:
    shift = at_work(EAR)
    shift.no("bristle", Place(landmark="Forceps"))
    shift.confirm("item_back")
    shift.tidy()
    assert (shift.step.kind, shift.step.check and shift.step.check.key) == ("check", "others")
    shift.no("red_mark", Place(landmark="Forceps"))
    (back, *_) = shift.confirm("tray_back")
    assert isinstance(back, e.TrayBack)
    assert (back.pieces, back.findings) == (("tray",), (2,))
    shift.tidy()
    assert shift.step.kind == "scan"


def test_the_second_ticket_of_the_plain_pieces_does_not_repeat_the_first() -> None:
    shift = at_work(EAR)
    for code in ("bristle", "foreign_bit"):
        shift.no(code, Place(landmark="Forceps"))
        shift.confirm("item_back")
        shift.tidy()
    assert [ticket.findings for ticket in shift.trip.tickets] == [(1,), (2,)]


def test_a_finding_at_the_basket_does_not_spare_the_look_at_the_other_pieces() -> None:
    shift = at_work(EAR)
    shift.no("crack", Place(landmark="Forceps"))
    shift.confirm("repair")
    tag = paper(shift, "repair_tag", "R-10001")
    assert isinstance(tag, Tag)
    assert tag.piece == "Forceps"  # the count line that was touched
    shift.tidy()
    assert (shift.step.piece, shift.step.check and shift.step.check.key) == ("tray", "others")


@pytest.mark.parametrize("code", ["fiber", "stiff", "magnetized"])
def test_what_can_not_be_put_right_here_is_sent_back_from_that_page(code: str) -> None:
    shift = at_work(EAR)
    shift.yes_until("A1.look")
    shift.no(code, Place(landmark="shaft"))
    view = shift.session.view()
    assert isinstance(view, StepsView)
    stays = view.others[-1]
    assert stays.send is not None
    (back, *_) = shift.must(stays.send)
    assert isinstance(back, e.ItemBack)
    assert shift.trip.pieces["A1"].disposition is Disposition.ITEM_BACK


@pytest.mark.parametrize("code", ["clear_drops", "spoiled", "glove_torn"])
def test_water_a_spoiled_check_and_a_torn_glove_send_no_piece_back(code: str) -> None:
    shift = at_work(EAR)
    shift.yes_until("A1.bore.dry")
    shift.no(code)
    view = shift.session.view()
    assert isinstance(view, StepsView)
    assert view.others == ()
    shift.send(c.Confirm(what="item_back"))
    assert shift.refused == "refused.not_asked"


def in_doubt(code: str) -> Shift:
    shift = at_work(EAR)
    shift.yes_until("A1.bore.scope")
    shift.no(code)
    return shift


def test_a_doubt_of_one_person_that_is_sent_back_claims_no_second_person() -> None:
    shift = at_work(EAR)
    shift.yes_until("A1.bore.swab")
    shift.must(c.Answer(piece="A1", key="bore.swab", yes=False, unsure=True))
    shift.confirm("item_back")
    made = the_ticket(shift)
    assert made.not_clear == "LOOK AGAIN"
    assert any("Doubtful mark" in line for line in made.todo)
    assert not any("two people" in line for line in made.todo)


@pytest.mark.parametrize("code", ["discolored", "deep_scratch"])
def test_a_color_or_a_deep_scratch_is_not_settled_by_one_person_looking_again(code: str) -> None:
    shift = in_doubt(code)
    view = shift.session.view()
    assert isinstance(view, DecisionView)
    assert c.Confirm(what=Disposition.BENCH_FIX) not in [key.send for key in view.others]
    shift.must(c.NoPhoto(reason="no_time"))
    shift.send(c.Confirm(what="bench_fix"))
    assert shift.refused == "refused.not_asked"


def test_looking_again_wants_no_picture_and_stands_nowhere_as_put_right() -> None:
    shift = in_doubt("picture_unclear")
    assert names(shift.must(c.Confirm(what="bench_fix"))) == ["bench_fixed"]
    assert (shift.step.piece, shift.step.check and shift.step.check.key) == ("A1", "bore.scope")
    shift.yes_to_all()
    shift.pack()
    sheet = paper(shift, "tray_sheet", shift.trip.id)
    assert isinstance(sheet, TraySheet)
    assert not any("put right" in line for line in sheet.exceptions)
    assert counted(shift)["bench_fixed"] == 0


def at_the_tip() -> Shift:
    """The long tube's inner way: the swab's first end is answered YES."""
    shift = at_work(BIG)
    shift.yes_until("A3.inner.swab")
    shift.yes()
    assert shift.step.end == "tip"
    return shift


def ends(shift: Shift) -> list[str]:
    return [yes.end for yes in shift.trip.pieces["A3"].yes.get("inner.swab", ())]


def test_a_no_at_the_second_end_taken_back_leaves_the_first_ends_yes() -> None:
    shift = at_the_tip()
    shift.must(c.Answer(piece="A3", key="inner.swab", yes=False), c.TakeBack())
    assert (ends(shift), shift.step.end) == (["entry"], "tip")
    shift.no("bone_grit")
    shift.must(c.TakeBack())
    assert (ends(shift), shift.step.end) == (["entry"], "tip")


def test_a_yes_taken_back_at_the_second_end_leaves_the_first() -> None:
    shift = at_the_tip()
    shift.yes()
    shift.must(c.TakeBack())
    assert (ends(shift), shift.step.end) == (["entry"], "tip")


def test_after_drying_only_the_end_that_was_wet_is_asked_again() -> None:
    shift = at_the_tip()
    shift.no("clear_drops")
    shift.must(c.StepDone(step="put_right"))
    assert (ends(shift), shift.step.end) == (["entry"], "tip")
    shift.send(c.TakeBack())  # the NO is settled: there is no YES of it to fall
    assert shift.refused == "refused.nothing_to_change"
    assert ends(shift) == ["entry"]


def blocked_pair(shift: Shift) -> None:
    for piece in ("A2#1", "A2#2"):
        shift.yes_until(f"{piece}.bore.swab")
        shift.no("wont_pass")
        shift.confirm("item_back")
        shift.tidy()


def test_alike_pieces_blocked_in_one_trip_count_once_in_a_row() -> None:
    shift = at_work(EAR)
    blocked_pair(shift)
    assert in_a_row(shift.bench.turnouts["TR-1/A2"]) == 1


def test_the_row_starts_again_only_when_all_alike_pieces_passed() -> None:
    shift = at_work(EAR)
    shift.yes_until("A2#1.bore.swab")
    shift.no("wont_pass")
    shift.confirm("item_back")
    shift.tidy()
    shift.yes_to_all()
    assert shift.trip.pieces["A2#2"].all_yes
    assert in_a_row(shift.bench.turnouts["TR-1/A2"]) == 1
