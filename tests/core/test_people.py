"""Who is at the bench: signing in and out, pauses, the next person, power, first aid, shifts."""

from datetime import UTC, date, datetime

import pytest

from kiosk import resources
from kiosk.core import commands as c
from kiosk.core import events as e
from kiosk.core.shift import shift_of
from tests.core.department import EAR, PIN, Shift, at_work, names, scan


def test_a_wrong_pin_counts_and_a_right_one_starts_again() -> None:
    shift = Shift()
    shift.send(c.EnterPin(person="T1", pin="0000"), c.EnterPin(person="T1", pin="0001"))
    assert shift.bench.refused == {"T1": 2}
    assert names(shift.send(c.EnterPin(person="T1", pin=PIN))) == ["signed_in"]
    assert shift.bench.refused == {"T1": 0}


def test_after_five_wrong_pins_the_right_one_does_not_help() -> None:
    """Five: a choice, no published figure for a bench."""
    shift = Shift()
    for _ in range(5):
        shift.send(c.EnterPin(person="T1", pin="0000"))
    shift.send(c.EnterPin(person="T1", pin=PIN))
    assert shift.refused == "refused.too_many_tries"
    assert names(shift.send(c.EnterPin(person="T2", pin=PIN))) == ["signed_in"]


def test_signing_out_by_quiet_keeps_the_tray_where_it_is() -> None:
    shift = at_work(EAR)
    shift.yes()
    before = shift.trip
    assert shift.must(c.SignOut(idle=True)) == [e.SignedOut(reason="idle")]
    assert shift.bench.trip == before
    shift.must(c.EnterPin(person="T1", pin=PIN))
    assert shift.step.check is not None
    assert shift.step.check.key == "others"


def test_signing_out_on_purpose_sets_the_tray_aside() -> None:
    shift = at_work(EAR)
    assert names(shift.must(c.SignOut())) == ["paused", "signed_out"]
    assert shift.bench.trip is None


def half_way() -> Shift:
    """One piece finished, the next half done."""
    shift = at_work(EAR)
    shift.yes_until("A2#1.bore.dry")
    return shift


def test_another_person_repeats_the_open_piece_and_the_count_and_finished_pieces_stand() -> None:
    shift = half_way()
    shift.must(c.StopHere(reason="end_of_shift"))
    shift.sign_in("T2")
    shift.send(scan(EAR))
    assert shift.session.turn == c.Turn(page=c.Page.RESUME, subject="1-000001")
    events = shift.must(c.Confirm(what="covered", subject="1-000001"))
    assert events[1] == e.RepeatedAfterPause(pieces=("A2#1",), count=True)
    assert shift.step.kind == "count"
    shift.count()
    assert (shift.step.piece, shift.step.check and shift.step.check.key) == ("A2#1", "look")
    assert shift.trip.pieces["A1"].all_yes


def test_the_same_person_back_in_time_goes_on_at_once() -> None:
    shift = half_way()
    shift.must(c.StopHere(reason="break"))
    shift.minutes(29)
    assert shift.must(scan(EAR)) == [e.Resumed(covered=True, other_person=False, minutes=29)]
    assert (shift.step.piece, shift.step.check and shift.step.check.key) == ("A2#1", "bore.dry")


def test_a_pause_that_was_too_long_repeats_too() -> None:
    """Thirty minutes: a choice of the policy, no published figure."""
    shift = half_way()
    shift.must(c.StopHere(reason="break"))
    shift.minutes(31)
    shift.send(scan(EAR))
    assert "repeated_after_pause" in names(shift.must(c.Confirm(what="covered", subject="1-000001")))


def test_a_tray_that_was_opened_meanwhile_is_asked_all_over() -> None:
    shift = half_way()
    shift.must(c.StopHere(reason="break"))
    shift.minutes(31)
    shift.send(scan(EAR))
    shift.must(c.Confirm(what="opened", subject="1-000001"))
    assert not any(piece.yes for piece in shift.trip.pieces.values())


def test_somebody_else_at_a_bench_left_by_quiet_never_takes_the_tray_over_unasked() -> None:
    shift = half_way()
    shift.must(c.SignOut(idle=True))
    assert names(shift.must(c.EnterPin(person="T2", pin=PIN))) == ["paused", "signed_in"]
    assert shift.bench.trip is None


def test_a_power_cut_sets_the_tray_aside_and_says_when() -> None:
    shift = half_way()
    alive = shift.at_ms
    assert names(shift.must(c.Started(last_alive_ms=alive))) == ["power_lost", "power_restored"]
    shift.must(c.EnterPin(person="T1", pin=PIN))
    shift.must(scan(EAR))
    assert shift.trip.power_lost_ms == (alive,)
    assert shift.step.piece == "A2#1"


def test_first_aid_is_there_for_everybody_at_once_and_the_work_stays() -> None:
    shift = Shift()
    assert names(shift.must(c.FirstAid())) == ["first_aid_begun"]
    assert shift.step.kind == "first_aid"
    assert names(shift.must(c.FirstAidDone())) == ["exposure_noted", "lead_told"]
    shift = half_way()
    shift.must(c.FirstAid(), c.FirstAidDone())
    assert shift.trip.pause is None
    shift.must(c.EnterPin(person="T1", pin=PIN), c.ClearExposure(kind="none"))
    assert shift.step.piece == "A2#1"


@pytest.mark.parametrize(
    ("clock", "wanted"),
    [
        ((8, 6, 59), ("night", date(2031, 3, 7))),
        ((8, 7, 0), ("day", date(2031, 3, 8))),
        ((8, 14, 59), ("day", date(2031, 3, 8))),
        ((8, 15, 0), ("late", date(2031, 3, 8))),
        ((8, 22, 59), ("late", date(2031, 3, 8))),
        ((8, 23, 0), ("night", date(2031, 3, 8))),
        ((9, 0, 0), ("night", date(2031, 3, 8))),
        ((9, 6, 59), ("night", date(2031, 3, 8))),
    ],
)
def test_a_night_belongs_to_the_day_it_began_on(clock: tuple[int, int, int], wanted: tuple[str, date]) -> None:
    """The shipped shifts: 07 to 15, 15 to 23, 23 to 07 (common practice, no source)."""
    assert shift_of(datetime(2031, 3, *clock, tzinfo=UTC), resources.policy().shifts) == wanted


def test_a_moment_that_no_shift_covers_belongs_to_none() -> None:
    noon = datetime(2031, 3, 8, 12, tzinfo=UTC)
    assert shift_of(noon, {"early": ("06:00", "12:00")}) == ("", date(2031, 3, 8))
