"""Whatever is changed in what was kept, it is found, and the first bad event is named."""

import hashlib
import random
from collections.abc import Callable
from pathlib import Path

import pytest
from sqlite_utils.utils import sqlite3

from kiosk.store.chain import COLUMNS, link
from kiosk.store.database import FILE, Store
from kiosk.store.log import Log
from kiosk.store.outage import Outage
from tests.store.shift import EVERYTHING, yes

CHECKS_OFF = "PRAGMA ignore_check_constraints = ON"


def _open_to_change(store: Store) -> Callable[..., object]:
    """SQL without the triggers, as somebody with the file in hand would have it."""
    for trigger in ("event_never_changes", "event_never_goes", "event_comes_last"):
        store.db.conn.execute(f"DROP TRIGGER {trigger}")
    store.db.conn.execute(CHECKS_OFF)
    return store.db.conn.execute


def test_the_hash_is_laid_out_as_written_down() -> None:
    """Built here by hand from the words at the top of kiosk/store/chain.py."""
    row = (1, 258, 1, 5, -300, 1, 3, 7, "id", "info", "check_yes", "B1", None, "T é", b"{}")
    header = b"".join(number.to_bytes(8, "big", signed=True) for number in (1, 258, 1, 5, -300, 1, 3, 7))
    for text in (b"origin", b"id", b"info", b"check_yes", b"B1"):
        header += len(text).to_bytes(4, "big") + text
    header += b"\xff\xff\xff\xff" + b"\x00\x00\x00\x04T \xc3\xa9"
    whole = b"spl1" + bytes(32) + len(header).to_bytes(4, "big") + header + b"{}"
    assert link(bytes(32), "origin", row) == hashlib.sha256(whole).digest()


def test_every_column_of_the_table_is_under_the_hash(store: Store) -> None:
    columns = [row[1] for row in store.db.conn.execute("PRAGMA table_info(event)")]
    assert sorted(columns) == sorted(COLUMNS)


def test_a_log_that_nobody_touched_holds(log: Log) -> None:
    log.append(EVERYTHING)
    assert log.verify() is None
    assert log.verify(last=5) is None
    log.check()


@pytest.mark.parametrize("column", COLUMNS)
def test_a_changed_byte_anywhere_in_an_event_is_found(store: Store, log: Log, column: str) -> None:
    log.append(EVERYTHING[:6])
    sql = _open_to_change(store)
    (value,) = store.db.conn.execute(f"SELECT {column} FROM event WHERE seq = 4").fetchone()
    if isinstance(value, int):
        changed: list[object] = [value ^ 1 << bit for bit in range(63)]
    else:
        raw = value if isinstance(value, bytes) else value.encode()
        flips = [raw[:at] + bytes([raw[at] ^ 1 << bit]) + raw[at + 1 :] for at in range(len(raw)) for bit in range(7)]
        changed = [*flips, raw[:-1], raw + b"x"]
        if isinstance(value, str):
            changed = [flip.decode("ascii") for flip in changed if isinstance(flip, bytes)]
    found = set()
    for each in changed:
        sql("BEGIN")
        sql(f"UPDATE OR REPLACE event SET {column} = ? WHERE seq = 4", (each,))
        found.add(log.verify())
        sql("ROLLBACK")
    # A number that is another's takes that one's place, and so names the gap.
    assert found <= ({1, 2, 3, 4, 5, 6} if column == "seq" else {4})
    assert log.verify() is None


@pytest.mark.parametrize("column", ["who", "trip"])
def test_a_name_that_is_taken_out_is_found(store: Store, log: Log, column: str) -> None:
    log.append([yes(1), yes(2)])
    _open_to_change(store)(f"UPDATE event SET {column} = NULL WHERE seq = 2")
    assert log.verify() == 2


def test_text_that_is_no_longer_text_is_found(store: Store, log: Log) -> None:
    log.append([yes(1), yes(2), yes(3)])
    _open_to_change(store)("UPDATE event SET who = CAST(x'ff41' AS TEXT) WHERE seq = 2")
    assert log.verify() == 2


