"""Opening a store: what is set, what is refused, and that a refusal harms nothing."""

import errno
import subprocess
import sys
import threading
from collections.abc import Iterator
from concurrent.futures import ThreadPoolExecutor
from contextlib import contextmanager
from pathlib import Path
from typing import IO

import pytest
from sqlite_utils.utils import sqlite3

from kiosk.resources import words
from kiosk.store import database, outage
from kiosk.store.database import APPLICATION_ID, FILE, Store, keeps_commits, lock_folder
from kiosk.store.log import Log
from kiosk.store.migrate import migrate, migrations
from kiosk.store.outage import Outage, outages
from tests.store.older import BEFORE_KEYS, older_store
from tests.store.shift import yes

ROOT = Path(__file__).resolve().parents[2]


@contextmanager
def raw(folder: Path) -> Iterator[sqlite3.Connection]:
    """The file as SQLite sees it, with none of the store's rules of opening."""
    connection = sqlite3.connect(str(folder / FILE), isolation_level=None)
    yield connection
    connection.close()


def test_a_new_store_is_durable_and_knows_its_bench(store: Store) -> None:
    ask = store.db.conn.execute
    assert ask("PRAGMA journal_mode").fetchone() == ("wal",)
    assert ask("PRAGMA synchronous").fetchone() == (2,)
    assert ask("PRAGMA application_id").fetchone() == (APPLICATION_ID,)
    assert ask("PRAGMA user_version").fetchone() == (len(migrations()),)
    assert store.bench == "B1"


def test_every_table_is_strict(store: Store) -> None:
    tables = store.db.conn.execute(
        "SELECT name, strict FROM pragma_table_list WHERE schema = 'main' AND type = 'table'"
    )
    assert {name for name, strict in tables if not strict} == {"sqlite_schema"}


def test_a_store_opened_again_is_the_same_store(folder: Path) -> None:
    with Store(folder, "B2") as first:
        origin = first.origin
    with Store(folder) as again:
        assert (again.origin, again.bench) == (origin, "B2")


def test_two_stores_are_two_origins(tmp_path: Path) -> None:
    with Store(tmp_path / "a") as a, Store(tmp_path / "b") as b:
        assert a.origin != b.origin


@pytest.mark.parametrize(
    ("version", "keeps"),
    [
        ((3, 40, 1), False), ((3, 51, 2), False), ((3, 51, 3), True), ((3, 53, 4), True), ((3, 50, 6), False),
        ((3, 50, 7), True), ((3, 44, 5), False), ((3, 44, 6), True), ((3, 45, 0), False), ((4, 0, 0), True),
    ],
)  # fmt: skip
def test_a_sqlite_that_can_lose_commits_is_told_apart(version: tuple[int, int, int], keeps: bool) -> None:
    """The WAL-reset fault: sqlite.org/wal.html; fixed in 3.51.3, 3.50.7 and 3.44.6."""
    assert keeps_commits(version) is keeps


