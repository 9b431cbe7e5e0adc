"""The desk's figures as questions to SQLite, and the same in DuckDB's own words: what is measured in turn.

What SQLite is asked is laid out for the indexes of db/sqlite/0009_facts.sql and 0010_counting.sql. Where rows are
counted by a word (a type, a scope, a lot), each word is looked up after the one before and its rows are counted in the
index: GROUP BY would sort all rows of the days first. A join that begins with the few findings says CROSS JOIN, so that
the planner leaves it so.

`$first`, `$last`: days of the station's own clock, both included. `$from`, `$until`: minutes of a day, the second one
not included. A lumen counts on the day of its first answer. It has a finding where one was kept in the same days, of
these groups, that was not taken back. A percentile is the least value that so many of a hundred do not exceed (type 1
of Hyndman and Fan, "Sample Quantiles in Statistical Packages", 1996; from memory).
"""

from collections.abc import Callable
from typing import Any, NamedTuple

from sqlite_utils.utils import sqlite3

from kiosk.core.vocabulary import Check

Asked = dict[str, str | int]

MONTH: Asked = {"first": "2029-05-01", "last": "2029-05-31"}
SHIFT: Asked = {"first": "2029-05-15", "last": "2029-05-15", "from": 7 * 60, "until": 15 * 60}


class Question(NamedTuple):
    """`answer` asks SQLite, `duckdb` is asked of DuckDB. `goal`: the most that the ratio of both should be."""

    what: str
    asked: Asked
    answer: Callable[[sqlite3.Connection, Asked], list[tuple[Any, ...]]]
    duckdb: str
    goal: float


def _rows(sql: str) -> Callable[[sqlite3.Connection, Asked], list[tuple[Any, ...]]]:
    def answer(facts: sqlite3.Connection, asked: Asked) -> list[tuple[Any, ...]]:
        rows: list[tuple[Any, ...]] = facts.execute(sql, asked).fetchall()
        return rows

    return answer


_STANDS = """f.grp IN ('soil', 'foreign', 'wet', 'blocked', 'damage')
      AND NOT EXISTS (SELECT 1 FROM fact_withdrawn w WHERE w.trip = f.trip AND w.n = f.n)"""
_WITH_FINDING = f"""SELECT DISTINCT l.{{by}} AS word, f.trip, f.piece, f.lumen
    FROM fact_finding f CROSS JOIN fact_lumen l ON l.trip = f.trip AND l.piece = f.piece AND l.lumen = f.lumen
    WHERE f.day BETWEEN $first AND $last AND l.day BETWEEN $first AND $last AND {_STANDS}"""
_FOUND = f"found AS MATERIALIZED (SELECT word, count(*) AS lumens FROM ({_WITH_FINDING}) GROUP BY word)"

BY_DAY = f"""
WITH looked AS (
    SELECT day, count(*) AS lumens FROM fact_lumen WHERE day BETWEEN $first AND $last GROUP BY day
  ), {_FOUND.format(by="day")}
SELECT day, looked.lumens, coalesce(found.lumens, 0) FROM looked LEFT JOIN found ON word = day ORDER BY day"""
_BY_DAY_COLUMNS = f"""
WITH found AS (
    SELECT DISTINCT f.trip, f.piece, f.lumen FROM fact_finding f
    WHERE f.day BETWEEN $first AND $last AND {_STANDS})
SELECT l.day, count(*), count(found.trip)
FROM fact_lumen l LEFT JOIN found USING (trip, piece, lumen)
WHERE l.day BETWEEN $first AND $last GROUP BY l.day ORDER BY l.day"""

OF_SHIFT = f"""
SELECT (SELECT count(*) FROM fact_lumen WHERE day = $first AND minute >= $from AND minute < $until), (
  SELECT count(*) FROM (
    SELECT DISTINCT f.trip, f.piece, f.lumen
    FROM fact_finding f CROSS JOIN fact_lumen l ON l.trip = f.trip AND l.piece = f.piece AND l.lumen = f.lumen
    WHERE f.day = $first AND f.minute >= $from AND f.minute < $until
      AND l.day = $first AND l.minute >= $from AND l.minute < $until AND {_STANDS}))"""
_OF_SHIFT_COLUMNS = f"""
WITH found AS (
    SELECT DISTINCT f.trip, f.piece, f.lumen FROM fact_finding f
    WHERE f.day = $first AND f.minute >= $from AND f.minute < $until AND {_STANDS})
SELECT count(*), count(found.trip)
FROM fact_lumen l LEFT JOIN found USING (trip, piece, lumen)
WHERE l.day = $first AND l.minute >= $from AND l.minute < $until"""

_EACH = """each(word) AS (
    SELECT min({word}) FROM {table} WHERE {rows}
    UNION ALL
    SELECT (SELECT min({word}) FROM {table} WHERE {rows} AND {word} > each.word) FROM each WHERE word IS NOT NULL)"""

