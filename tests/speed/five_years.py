"""The department of five years that the desk's benchmarks share: made once a run, and the same rows in DuckDB.

200,000 checks in every run of the slow tests; ten million with `THROUGHLIGHT_DECADE=1`, which takes a quarter of an
hour and 8 GB on the disk.
"""

import os
from pathlib import Path

from kiosk.store.bench_store import BenchStore
from kiosk.store.database import FILE, Store
from tests.speed.columns import copied
from tests.speed.department_store import THROUGH_LOG, make_department

DECADE = "THROUGHLIGHT_DECADE" in os.environ
ANSWERS = 10_000_000 if DECADE else 200_000
KEPT = THROUGH_LOG if DECADE else THROUGH_LOG // 8
"""Answers that are kept as events: they take the longest of all."""

AGAINST = "DuckDB, the same rows without an index, all its threads"

_LENT = (
    "INSERT INTO fact_stay (thing, tray, at_ms, trip, many) "
    "SELECT 'M-' || (nth / ? % 40), tray, at_ms, trip, 1 "
    "FROM (SELECT *, row_number() OVER (ORDER BY at_ms, trip) AS nth FROM fact_trip) WHERE nth % ? = 0"
)


class Department:
    """A store of five years, what was made of it, and its rows in DuckDB. The store is open for one at a time."""

    def __init__(self, ground: Path) -> None:
        self.folder = ground / "store"
        self.made = make_department(self.folder, ANSWERS, KEPT)
        with Store(self.folder) as store:
            with store.transaction() as connection:
                lend(connection)
            self.columns = copied(store.db.conn, ground / "columns.duckdb")
        self.size = (self.folder / FILE).stat().st_size
        self.columns_size = (ground / "columns.duckdb").stat().st_size
        self._open: BenchStore | None = None

    def opened(self) -> BenchStore:
        """The store, for who asks and reads."""
        if self._open is None:
            self._open = BenchStore(self.folder, "B1")
        return self._open

    def let_go(self) -> Path:
        """Its folder, for who opens it for himself."""
        if self._open is not None:
            self._open.close()
            self._open = None
        return self.folder

    def with_an_empty_log(self) -> Path:
        """Its folder, the facts as they are and no event in the log: a bench that begins beside five years of facts."""
        folder = self.let_go()
        with Store(folder) as store, store.transaction() as connection:
            (never,) = connection.execute("SELECT sql FROM sqlite_schema WHERE name = 'event_never_goes'").fetchone()
            connection.execute("DROP TRIGGER event_never_goes")
            connection.execute("DELETE FROM event")
            connection.execute(never)
        return folder

    def close(self) -> None:
        """Let go of both files."""
        self.let_go()
        self.columns.close()


def lend(connection: object) -> None:
    """Forty marked pieces, each lent to one trip in turn: what leads from tray to tray, besides scopes. As rows."""
    every = max(1, ANSWERS // 2_000_000)
    connection.execute(_LENT, (every, every))  # type: ignore[attr-defined]
