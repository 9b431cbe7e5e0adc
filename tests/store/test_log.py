"""The log: what is kept stays kept, whole, in order, and is read back as it was."""

from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from sqlite_utils.utils import sqlite3

from kiosk.core.events import CheckYes, CountShort, NotKnown
from kiosk.core.stamp import Kept
from kiosk.store import rows as rows_module
from kiosk.store.chain import COLUMNS, FIRST
from kiosk.store.codec import CodecFault, encode
from kiosk.store.database import Store
from kiosk.store.identity import is_uuid7
from kiosk.store.log import Head, Log
from kiosk.store.outage import Outage
from tests.store.shift import EVERYTHING, MORNING_MS, kept, yes

REST = ", ".join(name for name in COLUMNS if name not in {"seq", "id"})


def test_what_was_kept_is_read_back_in_order_with_its_stamp(log: Log) -> None:
    log.append(EVERYTHING[:40])
    log.append(EVERYTHING[40:])
    assert list(log.read()) == EVERYTHING


def test_a_restart_reads_what_was_kept_before(folder: Path) -> None:
    with Store(folder) as store:
        Log(store).append(EVERYTHING)
    with Store(folder) as store:
        assert list(Log(store).read()) == EVERYTHING


def test_every_event_carries_bench_number_id_time_who_trip_and_versions(log: Log) -> None:
    row = log.append([kept(CheckYes(piece="A3#1", key="look"))])[0]
    assert (row.seq, row.bench, row.typ, row.ver, row.cls) == (1, "B1", "check_yes", 1, "info")
    assert (row.at_ms, row.offset_min, row.trusted, row.who, row.trip) == (MORNING_MS, -300, 1, "P-014", "T-1")
    assert (row.policy, row.record) == (3, 7)
    assert row.body == b'{"asked_twice":false,"end":"","key":"look","piece":"A3#1","took_ms":0,"tool":""}'
    assert is_uuid7(row.id)
    assert log.head() == Head(seq=1, hlc=MORNING_MS << 16, h=row.h)
    assert next(log.rows()) == row


def test_an_empty_log_has_a_head_of_nothing(log: Log) -> None:
    assert log.head() == Head(seq=0, hlc=0, h=FIRST)
    assert list(log.read()) == []
    assert log.append([]) == []
    assert log.verify() is None


def test_reading_goes_on_after_a_number_and_over_the_edge_of_a_batch(log: Log, monkeypatch: pytest.MonkeyPatch) -> None:
    log.append([yes(n) for n in range(1, 11)])
    for batch in (1, 3, 5, 10, 11):
        monkeypatch.setattr(Log._tuples, "__defaults__", (batch,))
        assert [row.seq for row in log.rows(after_seq=4)] == [5, 6, 7, 8, 9, 10]
        assert list(log.read()) == [yes(n) for n in range(1, 11)]