BY_TYPE = f"""
WITH RECURSIVE {_EACH.format(word="type", table="fact_lumen", rows="1")}, looked AS MATERIALIZED (
    SELECT word, (
      SELECT count(*) FROM fact_lumen WHERE type = each.word AND day BETWEEN $first AND $last) AS lumens
    FROM each WHERE word IS NOT NULL
  ), {_FOUND.format(by="type")}
SELECT word, looked.lumens, coalesce(found.lumens, 0)
FROM looked LEFT JOIN found USING (word) WHERE looked.lumens > 0 ORDER BY word"""
_BY_TYPE_COLUMNS = _BY_DAY_COLUMNS.replace("l.day, count", "l.type, count").replace(
    "GROUP BY l.day ORDER BY l.day", "GROUP BY l.type ORDER BY l.type"
)


def _by_word(word: str, rows: str) -> str:
    """Answers, NO and CAN'T TELL by a word of `fact_answer`, of these rows; an index of (word, yes, day) has them."""
    days = "day BETWEEN $first AND $last"
    count = f"(SELECT count(*) FROM fact_answer WHERE {word} = word AND {rows} AND yes = {{}} AND {days})"
    return f"""
WITH RECURSIVE {_EACH.format(word=word, table="fact_answer", rows=rows)}, counted AS MATERIALIZED (
    SELECT word, {count.format(1)} AS yes, {count.format(0)} AS no, {count.format(-1)} AS unsure
    FROM each WHERE word IS NOT NULL)
SELECT word, yes + no + unsure, no, unsure FROM counted WHERE yes + no + unsure > 0 ORDER BY word"""


BY_SCOPE = _by_word("tool", "method = 'scope'")
BY_LOT = _by_word("lot", "lot != ''")
_BY_WORD_COLUMNS = """
SELECT {word}, count(*), count(*) FILTER (yes = 0), count(*) FILTER (yes = -1) FROM fact_answer
WHERE {rows} AND day BETWEEN $first AND $last GROUP BY {word} ORDER BY {word}"""

PARETO = f"""
SELECT f.code, count(*) FROM fact_finding f
WHERE f.day BETWEEN $first AND $last AND {_STANDS}
GROUP BY f.code ORDER BY 2 DESC, 1"""

_CHECKS = [check.value for check in Check]
_CODE = " ".join(f"WHEN '{check}' THEN {code}" for code, check in enumerate(_CHECKS))
TIMES = f"""
SELECT group_concat(took_ms * 32 + CASE method {_CODE} ELSE 31 END, ' ')
FROM fact_answer WHERE day BETWEEN $first AND $last"""
_TIMES_COLUMNS = """
SELECT method, count(*), quantile_disc(took_ms, 0.5), quantile_disc(took_ms, 0.9)
FROM fact_answer WHERE day BETWEEN $first AND $last GROUP BY method ORDER BY method"""


def times(facts: sqlite3.Connection, asked: Asked) -> list[tuple[Any, ...]]:
    """Check, answers, and the times that half and nine tenths of them do not exceed, ms.

    SQLite hands over all times of the days as one text, a number each with its check in the last five bits; numpy finds
    the places. Sorting in SQLite takes several times as long.
    """
    import numpy as np

    ((text,),) = facts.execute(TIMES, asked).fetchall()
    coded = np.fromstring(text or "", dtype=np.int64, sep=" ")
    found = []
    for code, check in enumerate(_CHECKS):
        took = coded[coded & 31 == code] >> 5
        if many := len(took):
            half, most = (many + 1) // 2 - 1, (many * 9 + 9) // 10 - 1
            placed = np.partition(took, [half, most])
            found.append((check, many, int(placed[half]), int(placed[most])))
    return sorted(found)


QUESTIONS = (
    Question("a month by day: lumens, and with a finding", MONTH, _rows(BY_DAY), _BY_DAY_COLUMNS, 1.0),
    Question("a shift: lumens, and with a finding", SHIFT, _rows(OF_SHIFT), _OF_SHIFT_COLUMNS, 0.1),
    Question("a month by type of item: lumens, and with a finding", MONTH, _rows(BY_TYPE), _BY_TYPE_COLUMNS, 1.0),
    Question(
        "a month by scope: answers", MONTH, _rows(BY_SCOPE),
        _BY_WORD_COLUMNS.format(word="tool", rows="method = 'scope'"), 1.0,
    ),
    Question(
        "a month by swab lot: answers", MONTH, _rows(BY_LOT), _BY_WORD_COLUMNS.format(word="lot", rows="lot != ''"), 1.0
    ),
    Question("findings of a month, the commonest first", MONTH, _rows(PARETO), PARETO, 1.0),
    Question("times of a month by check: half, and nine tenths", MONTH, times, _TIMES_COLUMNS, 1.0),
)  # fmt: skip
