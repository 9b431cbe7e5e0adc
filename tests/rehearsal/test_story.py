"""The demo department's invented history: played by the rules, the same for a seed, believable in number."""

from collections import Counter
from dataclasses import dataclass
from datetime import UTC, date, datetime
from pathlib import Path

import pytest

from kiosk.core import events as e
from kiosk.core.evolve import evolve
from kiosk.core.stamp import Kept
from kiosk.core.state.bench import Bench
from kiosk.core.state.trip import Trip
from kiosk.rehearsal.month import Month, read_month
from kiosk.rehearsal.story import StoryFault, tell
from kiosk.store.bench_store import BenchStore
from kiosk.store.codec import encode

UNTIL = date(2031, 3, 5)  # a Wednesday
SEED = 740926
pytestmark = pytest.mark.slow


@dataclass(frozen=True, slots=True)
class Told:
    """A story as it lies in a folder: its log, the bench opened from it, every trip as last seen."""

    folder: Path
    log: list[Kept]
    opened: Bench
    trips: dict[str, Trip]


def told(folder: Path, *, days: int, bench_number: int = 1, seed: int = SEED) -> Told:
    tell(folder, bench_number=bench_number, days=days, until=UNTIL, seed=seed)
    store = BenchStore(folder, f"B{bench_number}")
    try:
        log, opened = list(store.read()), store.bench()
    finally:
        store.close()
    bench = Bench()
    trips: dict[str, Trip] = {}
    for kept in log:
        bench = evolve(bench, kept)
        trips |= bench.trips
    assert bench == opened  # snapshot and rest against the whole log
    return Told(folder, log, opened, trips)


@pytest.fixture(scope="module")
def three_days(tmp_path_factory: pytest.TempPathFactory) -> Told:
    return told(tmp_path_factory.mktemp("three"), days=3)


@pytest.fixture(scope="module")
def a_month(tmp_path_factory: pytest.TempPathFactory) -> Told:
    return told(tmp_path_factory.mktemp("month"), days=30)


def test_the_bench_opens_from_its_snapshot_as_from_its_whole_log(three_days: Told) -> None:
    assert three_days.opened.trips_begun > 20
    assert three_days.opened.who is None


def test_the_log_of_the_story_is_whole(three_days: Told) -> None:
    store = BenchStore(three_days.folder)
    try:
        assert store.log.verify() is None
        assert store.last_alive() is None  # nobody will think that the power failed
    finally:
        store.close()


def test_one_seed_tells_one_story(three_days: Told, tmp_path: Path) -> None:
    again = told(tmp_path / "again", days=3)
    assert [encode(kept.event) for kept in again.log] == [encode(kept.event) for kept in three_days.log]
    assert [kept.stamp for kept in again.log] == [kept.stamp for kept in three_days.log]


def test_another_seed_tells_another(three_days: Told, tmp_path: Path) -> None:
    other = told(tmp_path / "other", days=1, seed=SEED + 1)
    assert [kept.stamp for kept in other.log] != [kept.stamp for kept in three_days.log[-len(other.log) :]]


def test_a_bench_with_a_history_is_not_told_another(three_days: Told) -> None:
    with pytest.raises(StoryFault, match="history already"):
        tell(three_days.folder, bench_number=1, days=1, until=UNTIL, seed=SEED)


def test_time_never_runs_back_and_ends_the_evening_before(three_days: Told) -> None:
    times = [kept.stamp.at_ms for kept in three_days.log]
    assert times == sorted(times)
    midnight = int(datetime(UNTIL.year, UNTIL.month, UNTIL.day, tzinfo=UTC).timestamp() * 1000)
    assert midnight - 3 * 86_400_000 < times[0] < times[-1] < midnight


def test_the_first_day_and_the_last_are_told_of_as_progress(tmp_path: Path) -> None:
    seen: list[tuple[int, int]] = []
    tell(
        tmp_path / "short", bench_number=2, days=2, until=UNTIL, seed=SEED,
        progress=lambda done, days: seen.append((done, days)),
    )  # fmt: skip
    assert seen == [(1, 2), (2, 2)]


def test_every_trip_ends_packed_or_gone_back_or_waits_with_a_reason(a_month: Told) -> None:
    for trip in a_month.trips.values():
        assert trip.ended or (trip.holds and trip.pause), trip.id
    waiting = [trip for trip in a_month.trips.values() if not trip.ended]
    assert 1 <= len(waiting) <= 8
    assert {trip.id for trip in waiting} <= set(a_month.opened.trips)


def test_no_tray_is_on_two_trips_at_once(a_month: Told) -> None:
    going: set[str] = set()
    of_trip = {key: trip.tray.code for key, trip in a_month.trips.items()}
    for kept in a_month.log:
        code = of_trip.get(kept.stamp.trip or "")
        if isinstance(kept.event, e.TrayOpened):
            assert code not in going
            going.add(code or "")
        elif isinstance(kept.event, e.Packed | e.TrayBack):
            going.discard(code or "")


def test_about_two_trays_in_a_hundred_go_back(a_month: Told) -> None:
    """About 2 % (Alfred et al., BMJ Qual Saf 2020;29:320, PMC7752140, one hospital). Wide: a month of one bench is
    some 400 trips, of which 8 are expected; 1 to 20 is what chance alone does."""
    backs = sum(trip.back_ms is not None for trip in a_month.trips.values())
    assert 300 <= len(a_month.trips) <= 750
    assert 0.0025 * len(a_month.trips) <= backs <= 0.05 * len(a_month.trips)


def test_the_month_has_something_of_everything(a_month: Told) -> None:
    seen = Counter(e.NAME_OF[type(kept.event)] for kept in a_month.log)
    wanted = {
        "item_back", "tray_back", "dried", "bench_fixed", "repair_tagged", "hold_placed", "replaced", "bench_cleaned",
        "gloves_changed", "scope_cleaned", "paused", "resumed", "repeated_after_pause", "wrong_scan", "correction",
        "label_voided", "printer_lost", "printer_restored", "count_short", "not_seen_marked",
    }  # fmt: skip
    assert not wanted - set(seen)
    assert seen["power_lost"] == 1
    assert seen["packed"] > 20 * seen["tray_back"]


def test_nobody_works_more_than_five_days_of_seven() -> None:
    days: dict[str, set[int]] = {}
    for (day, _, _), person in month(1).rota().items():
        assert day not in days.get(person, set())
        days.setdefault(person, set()).add(day)
    for person, on in days.items():
        assert all(sum(0 <= day - first < 7 for day in on) <= 5 for first in on), person


def test_in_one_shift_no_tray_is_at_both_benches() -> None:
    one, two = ({(w.day, w.name): set(w.trays) for w in month(n).watches()} for n in (1, 2))
    assert all(not trays & two.get(key, set()) for key, trays in one.items())
    assert sum(map(len, two.values())) > 100


def month(bench_number: int) -> Month:
    return read_month(bench_number, days=30, until=UNTIL, seed=SEED, offset_min=0)
