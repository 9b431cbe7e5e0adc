"""Opens a store folder: one file, one process, one writing connection, durable commits, or a sentence why not."""

import fcntl
import uuid
from collections.abc import Iterator
from contextlib import contextmanager
from functools import cache
from pathlib import Path
from types import TracebackType
from typing import IO, Self

from sqlite_utils import Database
from sqlite_utils.utils import sqlite3

from kiosk.store.durable import sync_folder
from kiosk.store.incarnation import begin, incarnations, settle, spans
from kiosk.store.keys import Keys
from kiosk.store.migrate import migrate, migrations
from kiosk.store.outage import Outage, outages

FILE = "throughlight.db"
LOCK = "throughlight.lock"
RESTORING = "throughlight.restoring"
"""A note that a restore is going on: the store is not whole until it is gone."""
APPLICATION_ID = 0x54484C54  # "THLT", set by the first migration
_PRAGMAS: dict[str, tuple[str, object]] = {  # name: (set to, read back as)
    "journal_mode": ("WAL", "wal"),
    "synchronous": ("FULL", 2),
    "busy_timeout": ("5000", 5000),
    "foreign_keys": ("ON", 1),
    "recursive_triggers": ("ON", 1),
    "trusted_schema": ("OFF", 0),
    "cell_size_check": ("ON", 1),
    "mmap_size": ("0", 0),
    "journal_size_limit": ("8388608", 8_388_608),  # bytes: a long write-ahead log shrinks again
    "wal_autocheckpoint": ("1000", 1000),
    "temp_store": ("MEMORY", 2),
}

_SCHEMA = "SELECT type, name, tbl_name, sql FROM sqlite_schema ORDER BY type, name"


def keeps_commits(version: tuple[int, ...]) -> bool:
    """Is the WAL-reset fault mended in this SQLite? In 3.51.3, 3.50.7 and 3.44.6 (sqlite.org/wal.html)."""
    if version[:2] == (3, 50):
        return version >= (3, 50, 7)
    if version[:2] == (3, 44):
        return version >= (3, 44, 6)
    return version >= (3, 51, 3)


