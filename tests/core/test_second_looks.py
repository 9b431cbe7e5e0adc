"""CAN'T TELL and color only: a second person who does not see the first answer, and what both words come to.

Source of the rules: the department's findings, ground rule 8 (common practice; no standard for lumen pictures exists).
"""

import pytest

from kiosk.core import commands as c
from kiosk.core import events as e
from kiosk.core import views as v
from kiosk.core.past.counters import summary
from kiosk.core.place import Place
from kiosk.core.policy import Policy
from kiosk.core.shift import shift_of
from kiosk.core.stamp import local_time
from kiosk.core.vocabulary import Disposition
from tests.core.by_chance import offered
from tests.core.department import BIG, EAR, PIN, Shift, at_work, names


def doubt(shift: Shift, check: str = "A1.bore.scope", code: str = "unsure") -> int:
    """A doubt at this check, and a second person asked; its number."""
    shift.yes_until(check)
    shift.no(code, Place(lumen="bore", at_mm=30) if "." in check.partition(".")[2] else Place(landmark="shaft"))
    shift.confirm("second_look")
    return shift.trip.findings[-1].n


def second(shift: Shift, n: int, says: str, by: str = "T2") -> list[e.Event]:
    shift.must(c.EnterPin(person=by, pin=PIN, second=f"look-{n}"))
    return shift.must(c.TakeSecondLook(by=by, n=n, says=says))


def figures(shift: Shift) -> dict[str, int]:
    policy: Policy = shift.desk.policy
    return summary(shift.log, shift_of(local_time(shift.at_ms, 0), policy.shifts), policy)


def words_on(view: v.View) -> str:
    return repr(view)


@pytest.mark.parametrize("code", ["unsure", "discolored", "deep_scratch", "picture_unclear"])
def test_nothing_tells_the_second_person_what_the_first_one_said(code: str) -> None:
    """The page is the same for every first word: title, head, order of keys, no notice."""
    shift = at_work(EAR)
    n = doubt(shift, code=code)
    shift.must(c.EnterPin(person="T2", pin=PIN, second=f"look-{n}"))
    view = shift.session.view()
    assert isinstance(view, v.SecondLookView)
    assert [key.name for key in view.keys] == ["soil", "not_sure", "scratch", "color_only", "clear"]
    assert (view.title, view.notice, view.head.rings) == ("Is the wall clear of soil, end to end?", "", ())
    assert view.place == "Look here: 3 cm from ENTRY."
    told = view.help + view.place + view.title + view.head.sub + view.head.short
    assert shift.desk.findings[code].say not in told
    assert "again" not in told.lower()
    assert "Person T1" not in words_on(view)


def test_the_question_the_piece_the_place_and_the_picture_are_shown() -> None:
    shift = at_work(EAR)
    shift.yes_until("A1.bore.scope")
    shift.no("unsure", Place(lumen="bore", at_mm=30))
    shift.must(c.KeepPhoto(file="tan.png", sha256="0" * 64), c.Confirm(what="second_look"))
    shift.must(c.EnterPin(person="T2", pin=PIN, second="look-1"))
    view = shift.session.view()
    assert isinstance(view, v.SecondLookView)
    assert (view.picture, view.help) == ("tan.png", "Bent tube · only lumen")
    assert [flag.place.at_mm for flag in view.band.flags] == [30]


def test_the_same_badge_is_never_the_second_person() -> None:
    shift = at_work(EAR)
    n = doubt(shift)
    shift.send(c.EnterPin(person="T1", pin=PIN, second=f"look-{n}"))
    assert shift.refused == "refused.same_person"
    shift.send(c.TakeSecondLook(by="T1", n=n, says="clear"))
    assert shift.refused == "refused.same_person"


def test_whoever_had_the_doubt_is_not_the_second_person_of_a_later_shift() -> None:
    shift = at_work(EAR)
    n = doubt(shift)
    shift.must(c.SignOut())
    shift.sign_in("T2")
    shift.open()
    shift.must(c.Confirm(what="covered", subject=shift.session.turn.subject if shift.session.turn else ""))
    shift.count()
    for who in ("T1", "T2"):  # nor whoever is signed in: a second person comes on a badge of their own
        shift.send(c.TakeSecondLook(by=who, n=n, says="clear"))
        assert shift.refused == "refused.same_person"


def test_color_only_with_a_clean_swab_is_recorded_and_the_piece_goes_on() -> None:
    shift = at_work(EAR)
    n = doubt(shift)
    assert names(second(shift, n, "color_only"))[:3] == ["second_look_done", "doubt_settled", "check_yes"]
    (found,) = shift.trip.findings
    assert (found.code, found.first, found.accepted) == ("discolored", "unsure", True)
    shift.yes_to_all()
    assert shift.step.kind == "pack"
    counted = figures(shift)
    assert (counted["damage"], counted["soil"], counted["second_looks"]) == (1, 0, 1)
    assert counted["lumens_checked"] == 3