def test_a_sqlite_that_can_lose_commits_is_refused(folder: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(sqlite3, "sqlite_version_info", (3, 40, 1))
    with pytest.raises(Outage, match="can lose what was kept"):
        Store(folder)
    assert not folder.exists()


def test_a_setting_that_does_not_hold_is_refused(folder: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setitem(database._PRAGMAS, "synchronous", ("NORMAL", 2))
    with pytest.raises(Outage, match=r"synchronous is 1"):
        Store(folder)


def test_a_store_of_a_newer_program_is_refused_unharmed(folder: Path) -> None:
    Store(folder).close()
    with raw(folder) as connection:
        connection.execute("PRAGMA user_version = 99")
        connection.execute("PRAGMA wal_checkpoint(TRUNCATE)")
    before = (folder / FILE).read_bytes()
    with pytest.raises(Outage, match="A newer program wrote this store"):
        Store(folder)
    assert (folder / FILE).read_bytes() == before


@pytest.mark.parametrize("application", [0, 7])
def test_a_file_of_something_else_is_refused_unharmed(folder: Path, application: int) -> None:
    folder.mkdir()
    with raw(folder) as connection:
        connection.execute("CREATE TABLE notes (text TEXT)")
        connection.execute(f"PRAGMA application_id = {application}")
    before = (folder / FILE).read_bytes()
    with pytest.raises(Outage, match="is not a store of this program"):
        Store(folder)
    assert (folder / FILE).read_bytes() == before


def test_a_file_that_is_no_database_is_refused_unharmed(folder: Path) -> None:
    folder.mkdir()
    (folder / FILE).write_text("tray list\n" * 200)
    with pytest.raises(Outage, match="is damaged"):
        Store(folder)
    assert (folder / FILE).read_text() == "tray list\n" * 200


def test_the_store_of_another_bench_is_refused(folder: Path) -> None:
    Store(folder, "B1").close()
    with pytest.raises(Outage, match="belongs to bench B1"):
        Store(folder, "B2")
    Store(folder, "B1").close()


OPEN = """
import sys
from pathlib import Path
from kiosk.store.database import Store
with Store(Path(sys.argv[1])):
    print("open")
"""


def _open_elsewhere(folder: Path) -> tuple[str, str]:
    """What another process says and complains of that opens the same store."""
    command = [sys.executable, "-c", OPEN, str(folder)]
    run = subprocess.run(command, check=False, cwd=ROOT, capture_output=True, text=True, timeout=60)
    return run.stdout, run.stderr


def test_a_second_process_on_the_same_store_is_refused(store: Store, folder: Path) -> None:
    said, complained = _open_elsewhere(folder)
    assert said == ""
    assert "The store store is open already." in complained
    store.close()
    assert _open_elsewhere(folder) == ("open\n", "")


def test_the_same_process_can_not_open_a_store_twice(store: Store, folder: Path) -> None:
    with pytest.raises(Outage, match="is open already"):
        Store(folder)


def test_of_many_who_make_a_new_store_at_one_instant_one_has_it_and_the_others_are_told(tmp_path: Path) -> None:
    at_once = threading.Barrier(8)

    def take(folder: Path) -> IO[bytes] | str:
        at_once.wait()
        try:
            return lock_folder(folder)
        except Outage as told:
            return told.key

    with ThreadPoolExecutor(max_workers=8) as together:
        for round_ in range(200):
            took = list(together.map(take, [tmp_path / str(round_) / "store"] * 8))
            assert sum(isinstance(each, str) for each in took) == took.count("in_use") == 7
            for each in took:
                if not isinstance(each, str):
                    each.close()


def test_closing_twice_does_nothing_and_a_refused_store_holds_no_lock(folder: Path) -> None:
    store = Store(folder, "B1")
    store.close()
    store.close()
    with pytest.raises(Outage):
        Store(folder, "B2")
    Store(folder).close()


def test_another_program_that_holds_the_file_is_said(store: Store, folder: Path) -> None:
    store.db.conn.execute("PRAGMA busy_timeout = 20")
    with raw(folder) as other:
        other.execute("BEGIN IMMEDIATE")
        with pytest.raises(Outage, match="Another program holds the store"):
            Log(store).append([yes(1)])
        other.execute("ROLLBACK")
    assert [row.seq for row in Log(store).append([yes(1)])] == [1]


@pytest.mark.parametrize(
    ("code", "key"),
    [
        ("SQLITE_FULL", "disk_full"), ("SQLITE_IOERR", "disk"), ("SQLITE_READONLY", "read_only"),
        ("SQLITE_BUSY", "busy"), ("SQLITE_LOCKED", "busy"), ("SQLITE_CANTOPEN", "disk"), ("SQLITE_CORRUPT", "damaged"),
        ("SQLITE_NOTADB", "damaged"),
    ],
)  # fmt: skip
def test_what_sqlite_says_of_the_disk_is_an_outage(code: str, key: str) -> None:
    fault = sqlite3.OperationalError("said by SQLite")
    fault.sqlite_errorcode = getattr(sqlite3, code) | 3 << 8  # with an extended code, as it comes
    with pytest.raises(Outage) as caught, outages():
        raise fault
    assert (caught.value.key, caught.value.doubt) == (key, key == "disk")


@pytest.mark.parametrize(
    ("code", "key"),
    [(errno.ENOSPC, "disk_full"), (errno.EDQUOT, "disk_full"), (errno.EROFS, "read_only"), (errno.EACCES, "read_only"),
     (errno.EPERM, "read_only"), (errno.EIO, "disk"), (errno.EFBIG, "disk")],
)  # fmt: skip
def test_what_the_system_says_of_the_disk_is_an_outage(code: int, key: str) -> None:
    with pytest.raises(Outage) as caught, outages():
        raise OSError(code, "said by the system")
    assert caught.value.key == key


@pytest.mark.parametrize(
    "bug", [sqlite3.IntegrityError("no code"), OSError(errno.ENOTDIR, "a bug"), ValueError("a bug")]
)
def test_a_bug_is_not_an_outage(bug: Exception) -> None:
    with pytest.raises(type(bug)) as caught, outages():
        raise bug
    assert caught.value is bug


def test_every_outage_has_its_sentence() -> None:
    keys = {*outage._OF_SQLITE.values(), *outage._OF_SYSTEM.values()}
    assert all(str(Outage(key)) == words().say(f"outage.{key}") for key in keys)


def test_migrations_are_numbered_without_a_gap(tmp_path: Path) -> None:
    assert [int(path.name[:4]) for path in migrations()] == list(range(1, len(migrations()) + 1))
    (tmp_path / "0001_log.sql").touch()
    (tmp_path / "0003_later.sql").touch()
    with pytest.raises(ValueError, match="without a gap"):
        migrations(tmp_path)


def test_a_migration_that_breaks_leaves_no_trace(tmp_path: Path) -> None:
    files = [tmp_path / "0001_first.sql", tmp_path / "0002_second.sql"]
    files[0].write_text("CREATE TABLE first (a INTEGER) STRICT;")
    files[1].write_text("CREATE TABLE second (a INTEGER) STRICT;\nINSERT INTO nowhere VALUES (1);")
    connection = sqlite3.connect(":memory:", isolation_level=None)
    with pytest.raises(sqlite3.OperationalError, match="nowhere"):
        migrate(connection, files)
    assert connection.execute("SELECT name FROM sqlite_schema").fetchall() == [("first",)]
    assert connection.execute("PRAGMA user_version").fetchone() == (1,)
    files[1].write_text("CREATE TABLE second (a INTEGER) STRICT;")
    migrate(connection, files)
    assert connection.execute("PRAGMA user_version").fetchone() == (2,)
    connection.close()


@pytest.mark.parametrize("version", [1, BEFORE_KEYS])
def test_a_store_of_an_older_program_is_led_up_with_its_events(folder: Path, version: int) -> None:
    older_store(folder, [yes(1), yes(2)], version)
    with Store(folder) as store:
        assert list(Log(store).read()) == [yes(1), yes(2)]
        assert store.db.conn.execute("PRAGMA user_version").fetchone() == (len(migrations()),)


@pytest.mark.parametrize(
    ("was", "now"),
    [("an event never goes", "an event never gods"), ("offset_min", "offset_mio")],
)
def test_a_letter_changed_in_the_stored_tables_is_said(was: str, now: str, folder: Path) -> None:
    Store(folder).close()
    data = (folder / FILE).read_bytes()
    assert was.encode() in data
    (folder / FILE).write_bytes(data.replace(was.encode(), now.encode()))
    with pytest.raises(Outage, match="is damaged"), Store(folder) as store:
        store.check_schema()
