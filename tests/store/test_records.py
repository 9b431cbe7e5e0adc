"""The past read by time, kind and trip: the same as from whole logs in memory, with and without bookmarks."""

from collections.abc import Iterator
from dataclasses import replace
from datetime import date, timedelta
from pathlib import Path

import pytest

from kiosk import resources
from kiosk.core.past.counters import COUNTERS, Book
from kiosk.core.past.records import LogRecords, Records
from kiosk.core.stamp import Kept
from kiosk.rehearsal.story import tell
from kiosk.store.bench_store import BenchStore
from kiosk.store.database import Store
from kiosk.store.records import StoreRecords
from kiosk.sync.beside import Beside

UNTIL = date(2031, 3, 4)
NOW_MS = 1_930_435_200_000  # 2031-03-05 00:00 UTC: every told shift is over
DAYS = 3


@pytest.fixture(scope="module")
def told(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Three days of both benches, B2's heard by B1."""
    folder = tmp_path_factory.mktemp("told")
    for number in (1, 2):
        tell(folder / f"B{number}", bench_number=number, days=DAYS, until=UNTIL, seed=7, offset_min=-300)
    with BenchStore(folder / "B1").store as store:
        store.db.conn.execute("DELETE FROM bookmark")
    bench, other = BenchStore(folder / "B1"), Beside(folder / "B2")
    while told := other.fetch(bench.heard.heads()):
        bench.heard.take(told.origin, told.rows, was=told.was, public_key=told.public_key)
    other.close()
    bench.close()
    return folder


@pytest.fixture
def store(told: Path) -> Iterator[BenchStore]:
    bench = BenchStore(told / "B1")
    yield bench
    bench.close()


@pytest.fixture
def logs(store: BenchStore) -> dict[str, list[Kept]]:
    known = {"B1": list(store.read())}
    for station, kept in store.heard.read():
        known.setdefault(station, []).append(kept)
    return known


def _shifts() -> list[tuple[str, date]]:
    days = [UNTIL - timedelta(days=n) for n in range(1, DAYS + 1)]
    return [(name, day) for day in days for name in resources.policy().shifts]


def _same(one: Book, other: Book) -> None:
    assert one.counts == other.counts
    assert one.until_ms == other.until_ms
    for name in COUNTERS:
        assert set(one.of(name)) == set(other.of(name)), name


def test_the_stores_books_are_those_of_the_whole_logs(store: BenchStore, logs: dict[str, list[Kept]]) -> None:
    memory: Records = LogRecords(lambda: logs)
    policy = resources.policy()
    some = 0
    for shift in _shifts():
        book = store.records.book(shift, policy, NOW_MS)
        _same(book, memory.book(shift, policy, NOW_MS))
        some += book["trays_opened"]
    assert some > 20


def test_a_bookmark_changes_no_figure(store: BenchStore) -> None:
    policy = resources.policy()
    without = [StoreRecords(store.store).book(shift, policy, NOW_MS) for shift in _shifts()]
    store.records.book(_shifts()[0], policy, NOW_MS)
    store.records.put_down()
    assert store.store.db.conn.execute("SELECT count(*) FROM bookmark").fetchone()[0] > 1
    for shift, book in zip(_shifts(), without, strict=True):
        _same(StoreRecords(store.store).book(shift, policy, NOW_MS), book)


def test_a_bookmark_that_was_touched_is_passed_over(store: BenchStore) -> None:
    policy, shift = resources.policy(), _shifts()[0]
    book = store.records.book(shift, policy, NOW_MS)
    store.records.put_down()
    with store.store.transaction() as connection:
        connection.execute("UPDATE bookmark SET body = x'00'")
    _same(StoreRecords(store.store).book(shift, policy, NOW_MS), book)


def test_a_day_cut_at_noon_knows_nothing_of_the_afternoon(store: BenchStore, logs: dict[str, list[Kept]]) -> None:
    """A shift that still runs is counted up to now; what waits then is what waited then."""
    policy, shift = resources.policy(), ("day", UNTIL - timedelta(days=1))
    whole = store.records.book(shift, policy, NOW_MS)
    middle = sorted(entry.at_ms for entry in whole.of("lumens_checked"))[whole["lumens_checked"] // 2]
    early = {name: [kept for kept in log if kept.stamp.at_ms <= middle] for name, log in logs.items()}
    book = LogRecords(lambda: early).book(shift, policy, middle)
    assert book.until_ms == middle
    assert 0 < book["lumens_checked"] <= whole["lumens_checked"]


def test_everything_of_a_trip_comes_in_order(store: BenchStore, logs: dict[str, list[Kept]]) -> None:
    trip = next(kept.stamp.trip for kept in logs["B2"] if kept.stamp.trip)
    assert [kept for _, kept in store.records.of_trip(trip)] == [k for k in logs["B2"] if k.stamp.trip == trip]


def test_events_are_found_by_what_their_bodies_hold(store: BenchStore, logs: dict[str, list[Kept]]) -> None:
    memory = LogRecords(lambda: logs)
    load = next(kept.event.load for kept in logs["B1"] if type(kept.event).__name__ == "LoadChecked")  # type: ignore[union-attr]
    found = store.records.kept("load_checked", holding=str(load))
    assert found
    assert list(found) == list(memory.kept("load_checked", holding=str(load)))


def test_how_fresh_each_station_is(store: BenchStore, logs: dict[str, list[Kept]]) -> None:
    fresh = store.records.fresh()
    assert {name: one.seq for name, one in fresh.items()} == {name: len(log) for name, log in logs.items()}


def test_the_others_benches_are_their_logs_folds(store: BenchStore, told: Path) -> None:
    other = BenchStore(told / "B2")
    assert store.records.benches() == {"B2": replace(other.bench())}
    other.close()


def test_an_empty_store_has_an_empty_book(tmp_path: Path) -> None:
    with Store(tmp_path / "new", "B1") as empty:
        book = StoreRecords(empty).book(("day", UNTIL), resources.policy(), NOW_MS)
        assert book.counts == dict.fromkeys(COUNTERS, 0)