class Store:
    """One open store folder, for the thread that opened it. `with` closes it.

    A new store is named for `bench` (B1 where none is given); an old one keeps its name. Raises Outage with a sentence:
    SQLite too old, another process, another bench's store, a newer program's store, a file of something else, one that
    was emptied, the disk.

    `origin`: the incarnation of the log that goes on now; `spans`: every one, and from where on
    (`kiosk.store.incarnation`).
    """

    def __init__(self, folder: Path, bench: str = "") -> None:
        if not keeps_commits(sqlite3.sqlite_version_info):
            raise Outage("sqlite", version=sqlite3.sqlite_version)
        self.folder = folder
        self.keys = Keys(folder)
        self._doubt = False
        self._lock = lock_folder(folder)
        try:
            if (folder / RESTORING).exists():
                raise Outage("restoring")
            with outages():
                self.db = self._open()
                self.origin, self.bench = self._named(bench)
        except BaseException:
            self.close()
            raise

    def __enter__(self) -> Self:
        return self

    def __exit__(self, kind: type[BaseException] | None, fault: BaseException | None, at: TracebackType | None) -> None:
        self.close()

    def close(self) -> None:
        """Close the file and let another process have it. Closing twice does nothing."""
        try:
            if hasattr(self, "db"):
                self.db.conn.close()
        finally:
            self._lock.close()

    def reopen(self) -> None:
        """Open the file anew after an outage in doubt, still holding the lock. Raises Outage."""
        self.db.conn.close()
        with outages():
            self.db = self._open()
            self.origin = self.db.conn.execute("SELECT v FROM meta WHERE k = 'origin'").fetchone()[0]
            self.spans = spans(incarnations(self.db.conn), self.origin)  # a new one may have been begun in doubt
        self._doubt = False

    def check_schema(self) -> None:
        """Are the tables, indexes and triggers those that the migrations make, to the letter? Raises Outage."""
        with outages():
            found = self.db.conn.execute(_SCHEMA).fetchall()
        if found != _schema(tuple(migrations())):
            raise Outage("damaged")

    @contextmanager
    def transaction(self) -> Iterator[sqlite3.Connection]:
        """Everything inside is kept together, durably, when the block is left; nothing of it on an exception.

        Raises Outage; after one in doubt, until `reopen`.
        """
        if self._doubt:
            raise Outage("disk", doubt=True)
        connection = self.db.conn
        try:
            with outages():
                connection.execute("BEGIN IMMEDIATE")
                yield connection
                connection.execute("COMMIT")
        except BaseException as fault:
            self._doubt = isinstance(fault, Outage) and fault.doubt
            if connection.in_transaction:
                with outages():
                    connection.execute("ROLLBACK")
            raise

    def _open(self) -> Database:
        files = migrations()
        _look_first(self.folder / FILE, len(files))
        connection = sqlite3.connect(str(self.folder / FILE), isolation_level=None)
        try:
            _belongs_here(connection, len(files))
            if self.keys.signed_before() and not connection.execute("PRAGMA user_version").fetchone()[0]:
                raise Outage("emptied", keys=self.keys.folder.name)
            db = Database(connection, execute_plugins=False)
            for name, (value, back) in _PRAGMAS.items():
                connection.execute(f"PRAGMA {name} = {value}").fetchone()
                got = connection.execute(f"PRAGMA {name}").fetchone()[0]
                if got != back:
                    raise Outage("setting", name=name, value=value, got=got)
            migrate(connection, files)
        except BaseException:
            connection.close()
            raise
        return db

    def _named(self, bench: str) -> tuple[str, str]:
        with self.transaction() as connection:
            new = {"origin": str(uuid.uuid4()), "bench": bench or "B1"}
            connection.executemany("INSERT INTO meta (k, v) VALUES (?, ?) ON CONFLICT DO NOTHING", new.items())
            meta = dict(connection.execute("SELECT k, v FROM meta"))
            if bench and meta["bench"] != bench:
                raise Outage("other_bench", bench=meta["bench"])
            origin = settle(connection, self.keys, meta["origin"], meta["bench"])
            self.spans = spans(incarnations(connection), origin)
        return origin, meta["bench"]

    def begin_again(self, why: str, alike: int | None = None) -> None:
        """Go on under a new origin. Raises Outage.

        `fork`: another log says otherwise under this one, after the number `alike`; `restored`: it goes further there.
        """
        with self.transaction() as connection:
            origin = begin(connection, self.keys, self.bench, why, alike)
            known = spans(incarnations(connection), origin)
        self.origin, self.spans = origin, known


def lock_folder(folder: Path) -> IO[bytes]:
    """Have the store folder for this process alone, until what is returned is closed. Raises Outage."""
    with outages():
        if not folder.is_dir():
            folder.mkdir(parents=True, exist_ok=True)  # another program may be making it too
            sync_folder(folder.parent)
        file = (folder / LOCK).open("ab")
    try:
        fcntl.flock(file, fcntl.LOCK_EX | fcntl.LOCK_NB)
    except BlockingIOError as fault:
        file.close()
        raise Outage("in_use", folder=folder.name) from fault
    return file


def _look_first(path: Path, newest: int) -> None:
    """Where a write-ahead log was left, look without writing: closing would take it over, into a file not ours too."""
    if not path.with_name(f"{FILE}-wal").exists():
        return
    reader = sqlite3.connect(f"{path.resolve().as_uri()}?mode=ro", uri=True)
    try:
        _belongs_here(reader, newest)
    except sqlite3.Error:
        pass  # what can not be read without mending it first is looked at when it is opened
    finally:
        reader.close()


@cache
def _schema(files: tuple[Path, ...]) -> list[tuple[str | None, ...]]:
    """The tables, indexes, triggers and views that these migrations make."""
    made = sqlite3.connect(":memory:", isolation_level=None)
    migrate(made, list(files))
    schema: list[tuple[str | None, ...]] = made.execute(_SCHEMA).fetchall()
    made.close()
    return schema


def _belongs_here(connection: sqlite3.Connection, newest: int) -> None:
    """Look before anything is written. Raises Outage for a file of something else or of a newer program."""
    application: int = connection.execute("PRAGMA application_id").fetchone()[0]
    version: int = connection.execute("PRAGMA user_version").fetchone()[0]
    tables: int = connection.execute("SELECT count(*) FROM sqlite_schema").fetchone()[0]
    if application != (APPLICATION_ID if tables else 0):
        raise Outage("foreign", file=FILE)
    if version > newest:
        raise Outage("newer", version=version, known=newest)
