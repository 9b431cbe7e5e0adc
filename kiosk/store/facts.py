"""The facts of the logs, laid out for counting: made anew, and held against the log.

They stand in db/sqlite/0009_facts.sql, 0010_stays.sql and 0011_times.sql. Triggers keep them up with every event, in
its own transaction. Nothing here is the truth: the log is.
"""

from sqlite_utils.utils import sqlite3

FACTS = {
    "trip": "trip, bench, tray, name, load, day, at_ms",
    "piece": "trip, piece, item, type",
    "load": "load, trip, at_ms",
    "lot": "bench, hlc, lot, at_ms",
    "answer": "day, id, at_ms, minute, trip, piece, type, lumen, method, yes, took_ms, tool, lot",
    "finding": "day, id, at_ms, minute, trip, n, piece, type, lumen, method, code, grp, at_mm, length_mm",
    "withdrawn": "trip, n",
    "scope": "scope, at_ms, id, what",
    "lumen": "trip, piece, lumen, type, day, minute, at_ms, id",
    "sum": "what, day, word, n, no",
    "took": "day, method, type, took",
    "minute": "day, minute",
    "stay": "thing, tray, at_ms, trip, many",
}
"""Name of a table after `fact_`, its columns. Pieces and lots come before what is said of them."""

_KEYS = {"trip": "trip", "piece": "trip, piece"}
"""What a row is found by, where several logs may tell of the same thing."""

_FIRST_LOOKS = (
    "SELECT {} FROM (SELECT *, row_number() OVER (PARTITION BY trip, piece, lumen ORDER BY at_ms, id) AS nth "
    "FROM fact_answer WHERE lumen != '') WHERE nth = 1"
)

_TIMES_IN_ORDER = (
    "SELECT day, method, type, iif(json_valid('[' || took || ']'), "
    "(SELECT group_concat(value, ',' ORDER BY value) FROM json_each('[' || took || ']')), took) AS took FROM fact_took"
)


def rows_of(name: str) -> str:
    """SQL for the rows of a table as they are compared: times stand in the order they came in, here the least first."""
    return _TIMES_IN_ORDER if name == "took" else f"SELECT {FACTS[name]} FROM fact_{name}"  # noqa: S608


def _told(name: str, columns: str) -> str:
    """The rows that the log tells of."""
    return _FIRST_LOOKS.format(columns) if name == "lumen" else f"SELECT {columns} FROM told_{name}"  # noqa: S608


def rebuild(connection: sqlite3.Connection) -> None:
    """Make every fact anew from the log, inside the caller's transaction."""
    for name in FACTS:
        connection.execute(f"DELETE FROM fact_{name}")  # noqa: S608
    for name, columns in FACTS.items():
        connection.execute(f"INSERT OR IGNORE INTO fact_{name} ({columns}) {_told(name, columns)}")


def unlike_facts(connection: sqlite3.Connection) -> dict[str, int]:
    """How many rows of each table say otherwise than the log, or are missing; only tables with some.

    Where two logs tell of one trip, what was heard first stands: any of them is as the log says.
    """
    found = {}
    for name, columns in FACTS.items():
        here, told = rows_of(name), _told(name, columns)
        key = _KEYS.get(name, columns)
        wrong = f"SELECT count(*) FROM ({here} EXCEPT {told})"  # noqa: S608
        missing = f"SELECT count(*) FROM (SELECT {key} FROM ({told}) EXCEPT SELECT {key} FROM ({here}))"  # noqa: S608
        (many,) = connection.execute(f"SELECT ({wrong}) + ({missing})").fetchone()
        if many:
            found[name] = many
    return found
