"""Wrong PINs: waits by badge and by kiosk, the stop, who ends it; and what none of it ever blocks."""

from dataclasses import replace

import pytest

from kiosk.core import commands as c
from kiosk.core import events as e
from kiosk.core.evolve import evolve
from kiosk.core.place import Place
from kiosk.core.tries import AT_KIOSK, FREE, REMEMBERED_MS, STOP_AFTER, TRIES
from kiosk.core.views import ListView, MenuView, SignInView
from tests.core.department import EAR, PIN, Shift, at_work, names, people, scan
from tests.core.department import desk as small_desk

QUARTER_MIN = 15


def wrong(shift: Shift, who: str, times: int = 1) -> None:
    """So many wrong ones, each after its wait."""
    for _ in range(times):
        while not isinstance(next(iter(shift.send(c.EnterPin(person=who, pin="0000"))), None), e.SignInRefused):
            shift.minutes(QUARTER_MIN)


def crowd(many: int) -> Shift:
    """The small department with so many colleagues more."""
    one = people()["T1"]
    more = {f"C{n}": replace(one, id=f"C{n}", name=f"Person C{n}", badge=f"C{n}") for n in range(many)}
    desk = small_desk()
    return Shift(desk=replace(desk, catalogue=replace(desk.catalogue, people={**people(), **more})))


def stopped() -> Shift:
    shift = Shift()
    wrong(shift, "T1", STOP_AFTER)
    shift.minutes(24 * 60)
    return shift


def test_after_the_last_try_even_the_right_number_is_not_taken_and_no_day_that_passes_helps() -> None:
    """NIST SP 800-63B section 5.2.2: no more than 100 failed attempts in a row; twenty is this department's choice."""
    assert STOP_AFTER < 100
    shift = stopped()
    assert shift.send(c.EnterPin(person="T1", pin=PIN)) == []
    assert shift.refused == "refused.badge_stopped"
    for _ in range(3):
        shift.minutes(7 * 24 * 60)
        shift.send(c.EnterPin(person="T1", pin=PIN))
        assert shift.refused == "refused.badge_stopped"


def test_a_clock_that_was_set_back_since_the_last_sign_in_opens_no_way_past_the_stop() -> None:
    shift = Shift()
    shift.must(c.EnterPin(person="T1", pin=PIN), c.SignOut())
    shift.minutes(-12 * 60)
    wrong(shift, "T1", STOP_AFTER)
    assert shift.send(c.EnterPin(person="T1", pin=PIN)) == []
    assert shift.refused == "refused.badge_stopped"


def test_one_try_before_the_stop_the_right_number_still_helps() -> None:
    shift = Shift()
    wrong(shift, "T1", STOP_AFTER - 1)
    shift.minutes(QUARTER_MIN)
    assert names(shift.must(c.EnterPin(person="T1", pin=PIN))) == ["signed_in"]


def test_a_supervisor_forgives_the_wrong_numbers_on_the_persons_page_and_nobody_forgives_their_own() -> None:
    shift = stopped()
    shift.must(c.EnterPin(person="S1", pin=PIN), c.Turn(page=c.Page.PERSON, subject="T1"))
    view = shift.session.view()
    assert isinstance(view, MenuView)
    key = next(key for key in view.keys if key.name == "forgive tries")
    assert str(STOP_AFTER) in key.label
    assert key.send is not None
    assert shift.must(key.send) == [e.TriesForgiven(person="T1")]
    assert shift.log[-1].stamp.who == "S1"
    shift.send(key.send)
    assert shift.refused == "refused.not_asked"
    shift.send(c.ForgiveTries(person="S1"))
    assert shift.refused == "refused.own_record"
    shift.must(c.SignOut())
    assert names(shift.must(c.EnterPin(person="T1", pin=PIN))) == ["signed_in"]


def test_a_new_number_typed_with_the_supervisor_ends_the_stop_too() -> None:
    shift = stopped()
    shift.must(c.EnterPin(person="S1", pin=PIN), c.SetPin(person="T1", pin="314159", salt="0a" * 16), c.SignOut())
    assert names(shift.must(c.EnterPin(person="T1", pin="314159"))) == ["signed_in"]


