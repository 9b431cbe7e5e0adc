"""The recount: SQL over the stations' stores, read only. Nothing of the program is used to count."""

from collections import Counter
from collections.abc import Iterable
from pathlib import Path

from sqlite_utils.utils import sqlite3

_SQL = (Path(__file__).parent / "recount.sql").read_text("utf-8")
_TAKE = "INSERT INTO ev SELECT ?, seq, typ, at_ms, who, trip, CAST(body AS TEXT) FROM other.event"


def joined(folder: Path, stations: Iterable[str]) -> sqlite3.Connection:
    """One table `ev` in memory of every event of these stations."""
    connection = sqlite3.connect(":memory:", isolation_level=None, uri=True)
    connection.execute(
        "CREATE TABLE ev (st TEXT, seq INTEGER, typ TEXT, at_ms INTEGER, who TEXT, trip TEXT, body TEXT)"
    )
    for station in stations:
        path = (folder / station / "throughlight.db").resolve()
        connection.execute("ATTACH ? AS other", (f"{path.as_uri()}?mode=ro",))
        connection.execute(_TAKE, (station,))
        connection.execute("DETACH other")
    connection.execute("CREATE INDEX ev_trip ON ev (typ, trip)")
    return connection


ALERT = 3
"""Soiled pieces of one load in a shift that make an alert: the default policy's `repeat_load_alert`."""


def recount(connection: sqlite3.Connection, begins_ms: int, ends_ms: int) -> Counter[str]:
    """Counter -> number, of the shift from `begins_ms` to `ends_ms` (Unix milliseconds)."""
    counts: Counter[str] = Counter()
    for counter, number in connection.execute(_SQL, {"a": begins_ms, "b": ends_ms, "alert": ALERT}):
        counts[counter] += number
    return counts
