"""The exposure notes on the disk: apart from the log, append-only, and never read without a record of who read."""

from collections.abc import Iterator
from pathlib import Path

import pytest
from sqlite_utils.utils import sqlite3

from kiosk.core.exposure import NoteEntry, NotYours
from kiosk.store.bench_store import BenchStore
from kiosk.store.notes import StoreNotes

AT = {"at_ms": 1_930_000_000_000, "offset_min": 60}


def told(field: str, value: str, by: str = "S1") -> NoteEntry:
    return NoteEntry(note=1, field=field, value=value, by=by, **AT)


@pytest.fixture
def store(folder: Path) -> Iterator[BenchStore]:
    opened = BenchStore(folder, "B1")
    yield opened
    opened.close()


@pytest.fixture
def notes(store: BenchStore) -> StoreNotes:
    store.notes.write([told("person", "T2"), told("worn", "gloves"), told("worn", "gloves,mask")])
    return store.notes


def readings(store: BenchStore) -> list[tuple[int, str, int]]:
    rows = store.store.db.conn.execute("SELECT note, who, given FROM exposure_reading ORDER BY seq").fetchall()
    return [tuple(row) for row in rows]


def test_the_last_word_on_a_field_stands_and_the_others_stay(store: BenchStore, notes: StoreNotes) -> None:
    note = notes.read(1, "T2", lead=False, **AT)
    assert (note.person, note.values("worn")) == ("T2", ("gloves", "mask"))
    assert [entry.value for entry in note.entries if entry.field == "worn"] == ["gloves", "gloves,mask"]


def test_who_read_is_kept_also_of_those_to_whom_nothing_was_given(store: BenchStore, notes: StoreNotes) -> None:
    notes.read(1, "T2", lead=False, **AT)
    notes.read(1, "S1", lead=True, **AT)
    with pytest.raises(NotYours):
        notes.read(1, "T1", lead=False, **AT)
    assert readings(store) == [(1, "T2", 1), (1, "S1", 1), (1, "T1", 0)]


@pytest.mark.parametrize("table", ["exposure_entry", "exposure_reading"])
@pytest.mark.parametrize("sql", ["UPDATE {} SET who = 'X'", "DELETE FROM {}"])
def test_nothing_that_was_told_or_read_can_be_changed_or_taken_away(
    store: BenchStore, notes: StoreNotes, table: str, sql: str
) -> None:
    notes.read(1, "T2", lead=False, **AT)
    with pytest.raises(sqlite3.IntegrityError, match="append-only"):
        store.store.db.conn.execute(sql.format(table))


def test_the_log_and_what_other_stations_hear_hold_nothing_of_it(store: BenchStore, notes: StoreNotes) -> None:
    del notes
    tables = [row[0] for row in store.store.db.conn.execute("SELECT sql FROM sqlite_schema WHERE name = 'every_event'")]
    assert tables
    assert not any("exposure" in sql for sql in tables)
    assert list(store.read()) == []