def test_wrong_numbers_of_a_badge_are_counted_over_all_stations_and_a_right_one_anywhere_ends_the_row() -> None:
    here, there = Shift(), Shift()
    wrong(there, "T1", STOP_AFTER - TRIES)
    here.at_ms = there.at_ms
    wrong(here, "T1", TRIES)
    here.session.hear("B2", there.log)
    here.minutes(QUARTER_MIN)
    here.send(c.EnterPin(person="T1", pin=PIN))
    assert here.refused == "refused.badge_stopped"
    length = len(there.log)
    there.at_ms = here.at_ms
    there.must(c.EnterPin(person="T1", pin=PIN))
    here.session.hear("B2", there.log[length:])
    assert names(here.must(c.EnterPin(person="T1", pin=PIN))) == ["signed_in"]


def test_a_colleague_is_never_held_by_another_badges_wrong_numbers_nor_by_many_badges() -> None:
    shift = crowd(AT_KIOSK * 2)
    for n in range(AT_KIOSK * 2):
        wrong(shift, f"C{n}", TRIES)
    assert names(shift.must(c.EnterPin(person="T1", pin=PIN))) == ["signed_in"]
    shift.must(c.SignOut())
    wrong(shift, "T2", FREE - 1)  # a slip of one's own is free as well
    assert names(shift.must(c.EnterPin(person="T2", pin=PIN))) == ["signed_in"]


