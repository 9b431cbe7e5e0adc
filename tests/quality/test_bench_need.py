"""Minutes of trays at the bench and benches for a wait: logs written by hand, worked examples of the handbooks."""

from collections.abc import Iterator
from pathlib import Path

import pytest

from kiosk.core import events as e
from kiosk.core.events import Event
from kiosk.core.stamp import Kept
from kiosk.quality.bench_need import bench_need, hour_of, stays_in
from kiosk.quality.trips import opened_in
from kiosk.store.bench_store import BenchStore
from tests.lumen.bench import reference_cases
from tests.quality.cases import is_near
from tests.quality.small_log import WEEK, answers, at, opening, store_of, told

CASES = {case["id"]: case for case in reference_cases("waiting_lines.json")}
PACKED = e.Packed(number="1-P1")


def passage(trip: str, day: int, opened: str, *later: tuple[str, Event]) -> list[Kept]:
    """A tray opened at a time of a day, and what came after."""
    return [*opening(trip, at(day, opened)), *(told(event, at(day, clock), trip) for clock, event in later)]


def paused(reason: str) -> Event:
    return e.Paused(reason=reason)


BACK = e.Resumed(covered=True, other_person=False, minutes=0)
BACK_TO_DECONTAM = e.TrayBack(ticket="RT-1", pieces=("E1#1",), findings=(1,), why="tissue", bench="none", gloves=False)
OUT = e.SignedOut(reason="idle")


@pytest.fixture
def store(tmp_path: Path) -> Iterator[BenchStore]:
    """One store a test; it is closed behind it."""
    made = BenchStore(tmp_path / "store", "B1")
    yield made
    made.close()


def minutes(store: BenchStore, *later: tuple[str, Event]) -> float:
    """Minutes at the bench of trays of which twenty went the same way."""
    for n in range(20):
        store.keep(passage(f"1-{n:06}", n % 5, "09:00", *later))
    found = stays_in(store.records, WEEK)
    assert found.packed + found.back == 20
    assert found.median_min is not None
    assert found.mean_min == found.median_min == found.p90_min
    return found.median_min


def test_a_pause_is_no_time_at_the_bench(store: BenchStore) -> None:
    assert minutes(store, ("09:10", paused("break")), ("09:40", BACK), ("09:52", PACKED)) == 22


def test_a_tray_found_open_at_a_sign_in_was_left_when_the_last_person_went(store: BenchStore) -> None:
    assert minutes(store, ("09:08", OUT), ("11:00", paused("other_person")), ("11:01", BACK), ("11:05", PACKED)) == 12


def test_a_short_absence_without_a_pause_counts_as_work(store: BenchStore) -> None:
    assert minutes(store, ("09:08", OUT), ("09:30", PACKED)) == 30


def test_a_sign_out_before_a_pause_of_one_s_own_takes_nothing_from_it(store: BenchStore) -> None:
    later = ("09:08", OUT), ("09:20", paused("break")), ("10:00", BACK), ("10:05", PACKED)
    assert minutes(store, *later) == 25


def test_a_power_cut_ends_the_work_when_the_bench_was_last_alive(store: BenchStore) -> None:
    for n in range(20):
        cut = e.PowerLost(at_ms=at(0, "09:03"))
        later = ("10:00", cut), ("10:01", paused("away")), ("10:02", BACK), ("10:04", PACKED)
        store.keep(passage(f"1-{n:06}", 0, "09:00", *later))
    assert stays_in(store.records, WEEK).median_min == 5


def test_a_tray_that_goes_back_or_is_packed_short_was_at_the_bench_too_and_only_until_then(store: BenchStore) -> None:
    short = e.PackedShort(number="1-P2", short=1)
    again = e.TrayReopened(package="1-P2", why="wet")
    assert minutes(store, ("09:15", short), ("12:00", again), ("12:30", PACKED)) == 15
    for n in range(20, 40):
        store.keep(passage(f"1-{n:06}", n % 5, "13:00", ("13:05", BACK_TO_DECONTAM)))
    found = stays_in(store.records, WEEK)
    assert (found.packed, found.back, found.median_min) == (20, 20, 10)


def test_what_was_left_lying_or_never_ended_or_let_go_is_counted_apart(store: BenchStore) -> None:
    store.keep(passage("1-000001", 0, "09:00", ("13:01", PACKED)))
    store.keep(passage("1-000002", 0, "09:00", ("09:10", paused("hold_shelf"))))
    store.keep(passage("1-000003", 0, "09:00", ("09:01", e.TrayLetGo())))
    store.keep(passage("1-000004", 0, "09:00", ("09:20", PACKED)))
    found = stays_in(store.records, WEEK)
    assert (found.packed, found.left_lying, found.not_ended) == (1, 1, 1)
    assert (found.median_min, found.mean_min) == (None, None)  # one tray is too few to tell
    opened = opened_in(store.records, WEEK)
    assert (len(opened.trays), opened.let_go) == (3, 1)


def test_the_benches_of_an_hour_are_those_of_the_worked_example() -> None:
    """Source: 100 calls in half an hour of three minutes each, 80 in 100 within 20 s (tests/reference, two sources)."""
    case = CASES["erlc-10E-sl"]
    told_, wanted = case["inputs"], case["expected"]
    trays, wait = told_["calls"] * 3600 // told_["period_s"], told_["target_s"] / 60
    hour = hour_of(9, 5 * trays, 5, 13, told_["aht_s"] / 60, wait, 0.8)
    assert hour.an_hour == trays
    assert hour.needs is not None
    assert hour.as_now is not None
    assert (hour.needs.load, hour.needs.people) == (wanted["A"], 14)
    is_near([hour.as_now.in_time, hour.needs.in_time], wanted["service_level"], case["tolerance"])


def test_where_the_benches_at_work_cannot_keep_up_no_wait_is_told_for_them() -> None:
    hour = hour_of(9, 40, 10, 1, 16.0, 30, 0.9)  # four an hour of 16 minutes each: more than an hour's work
    assert hour.as_now is not None
    assert hour.needs is not None
    assert hour.as_now.grows
    assert (hour.needs.people, hour.needs.grows) == (2, False)
    assert hour_of(9, 19, 10, 1, 16.0, 30, 0.9).needs is None
    assert hour_of(9, 40, 10, 1, None, 30, 0.9).needs is None


def test_trays_of_an_hour_are_counted_over_the_days_on_which_any_was_opened(store: BenchStore) -> None:
    for n in range(25):
        day, clock = n % 5, f"{9 + n // 20:02}:{n:02}"  # twenty after nine, five after ten; five days of seven
        trip = f"1-{n:06}"
        store.keep(passage(trip, day, clock, (f"{clock[:3]}{n + 12:02}", PACKED)))
        store.keep(answers("swab", [5], at(day, clock) + 60_000, trip))
    need = bench_need(store.records, WEEK, opened_in(store.records, WEEK), 30)
    assert need.days == 5
    assert [(each.hour, each.trays, each.an_hour, each.at_work) for each in need.hours] == [
        (9, 20, 4, 1),
        (10, 5, 1, 1),
    ]
    nine, ten = need.hours
    assert nine.needs is not None
    assert nine.needs.load == pytest.approx(4 * 12 / 60)
    assert ten.needs is None  # five trays are too few


def test_a_store_without_trays_has_no_need(tmp_path: Path) -> None:
    empty = store_of(tmp_path / "empty")
    need = bench_need(empty.records, WEEK, opened_in(empty.records, WEEK), 30)
    assert (need.hours, need.days, need.stays.packed) == ((), 0, 0)
    empty.close()
