"""A package that is opened again: packed no more, counted again, its number never used again."""

from kiosk.core import commands as c
from kiosk.core import events as e
from kiosk.core.evolve import PACKED_KEPT_MS, evolve
from kiosk.core.past.counters import summary
from kiosk.core.shift import shift_of
from kiosk.core.stamp import Kept, Stamp, local_time
from tests.core.department import BIG, EAR, Shift, at_work


def packed_and_next_open() -> Shift:
    shift = at_work(EAR)
    shift.yes_to_all()
    shift.pack()
    shift.tidy()
    shift.open(BIG)
    return shift


def reopened(shift: Shift) -> Kept:
    trip = shift.bench.packed["1-000001"]
    stamp = Stamp(at_ms=shift.at_ms, offset_min=0, trusted=True, who="T1", trip=trip.id, policy=1, record=1)
    return Kept(event=e.TrayReopened(package=trip.package, why="mixed"), stamp=stamp)


def test_a_packed_tray_stays_at_hand_while_others_are_opened_and_is_open_again_when_said() -> None:
    shift = packed_and_next_open()
    old = shift.bench.packed["1-000001"].package
    bench = evolve(shift.bench, reopened(shift))
    trip = bench.trips["1-000001"]
    assert not trip.ended
    assert (trip.counted, trip.package, trip.indicators, trip.reopened) == (False, "", None, (old,))
    assert trip.pieces["A1"].all_yes  # what was looked at stands until a rule says otherwise
    assert bench.current == "1-000002"
    assert "1-000001" not in bench.packed


def test_an_opened_package_is_not_counted_as_packed_any_more() -> None:
    shift = packed_and_next_open()
    shifts = shift.desk.policy.shifts
    today = shift_of(local_time(shift.at_ms, 0), shifts)
    assert summary(shift.log, today, shift.desk.policy)["trays_packed"] == 1
    after = summary([*shift.log, reopened(shift)], today, shift.desk.policy)
    assert (after["trays_packed"], after["trays_reopened"]) == (0, 1)


def test_what_was_packed_long_ago_is_not_kept_at_hand() -> None:
    shift = packed_and_next_open()
    assert "1-000001" in shift.bench.packed
    shift.at_ms += PACKED_KEPT_MS
    shift.must(c.StopHere(reason="break"))
    shift.open(EAR)
    assert "1-000001" not in shift.bench.packed
