"""The nearest carrier: another station's store on this machine, read and never written."""

from pathlib import Path
from typing import Any

from sqlite_utils.utils import sqlite3

from kiosk.store.chain import COLUMNS
from kiosk.store.database import FILE
from kiosk.store.outage import outages

AT_MOST = 2000
"""Events a look takes, so that the screen never waits long."""

_ORIGIN = "SELECT v FROM meta WHERE k = 'origin'"
_SELECT = f"SELECT {', '.join(COLUMNS)} FROM event WHERE seq > ? ORDER BY seq LIMIT {AT_MOST}"  # noqa: S608


class Beside:
    """The store folder of another station beside this one."""

    def __init__(self, folder: Path) -> None:
        self.folder = folder
        self._connection: sqlite3.Connection | None = None
        self._origin = ""

    def fetch(self, heads: dict[str, int]) -> tuple[str, list[Any]]:
        """The other log's origin and the rows after the last one known here. Nothing where the store is not there yet.

        Raises Outage when its file can not be read.
        """
        with outages():
            if self._connection is None and not self._open():
                return "", []
            assert self._connection is not None
            rows = self._connection.execute(_SELECT, (heads.get(self._origin, 0),)).fetchall()
        return self._origin, rows

    def _open(self) -> bool:
        path = self.folder / FILE
        if not path.is_file():
            return False
        connection = sqlite3.connect(f"{path.resolve().as_uri()}?mode=ro", uri=True, isolation_level=None)
        connection.execute("PRAGMA query_only = ON")
        connection.execute("PRAGMA wal_autocheckpoint = 0")
        found = connection.execute(_ORIGIN).fetchone()
        if found is None:
            connection.close()
            return False
        self._connection, self._origin = connection, found[0]
        return True

    def close(self) -> None:
        """Let go of the other file."""
        if self._connection is not None:
            self._connection.close()
            self._connection = None