def test_events_kept_while_others_are_being_read_are_read_too(log: Log, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(Log._tuples, "__defaults__", (2,))
    log.append([yes(1), yes(2), yes(3)])
    seen = []
    for row in log.rows():
        seen.append(row.seq)
        if row.seq == 1:
            log.append([yes(4)])
    assert seen == [1, 2, 3, 4]


@settings(max_examples=25)
@given(clock=st.lists(st.sampled_from([-1, 1, 60_000, -3_600_000, 10**12]), max_size=20))
def test_a_clock_that_jumps_bends_neither_numbers_nor_order(
    clock: list[int], tmp_path_factory: pytest.TempPathFactory
) -> None:
    with Store(tmp_path_factory.mktemp("clock")) as store:
        log, at = Log(store), MORNING_MS
        for jump in clock:
            at = max(0, at + jump)
            log.append([kept(CheckYes(piece="A3#1", key="look"), at)])
        rows = list(log.rows())
        assert [row.seq for row in rows] == list(range(1, len(clock) + 1))
        assert [row.hlc for row in rows] == sorted({row.hlc for row in rows})
        assert [row.id for row in rows] == sorted(row.id for row in rows)
        assert log.verify() is None


def test_one_command_is_all_or_nothing_when_an_event_can_not_be_written(log: Log) -> None:
    log.append([yes(1)])
    bad = kept(CountShort(line="L", want=6, have=5.5))  # type: ignore[arg-type]
    with pytest.raises(CodecFault):
        log.append([yes(2), bad])
    assert list(log.read()) == [yes(1)]


def test_one_command_is_all_or_nothing_when_sqlite_refuses_its_second_event(
    log: Log, monkeypatch: pytest.MonkeyPatch
) -> None:
    first = log.append([yes(1)])[0]
    ids = iter(["0" * 36, first.id])
    with monkeypatch.context() as twice:
        twice.setattr(rows_module, "new_id", lambda _: next(ids))
        with pytest.raises(sqlite3.IntegrityError, match="append-only"):
            log.append([yes(2), yes(3)])
    assert list(log.read()) == [yes(1)]
    assert [row.seq for row in log.append([yes(4)])] == [2]
    assert log.verify() is None


@pytest.mark.parametrize("who", ["P-014", None])
def test_a_stamp_without_a_person_or_a_trip_is_kept_so(log: Log, who: str | None) -> None:
    log.append([kept(CheckYes(piece="A3#1", key="look"), who=who, trip=None)])
    assert next(log.read()).stamp.who == who
    assert next(log.read()).stamp.trip is None


@pytest.mark.parametrize(
    "sql",
    [
        "UPDATE event SET who = 'P-999' WHERE seq = 2",
        "UPDATE event SET seq = 9 WHERE seq = 3",
        "DELETE FROM event WHERE seq = 3",
        "DELETE FROM event",
        "INSERT OR REPLACE INTO event SELECT * FROM event WHERE seq = 2",
        f"INSERT INTO event (seq, id, {REST}) SELECT 5, 'x' || substr(id, 2), {REST} FROM event WHERE seq = 3",
        f"INSERT OR REPLACE INTO event (seq, id, {REST}) SELECT 4, id, {REST} FROM event WHERE seq = 2",
        "UPDATE OR REPLACE event SET id = (SELECT id FROM event WHERE seq = 1) WHERE seq = 2",
    ],
)
@pytest.mark.parametrize("recursive", ["ON", "OFF"])
def test_the_log_refuses_every_change_in_sql(store: Store, log: Log, sql: str, recursive: str) -> None:
    log.append([yes(1), yes(2), yes(3)])
    before = list(log.rows())
    store.db.conn.execute(f"PRAGMA recursive_triggers = {recursive}")
    with pytest.raises(sqlite3.IntegrityError, match="append-only"):
        store.db.conn.execute(sql)
    assert list(log.rows()) == before


@pytest.mark.parametrize("cls", ["hold", "clear", "info"])
def test_an_event_of_a_newer_program_is_kept_as_it_is_and_only_its_meaning_is_read(
    store: Store, log: Log, cls: str
) -> None:
    log.append([yes(1)])
    store.db.conn.execute("DROP TRIGGER event_never_changes")
    store.db.conn.execute("UPDATE event SET typ = 'check_smelled', cls = ?", (cls,))
    assert (next(log.rows()).typ, next(log.rows()).body) == ("check_smelled", encode(yes(1).event)[2])
    assert next(log.read()) == Kept(event=NotKnown(typ="check_smelled", cls=cls), stamp=yes(1).stamp)


def test_what_only_means_something_is_never_written(log: Log) -> None:
    with pytest.raises(KeyError):
        log.append([kept(NotKnown(typ="check_smelled", cls="hold"))])
    assert list(log.rows()) == []


def test_a_bench_that_lost_its_power_knows_when_it_was_last_alive(folder: Path) -> None:
    with Store(folder) as store:
        log = Log(store)
        assert log.last_alive() is None
        log.alive(MORNING_MS)
        log.alive(MORNING_MS + 20_000)
    with Store(folder) as store:
        assert Log(store).last_alive() == MORNING_MS + 20_000


def test_an_event_after_the_last_note_tells_better(log: Log) -> None:
    log.alive(MORNING_MS)
    log.append([yes(7)])
    assert log.last_alive() == MORNING_MS + 7000


def test_a_bench_that_stopped_on_purpose_lost_no_power(log: Log) -> None:
    log.append([yes(1)])
    log.alive(MORNING_MS)
    log.rest()
    assert log.last_alive() is None


def test_notes_of_being_alive_are_no_part_of_the_log(log: Log) -> None:
    log.append([yes(1)])
    head = log.head()
    log.alive(MORNING_MS + 60_000)
    assert log.head() == head


def test_after_an_outage_in_doubt_nothing_is_kept_until_the_file_is_opened_anew(store: Store, log: Log) -> None:
    log.append([yes(1)])

    def write_to_a_bad_disk() -> None:
        with store.transaction() as connection:
            connection.execute("INSERT INTO alive VALUES (1, 5)")
            fault = sqlite3.OperationalError("disk I/O error")
            fault.sqlite_errorcode = sqlite3.SQLITE_IOERR
            raise fault

    with pytest.raises(Outage) as caught:
        write_to_a_bad_disk()
    assert caught.value.doubt
    with pytest.raises(Outage, match="did not take it"):
        log.append([yes(2)])
    log.reopen()
    assert log.last_alive() is None
    assert [row.seq for row in log.append([yes(2)])] == [2]
    assert list(log.read()) == [yes(1), yes(2)]
