"""The nearest carrier: another station's store on this machine, read and never written."""

from collections.abc import Mapping, Sequence
from pathlib import Path
from typing import Any, NamedTuple

from sqlite_utils.utils import sqlite3

from kiosk.store.chain import COLUMNS
from kiosk.store.database import FILE
from kiosk.store.heard import Was
from kiosk.store.incarnation import incarnations, told_by
from kiosk.store.outage import outages

AT_MOST = 2000
"""Events a look takes, so that the screen never waits long."""

_SELECT = f"SELECT {', '.join(COLUMNS)} FROM {{}} WHERE seq > ? AND seq <= ? ORDER BY seq LIMIT {AT_MOST}"  # noqa: S608
_ENDLESS = (1 << 63) - 1


class Told(NamedTuple):
    """What a look brought: rows of one origin, where that begins, and its public key."""

    origin: str
    rows: Sequence[Any] = ()
    was: Was | None = None
    public_key: bytes | None = None


class Beside:
    """The store folder of another station beside this one."""

    def __init__(self, folder: Path) -> None:
        self.folder = folder
        self._connection: sqlite3.Connection | None = None
        self._file: tuple[int, int] | None = None

    def fetch(self, heads: Mapping[str, int]) -> Told | None:
        """What comes next after what is known here of the other log, of one origin at a time; None: nothing new.

        Raises Outage when its file can not be read.
        """
        with outages():
            connection = self._opened()
            known = incarnations(connection) if connection else ()
            sql = _SELECT.format(told_by(connection)) if connection else ""
            ends = [*(one.after_seq for one in known[1:]), _ENDLESS]
            for one, end in zip(known, ends, strict=bool(known)):  # a station that is not there has none
                assert connection is not None
                seen = heads.get(one.origin, one.after_seq)
                rows = connection.execute(sql, (seen, end)).fetchall() if seen < end else []
                if rows:
                    was = Was(one.was_origin, one.after_seq, one.was_h) if one.was_origin else None
                    return Told(one.origin, rows, was, one.public_key)
        return None

    def _opened(self) -> sqlite3.Connection | None:
        """The other file as it lies there now: one that was put in its place is opened anew."""
        path = self.folder / FILE
        try:
            there = path.stat()
        except FileNotFoundError:
            self.close()
            return None
        if self._file != (there.st_dev, there.st_ino):
            self.close()
            self._connection = sqlite3.connect(f"{path.resolve().as_uri()}?mode=ro", uri=True, isolation_level=None)
            self._connection.execute("PRAGMA query_only = ON")
            self._connection.execute("PRAGMA wal_autocheckpoint = 0")
            self._file = (there.st_dev, there.st_ino)
        return self._connection

    def close(self) -> None:
        """Let go of the other file."""
        if self._connection is not None:
            self._connection.close()
            self._connection = self._file = None