def test_a_kiosk_at_which_many_badges_are_tried_makes_them_wait_before_each_has_its_five() -> None:
    shift = crowd(AT_KIOSK)
    shift.pace_ms = 1000
    for n in range(AT_KIOSK // FREE):
        wrong(shift, f"C{n}", FREE)
    assert FREE < TRIES
    assert shift.send(c.EnterPin(person="C0", pin="0000")) == []
    assert shift.refused == "refused.too_many_tries"
    shift.minutes(0.5)
    assert names(shift.send(c.EnterPin(person="C0", pin="0000"))) == ["sign_in_refused"]


def test_signing_in_oneself_wipes_no_others_wrong_numbers_from_the_kiosk() -> None:
    shift = crowd(AT_KIOSK)
    shift.pace_ms = 1000
    for n in range(AT_KIOSK // FREE):
        wrong(shift, f"C{n}", FREE)
        shift.must(c.EnterPin(person="T1", pin=PIN), c.SignOut())
    shift.send(c.EnterPin(person="C0", pin=PIN))
    assert shift.refused == "refused.too_many_tries"


def test_a_shift_later_a_kiosk_has_forgotten_what_was_typed_at_it_and_the_badge_has_not() -> None:
    shift = crowd(AT_KIOSK)
    for n in range(AT_KIOSK // FREE):
        wrong(shift, f"C{n}", FREE)
    shift.at_ms += REMEMBERED_MS
    assert names(shift.send(c.EnterPin(person="C0", pin="0000"))) == ["sign_in_refused"]
    assert shift.bench.refused["C0"] == FREE + 1


def test_what_was_typed_wrong_is_known_again_after_a_restart() -> None:
    shift = stopped()
    bench = type(shift.bench)()
    for kept in shift.log:
        bench = evolve(bench, kept)
    shift.session.bench = bench
    shift.send(c.EnterPin(person="T1", pin=PIN))
    assert shift.refused == "refused.badge_stopped"


@pytest.mark.parametrize("before", [Shift, stopped])
def test_first_aid_asks_for_no_number_at_any_time(before: type[Shift]) -> None:
    shift = before()
    assert names(shift.must(c.FirstAid())) == ["first_aid_begun"]
    assert shift.step.kind == "first_aid"


def test_whoever_is_signed_in_records_a_finding_while_badges_are_stopped() -> None:
    shift = at_work(EAR)
    wrong(shift, "S1", STOP_AFTER)
    shift.must(c.Turn())
    shift.yes_until("A1.bore.swab")
    shift.no("bone_grit", Place(landmark="shaft"))
    assert shift.trip.findings[-1].code == "bone_grit"


def test_a_stopped_supervisor_rules_nothing_and_another_one_does() -> None:
    desk = small_desk()
    other = replace(people()["S1"], id="S2", name="Person S2", badge="S2")
    shift = Shift(desk=replace(desk, catalogue=replace(desk.catalogue, people={**people(), "S2": other})))
    wrong(shift, "S1", STOP_AFTER)
    shift.minutes(QUARTER_MIN)
    shift.sign_in("T1")
    shift.send(c.EnterPin(person="S1", pin=PIN, ruling=True))
    assert shift.refused == "refused.badge_stopped"
    shift.must(c.EnterPin(person="S2", pin=PIN, ruling=True))
    assert shift.session.turn == c.Turn(page=c.Page.RULING, subject="S2")


# What is seen by somebody who cannot sign in


def left_open() -> Shift:
    """A tray lies open, the bench was locked by quiet, and the only badge at hand is stopped."""
    shift = at_work(EAR)
    shift.yes_until("A2#1.bore.dry")
    shift.must(c.SignOut(idle=True))
    wrong(shift, "T1", STOP_AFTER)
    shift.must(c.Turn())
    return shift


def touch(shift: Shift, name: str) -> list[e.Event]:
    """Touch a row of the list that is shown."""
    view = shift.session.view()
    assert isinstance(view, ListView)
    send = next(row.send for row in view.rows if row.name == name)
    assert send is not None
    return shift.must(send)


def test_a_finding_is_kept_without_a_name_from_the_sign_in_page_and_the_tray_is_not_packed_then() -> None:
    shift = left_open()
    view = shift.session.view()
    assert isinstance(view, SignInView)
    key = next(key for key in view.hand.right if key.name == "saw something")
    assert key.send is not None
    shift.must(key.send)
    touch(shift, f"saw in {EAR}")
    assert names(touch(shift, "saw red_mark")) == ["finding_unsigned", "hold_placed", "lead_told"]
    assert {kept.stamp.who for kept in shift.log[-3:]} == {None}
    assert {kept.stamp.trip for kept in shift.log[-3:]} == {shift.trip.id}
    shift.must(c.EnterPin(person="S1", pin=PIN), c.ForgiveTries(person="T1"), c.SignOut())
    shift.sign_in("T1")
    if shift.bench.trip is None:
        shift.send(scan(EAR), c.Confirm(what="covered", subject="1-000001"))
    assert shift.step.kind == "unsigned"
    shift.send(c.PackAndPrint())
    assert shift.refused


def test_whoever_takes_it_on_is_asked_everything_again_and_only_then_the_tray_goes_on() -> None:
    shift = at_work(EAR)
    shift.yes_until("A2#1.bore.dry")
    shift.must(c.SignOut(idle=True), c.NoteUnsigned(trip=shift.trip.id, code="red_mark"))
    shift.must(c.EnterPin(person="T1", pin=PIN))
    assert shift.trip.pieces["A1"].all_yes
    assert names(shift.must(c.TakeOnUnsigned()))[:2] == ["unsigned_taken_on", "hold_released"]
    assert shift.log[-1].stamp.who == "T1"
    assert not any(piece.yes for piece in shift.trip.pieces.values())
    assert shift.step.kind == "count"
    shift.count()
    shift.yes_to_all()
    assert shift.step.kind == "pack"
    assert shift.folded() == shift.bench


def test_somebody_who_is_signed_in_records_findings_under_their_name_and_no_other_way() -> None:
    shift = at_work(EAR)
    shift.send(c.NoteUnsigned(trip=shift.trip.id, code="red_mark"))
    assert shift.refused
    shift.must(c.SignOut(idle=True))
    for trip, code in (("nothing", "red_mark"), (shift.trip.id, "not_on_the_page")):
        shift.send(c.NoteUnsigned(trip=trip, code=code))
        assert shift.refused == "refused.not_asked"


def test_without_an_open_tray_the_sign_in_page_asks_for_a_badge_and_nothing_else() -> None:
    view = Shift().session.view()
    assert isinstance(view, SignInView)
    assert "saw something" not in [key.name for key in view.hand.right]
