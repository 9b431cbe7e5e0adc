"""Which touches count: the times and distances of the house, with a clock that the test moves."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from kiosk.ui.parts.guard import BENCH_RULES, DECONTAM_RULES, TapGuard, Verdict
from tests.ui.samples import Clock

KEY, OTHER = object(), object()


@pytest.fixture
def clock() -> Clock:
    return Clock()


@pytest.fixture
def guard(clock: Clock) -> TapGuard:
    return TapGuard(clock)


def _tap(
    guard: TapGuard, clock: Clock, x: float = 50, y: float = 50, *, held: int = 80, quick: bool = False
) -> Verdict:
    guard.down(1, x, y, target=KEY, quick=quick)
    clock.now += held
    return guard.up(1, x, y)


def test_a_tap_fires_on_lift_off(guard: TapGuard, clock: Clock) -> None:
    assert guard.down(1, 50, 50, target=KEY)
    clock.now += 60
    assert guard.up(1, 50, 50) is Verdict.TAP


def test_a_contact_under_40_ms_is_a_drip_not_a_finger(guard: TapGuard, clock: Clock) -> None:
    assert _tap(guard, clock, held=39) is Verdict.TOO_SHORT
    assert _tap(guard, clock, held=40) is Verdict.TAP


def test_nothing_counts_for_350_ms_after_a_new_screen(guard: TapGuard, clock: Clock) -> None:
    guard.screen_changed()
    clock.now += 349
    assert not guard.open()
    assert _tap(guard, clock) is Verdict.NEW_SCREEN
    assert guard.open()
    assert _tap(guard, clock) is Verdict.TAP


def test_a_finger_that_was_down_when_the_screen_changed_does_not_answer_the_next_one(
    guard: TapGuard, clock: Clock
) -> None:
    guard.down(1, 50, 50, target=KEY)
    guard.screen_changed()
    clock.now += 1000
    assert guard.up(1, 50, 50) is Verdict.SPENT


def test_a_second_tap_at_the_same_place_within_700_ms_is_a_bounce(guard: TapGuard, clock: Clock) -> None:
    assert _tap(guard, clock) is Verdict.TAP
    clock.now += 500
    assert _tap(guard, clock, x=55) is Verdict.REPEAT
    clock.now += 200
    assert _tap(guard, clock) is Verdict.TAP


def test_a_second_tap_at_another_place_counts_at_once(guard: TapGuard, clock: Clock) -> None:
    assert _tap(guard, clock) is Verdict.TAP
    clock.now += 50
    assert _tap(guard, clock, x=80) is Verdict.TAP


def test_a_digit_may_be_typed_twice(guard: TapGuard, clock: Clock) -> None:
    assert _tap(guard, clock, quick=True) is Verdict.TAP
    clock.now += 60
    assert _tap(guard, clock, quick=True) is Verdict.REPEAT
    clock.now += 160
    assert _tap(guard, clock, quick=True) is Verdict.TAP


def test_sliding_off_cancels_but_a_drift_of_6_mm_does_not(guard: TapGuard, clock: Clock) -> None:
    for slid, verdict in ((6.0, Verdict.TAP), (6.1, Verdict.SLID_OFF)):
        clock.now += 2000
        guard.down(1, 50, 50, target=KEY)
        clock.now += 60
        assert guard.move(1, 50 + slid, 50, inside=False) is (verdict is Verdict.TAP)
        assert guard.up(1, 50 + slid, 50, inside=False) is verdict


def test_a_finger_may_slide_inside_a_large_plate_but_a_drop_that_runs_down_it_answers_nothing(
    guard: TapGuard, clock: Clock
) -> None:
    for slid, verdict in ((15.0, Verdict.TAP), (15.1, Verdict.SLID_OFF)):
        clock.now += 2000
        guard.down(1, 50, 50, target=KEY)
        clock.now += 60
        assert guard.move(1, 50, 50 + slid) is (verdict is Verdict.TAP)
        assert guard.up(1, 50, 50 + slid, inside=True) is verdict


def test_a_drop_that_ran_and_came_back_answers_nothing(guard: TapGuard, clock: Clock) -> None:
    guard.down(1, 50, 50, target=KEY)
    clock.now += 60
    guard.move(1, 50, 80)
    clock.now += 60
    assert guard.up(1, 50, 50) is Verdict.SLID_OFF


def test_what_rests_on_a_plate_for_over_three_seconds_answers_nothing(guard: TapGuard, clock: Clock) -> None:
    assert _tap(guard, clock, held=3000) is Verdict.TAP
    clock.now += 2000
    assert _tap(guard, clock, held=3001) is Verdict.TOO_LONG


def test_the_fourth_and_fifth_contact_of_a_palm_are_palm_too(guard: TapGuard, clock: Clock) -> None:
    for contact in range(1, 6):
        guard.down(contact, 30.0 * contact, 50, width=12, target=KEY)
        clock.now += 15
    clock.now += 300
    assert {guard.up(contact, 30.0 * contact, 50) for contact in range(1, 6)} == {Verdict.CLOTH}


def test_a_finger_counts_once_the_palm_has_lain_for_80_ms(guard: TapGuard, clock: Clock) -> None:
    for contact, after in ((2, 80), (4, 81)):
        clock.now += 2000
        guard.down(1, 150, 150, width=40, target=OTHER)
        clock.now += after
        guard.down(contact, 50, 50, width=9, target=KEY)
        clock.now += 60
        assert guard.up(contact, 50, 50) is (Verdict.CLOTH if after == 80 else Verdict.TAP)
        guard.up(1, 150, 150)


def test_a_contact_wider_than_25_mm_is_a_palm(guard: TapGuard, clock: Clock) -> None:
    assert not guard.down(1, 50, 50, width=25.1, target=KEY)
    clock.now += 60
    assert guard.up(1, 50, 50) is Verdict.CLOTH


def test_a_finger_that_grows_to_a_palm_stops_counting(guard: TapGuard, clock: Clock) -> None:
    assert guard.down(1, 50, 50, width=9, target=KEY)
    assert not guard.move(1, 50, 50, width=30)
    assert guard.up(1, 50, 50) is Verdict.CLOTH


def test_a_resting_palm_does_not_swallow_the_tap_of_a_finger(guard: TapGuard, clock: Clock) -> None:
    guard.down(1, 150, 150, width=40, target=OTHER)
    clock.now += 200
    assert guard.down(2, 50, 50, width=9, target=KEY)
    clock.now += 60
    assert guard.up(2, 50, 50) is Verdict.TAP
    assert guard.up(1, 150, 150) is Verdict.CLOTH


def test_two_fingers_on_two_keys_both_count(guard: TapGuard, clock: Clock) -> None:
    guard.down(1, 150, 150, target=OTHER)
    guard.down(2, 50, 50, target=KEY)
    clock.now += 60
    assert guard.up(2, 50, 50) is Verdict.TAP
    assert guard.up(1, 150, 150) is Verdict.TAP


def test_a_hand_resting_on_the_answer_that_a_finger_gave_does_not_give_it_again(guard: TapGuard, clock: Clock) -> None:
    guard.down(1, 100, 50, target=KEY)
    guard.down(2, 50, 50, target=KEY)
    clock.now += 60
    assert guard.up(2, 50, 50) is Verdict.TAP
    clock.now += 5000
    assert guard.up(1, 100, 50) is Verdict.SPENT


def test_three_contacts_at_once_are_a_cloth(guard: TapGuard, clock: Clock) -> None:
    for contact in (1, 2, 3):
        guard.down(contact, 40.0 * contact, 50, target=KEY)
    clock.now += 60
    assert {guard.up(contact, 40.0 * contact, 50) for contact in (1, 2, 3)} == {Verdict.CLOTH}


def test_a_path_over_120_mm_is_a_wipe(guard: TapGuard, clock: Clock) -> None:
    guard.down(1, 0, 50, target=KEY)
    for x in (61, 0):
        clock.now += 60
        guard.move(1, x, 50)
    assert guard.up(1, 0, 50) is Verdict.CLOTH


def test_two_strokes_of_a_cloth_within_two_seconds_offer_to_wipe_once(guard: TapGuard, clock: Clock) -> None:
    for wait in (0, 1500):
        clock.now += wait
        guard.down(1, 50, 50, width=60)
        guard.up(1, 50, 50)
    assert guard.cloth_seen()
    assert not guard.cloth_seen()


def test_one_stroke_or_two_slow_ones_offer_nothing(guard: TapGuard, clock: Clock) -> None:
    for wait in (0, 2500):
        clock.now += wait
        guard.down(1, 50, 50, width=60)
        guard.up(1, 50, 50)
        assert not guard.cloth_seen()


def test_decontam_waits_longer_after_a_new_screen_and_a_tap() -> None:
    """Not for the shortest tap: at 80 ms one tap in twelve of docs/touch.md fell short, and nothing is held there."""
    assert (DECONTAM_RULES.shortest_ms, DECONTAM_RULES.new_screen_ms, DECONTAM_RULES.repeat_ms) == (40, 500, 1200)
    assert (BENCH_RULES.shortest_ms, BENCH_RULES.new_screen_ms, BENCH_RULES.repeat_ms) == (40, 350, 700)


@given(st.lists(st.tuples(st.sampled_from(["down", "move", "up", "screen"]), st.integers(1, 4), st.integers(0, 200))))
def test_a_contact_fires_at_most_once_and_only_after_it_came_down(steps: list[tuple[str, int, int]]) -> None:
    clock = Clock()
    guard, down = TapGuard(clock), set[int]()
    for kind, contact, amount in steps:
        clock.now += amount
        if kind == "down":
            guard.down(contact, amount, 50, target=KEY)
            down.add(contact)
        elif kind == "move":
            guard.move(contact, amount, 50)
        elif kind == "screen":
            guard.screen_changed()
        else:
            fired = guard.up(contact, amount, 50) is Verdict.TAP
            assert not fired or contact in down
            down.discard(contact)
