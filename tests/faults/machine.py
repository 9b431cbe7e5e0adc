"""The product's store on a file system of the test's own: SQLite as apsw brings it, in a process of its own.

`stand_in` puts apsw in the place of the SQLite that kiosk/store uses; the store's own code runs unchanged above it. The
process opens no store with any other SQLite: two SQLite libraries on one file break each other's locks
(sqlite.org/howtocorrupt.html section 2.2.1).
"""

from collections.abc import Iterator, Sequence
from contextlib import contextmanager, suppress
from types import SimpleNamespace
from typing import Any

import apsw

from kiosk.store import bench_store, database, migrate, outage

Value = Any


class Fault(Exception):
    """What apsw raised, as the DB-API says it."""

    sqlite_errorcode = 0


@contextmanager
def _said() -> Iterator[None]:
    try:
        yield
    except apsw.Error as fault:
        said = Fault(str(fault))
        said.sqlite_errorcode = getattr(fault, "extendedresult", 0) or getattr(fault, "result", 0)
        raise said from fault


class Rows:
    """A cursor."""

    def __init__(self, cursor: apsw.Cursor) -> None:
        self._cursor = cursor

    def fetchone(self) -> Value:
        with _said():
            return self._cursor.fetchone()

    def fetchall(self) -> list[Value]:
        with _said():
            return self._cursor.fetchall()

    def __iter__(self) -> Iterator[Value]:
        return iter(self.fetchall())


class Connection:
    """A connection as kiosk/store uses one."""

    def __init__(self, path: str, vfs: str, *, uri: bool = False) -> None:
        flags = apsw.SQLITE_OPEN_READONLY | apsw.SQLITE_OPEN_URI if uri else None
        with _said():
            self._of = apsw.Connection(path, vfs=vfs or None, **({"flags": flags} if flags else {}))

    def execute(self, sql: str, values: Sequence[Value] = ()) -> Rows:
        with _said():
            return Rows(self._of.execute(sql, tuple(values)))

    def executemany(self, sql: str, rows: Sequence[Sequence[Value]]) -> Rows:
        with _said():
            return Rows(self._of.executemany(sql, [tuple(row) for row in rows]))

    def executescript(self, sql: str) -> Rows:
        return self.execute(sql)

    @property
    def in_transaction(self) -> bool:
        return self._of.in_transaction

    def close(self) -> None:
        """A file that can not be tidied is closed all the same (sqlite.org/c3ref/close.html, sqlite3_close_v2)."""
        with suppress(apsw.Error):
            self._of.close()


def stand_in(vfs: str = "") -> None:
    """From here on kiosk/store opens its files with apsw, through the file system `vfs` ("": the machine's own)."""

    def connect(path: str, *, uri: bool = False, **_: Value) -> Connection:
        return Connection(path, vfs, uri=uri)

    version = apsw.sqlite_lib_version()
    house = SimpleNamespace(
        Error=Fault,
        Connection=Connection,
        connect=connect,
        sqlite_version=version,
        sqlite_version_info=tuple(map(int, version.split("."))),
    )
    for module in (bench_store, database, migrate, outage):
        setattr(module, "sqlite3", house)  # noqa: B010