@pytest.mark.parametrize(("column", "kind"), [("who", "BLOB"), ("body", "TEXT"), ("at_ms", "REAL"), ("ver", "TEXT")])
def test_a_value_of_another_kind_is_found(folder: Path, column: str, kind: str) -> None:
    """As damage to the file can bring about; STRICT keeps it out of SQL, so the table is made loose first."""
    with Store(folder) as store:
        Log(store).append([yes(1), yes(2), yes(3)])
        sql = _open_to_change(store)
        sql("CREATE TABLE loose AS SELECT * FROM event")
        sql("DROP TABLE event")
        sql(f"CREATE TABLE event ({', '.join(COLUMNS)})")
        sql(f"INSERT INTO event SELECT {', '.join(COLUMNS)} FROM loose")
        assert Log(store).verify() is None
        sql(f"UPDATE event SET {column} = CAST({column} AS {kind}) WHERE seq = 2")
        assert Log(store).verify() == 2


@pytest.mark.parametrize("gone", [1, 2, 3])
def test_an_event_taken_out_of_the_middle_is_found(store: Store, log: Log, gone: int) -> None:
    log.append([yes(n) for n in range(1, 5)])
    _open_to_change(store)("DELETE FROM event WHERE seq = ?", (gone,))
    assert log.verify() == gone


def test_two_events_that_change_places_are_found(store: Store, log: Log) -> None:
    log.append([yes(n) for n in range(1, 5)])
    sql = _open_to_change(store)
    for old, new in ((2, 99), (3, 2), (99, 3)):
        sql("UPDATE event SET seq = ? WHERE seq = ?", (new, old))
    assert log.verify() == 2


def test_the_log_of_another_bench_is_found(store: Store, folder: Path) -> None:
    Log(store).append([yes(1)])
    store.db.conn.execute("UPDATE meta SET v = 'another' WHERE k = 'origin'")
    store.close()
    with Store(folder) as other:
        assert Log(other).verify() == 1


def test_a_start_looks_at_the_last_links_and_names_the_bad_one(store: Store, log: Log) -> None:
    log.append([yes(n) for n in range(1, 21)])
    _open_to_change(store)("UPDATE event SET who = 'P-999' WHERE seq = 12")
    assert log.verify(last=5) is None
    assert log.verify(last=8) is None
    assert log.verify(last=9) == 12
    with pytest.raises(Outage, match="damaged from event 12 on"):
        log.check()


def test_a_link_that_is_gone_is_found_by_a_look_at_the_last_ones(store: Store, log: Log) -> None:
    log.append([yes(n) for n in range(1, 11)])
    _open_to_change(store)("DELETE FROM event WHERE seq = 7")
    assert log.verify(last=3) == 7


def test_a_disk_that_can_not_be_read_just_now_is_no_damage(log: Log, monkeypatch: pytest.MonkeyPatch) -> None:
    def busy(*_: object) -> None:
        raise Outage("busy")

    monkeypatch.setattr(Log, "_tuples", busy)
    with pytest.raises(Outage, match="Another program"):
        log.verify()


def test_a_page_that_can_not_be_read_names_the_first_event_on_it(folder: Path) -> None:
    with Store(folder) as store:
        Log(store).append([yes(n) for n in range(1, 101)])
    size = 4096  # SQLite's page
    data = bytearray((folder / FILE).read_bytes())
    page = data.index(b'"A3#50"') // size
    data[page * size : (page + 1) * size] = b"\xa5" * size
    (folder / FILE).write_bytes(data)
    with Store(folder) as store:
        log = Log(store)
        bad = log.verify()
        assert bad is not None
        assert 1 < bad <= 50
        for seq in range(1, bad):
            assert store.db.conn.execute("SELECT count(*) FROM event WHERE seq = ?", (seq,)).fetchone() == (1,)
        with pytest.raises(Outage, match="damaged"):
            list(log.read())
        with pytest.raises(Outage, match=f"damaged from event {bad} on"):
            log.check()


@pytest.mark.slow
def test_no_flipped_bit_of_the_file_changes_what_is_read_unseen(folder: Path) -> None:
    with Store(folder) as store:
        Log(store).append(EVERYTHING)
        true = list(Log(store).rows())
    whole = (folder / FILE).read_bytes()
    chance, seen = random.Random(20), 0
    for _ in range(300):
        data = bytearray(whole)
        data[chance.randrange(len(data))] ^= 1 << chance.randrange(8)
        for path in folder.iterdir():
            path.unlink()
        (folder / FILE).write_bytes(data)
        try:
            with Store(folder) as store:
                Log(store).check()
                now = list(Log(store).rows())
                said = [row.typ for row in now[len(true) :]]  # a log whose own name was hit says that it goes on anew
                assert now[: len(true)] == true
                assert set(said) <= {"incarnation_began"}
                seen += bool(said)
        except (Outage, sqlite3.Error):
            seen += 1
    assert seen > 30  # the rest hit space that holds nothing
