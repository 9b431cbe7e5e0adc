"""The facts of a store copied into a DuckDB file, row for row: what the desk's figures are measured against.

No index and no key: every question is a scan of columns. Rows lie in the order of their days where a table has days, so
that DuckDB passes over the blocks of other months by their least and most, as it would after loading by time.
"""

import csv
from collections.abc import Iterator
from pathlib import Path

import duckdb
from sqlite_utils.utils import sqlite3

_NULL = "\\N"
_ORDER = {
    "trip": "trip", "answer": "day, id", "lumen": "day, at_ms", "finding": "day, id", "withdrawn": "trip, n",
    "scope": "at_ms, scope", "stay": "at_ms, trip",
}  # fmt: skip
"""The tables that the desk asks. An id rises with the clock, so the order of the key is that of time."""
_TYPES = {"TEXT": "VARCHAR", "INTEGER": "BIGINT", "REAL": "DOUBLE"}


def copied(facts: sqlite3.Connection, file: Path) -> duckdb.DuckDBPyConnection:
    """Copy the tables that the desk asks into a new DuckDB file; threads and memory as DuckDB takes them by itself.

    By way of a CSV file beside it, which is gone afterwards.
    """
    columns = duckdb.connect(str(file))
    between = file.with_suffix(".csv")
    for name, order in _ORDER.items():
        table = f"fact_{name}"
        cells = [(row[1], _TYPES[row[2]]) for row in facts.execute(f"PRAGMA table_info({table})")]
        with between.open("w", newline="", encoding="utf-8") as text:
            csv.writer(text, quoting=csv.QUOTE_MINIMAL).writerows(
                _rows(facts, f"SELECT * FROM {table} ORDER BY {order}")
            )
        columns.execute(f"CREATE TABLE {table} ({', '.join(f'{cell} {type_}' for cell, type_ in cells)})")
        columns.execute(f"COPY {table} FROM '{between}' (FORMAT csv, HEADER false, NULLSTR '{_NULL}')")
        between.unlink()
    columns.execute("CHECKPOINT")
    return columns


def _rows(facts: sqlite3.Connection, sql: str) -> Iterator[list[object]]:
    for row in facts.execute(sql):
        yield [_NULL if cell is None else cell for cell in row]