def test_the_two_answers_stand_side_by_side_each_under_its_own_person() -> None:
    shift = at_work(EAR)
    second(shift, doubt(shift), "color_only")
    done = [kept for kept in shift.log if isinstance(kept.event, e.SecondLookDone)]
    found = [kept for kept in shift.log if isinstance(kept.event, e.Found)]
    assert [(kept.stamp.who, type(kept.event)) for kept in found + done] == [("T1", e.Found), ("T2", e.SecondLookDone)]
    assert isinstance(found[0].event, e.Found)
    assert found[0].event.code == "unsure"


@pytest.mark.parametrize("says", ["not_sure", "soil"])
def test_two_who_can_not_call_it_clear_send_the_piece_back_as_soil(says: str) -> None:
    shift = at_work(EAR)
    second(shift, doubt(shift), says)
    (found,) = shift.trip.findings
    assert (found.code, found.group) == ("unknown_spot", "soil")
    assert shift.step.kind == "decide"
    assert any(isinstance(kept.event, e.ScopeOutOfUse) for kept in shift.log)
    shift.must(c.Confirm(what="item_back"))
    assert shift.trip.pieces["A1"].disposition is Disposition.ITEM_BACK
    counted = figures(shift)
    assert (counted["soil"], counted["damage"], counted["items_back"]) == (1, 0, 1)


def test_where_the_first_said_nothing_a_clear_word_of_the_second_settles_it() -> None:
    shift = at_work(EAR)
    second(shift, doubt(shift), "clear")
    assert shift.trip.pieces["A1"].all_yes
    assert figures(shift)["damage"] == 0


@pytest.mark.parametrize(("first", "says"), [("discolored", "clear"), ("deep_scratch", "color_only")])
def test_two_people_who_differ_send_it_back(first: str, says: str) -> None:
    shift = at_work(EAR)
    second(shift, doubt(shift, code=first), says)
    assert shift.trip.findings[0].code == "unknown_spot"


def test_two_people_who_both_see_a_scratch_hold_it_for_repair() -> None:
    shift = at_work(EAR)
    second(shift, doubt(shift, code="deep_scratch"), "scratch")
    assert names(shift.must(c.Confirm(what="repair")))[0] == "repair_tagged"


def test_color_on_the_swab_itself_comes_off_and_is_never_color_only() -> None:
    shift = at_work(EAR)
    second(shift, doubt(shift, "A1.bore.swab"), "color_only")
    assert shift.trip.findings[0].code == "unknown_spot"


def test_nobody_else_here_the_piece_waits_and_the_rest_of_the_tray_goes_on() -> None:
    shift = at_work(EAR)
    n = doubt(shift)
    shift.must(c.Turn())
    shift.yes_to_all()
    assert shift.step.kind == "shelf"
    assert c.Turn(page=c.Page.NAMES, subject=f"second:look-{n}:") in tuple(offered(shift.session.view()))
    second(shift, n, "color_only")
    shift.yes_to_all()
    assert shift.step.kind == "pack"
    assert not shift.trip.holds


def test_the_trays_own_look_may_be_doubted_too() -> None:
    shift = at_work(EAR)
    shift.no("unsure", Place())
    shift.confirm("second_look")
    second(shift, 1, "clear")
    assert shift.step.check is not None
    assert shift.step.check.key == "others"
    shift.yes_to_all()
    assert shift.step.kind == "pack"


def test_a_doubt_settled_at_the_basket_leaves_what_else_was_found_there() -> None:
    shift = at_work(EAR)
    shift.no("unsure", Place())
    shift.confirm("second_look")
    shift.no("rust_spot", Place(landmark="Forceps"))
    shift.confirm("repair")
    second(shift, 1, "clear")
    assert shift.trip.pieces["tray"].disposition is Disposition.REPAIR


def test_both_ends_are_still_two_answers_after_a_second_look() -> None:
    shift = at_work(BIG)
    shift.yes_until("A3.inner.swab")
    shift.no("unsure", Place(lumen="inner", at_mm=30))
    shift.confirm("second_look")
    second(shift, 1, "clear")
    assert (shift.step.piece, shift.step.end) == ("A3", "tip")


@pytest.mark.parametrize(
    ("code", "confirm", "piece"),
    [("unsure", "item_back", Disposition.ITEM_BACK), ("deep_scratch", "repair", Disposition.REPAIR)],
)
def test_a_department_without_second_looks_never_takes_doubt_for_clear(
    code: str, confirm: str, piece: Disposition
) -> None:
    shift = at_work(EAR, second_person=[])
    shift.yes_until("A1.bore.scope")
    shift.no(code)
    shift.send(c.Confirm(what="second_look"))
    assert shift.refused
    shift.confirm(confirm)
    assert shift.trip.pieces["A1"].disposition is piece


def test_a_department_that_takes_color_only_keeps_the_picture_and_goes_on() -> None:
    shift = at_work(EAR, second_person=["unsure"])
    shift.yes_until("A1.bore.scope")
    shift.no("discolored")
    shift.confirm("pack")
    assert shift.trip.findings[0].accepted
    assert shift.trip.pieces["A1"].all_yes


def test_a_second_word_is_taken_once() -> None:
    shift = at_work(EAR)
    n = doubt(shift)
    second(shift, n, "color_only")
    shift.send(c.TakeSecondLook(by="T2", n=n, says="soil"))
    assert shift.refused == "refused.not_asked"
