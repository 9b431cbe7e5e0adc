"""The desk's own figures, and the same in DuckDB's words over the same rows: what is measured in turn.

A lumen counts on the day of its first answer. It is not clear where a finding of these groups was kept from the first
day on, up to a month after the last, and not taken back. Percentiles are Hyndman and Fan's definition 7 on both sides.
"""

from collections.abc import Callable
from datetime import date, timedelta
from typing import Any, NamedTuple

from kiosk.core.past.figures import Asked, By
from kiosk.core.past.hours import CAP_S, LEAST
from kiosk.quality.department import LATER_DAYS, Department
from kiosk.quality.span import Span
from kiosk.quality.times import times
from kiosk.store.records import StoreRecords

SHIFTS = {"day": ("07:00", "15:00"), "late": ("15:00", "23:00"), "night": ("23:00", "07:00")}


class Days(NamedTuple):
    """Local days, both included."""

    first: date
    last: date


MONTH = Days(first=date(2029, 5, 1), last=date(2029, 5, 31))
A_DAY = Days(first=date(2029, 5, 15), last=date(2029, 5, 15))

Rows = list[tuple[Any, ...]]


class Question(NamedTuple):
    """`answer`: the desk's own way to it; `duckdb` is asked of DuckDB. `goal`: the most that the ratio should be."""

    what: str
    span: Days
    answer: Callable[[StoreRecords, Days], Rows]
    duckdb: str
    goal: float


def _figures(by: By) -> Callable[[StoreRecords, Days], Rows]:
    def answer(records: StoreRecords, span: Days) -> Rows:
        asked = Asked(by=by, since=span.first, until=span.last)
        spots = Department(records.ask).figures(asked, SHIFTS).spots
        return sorted((spot.label, spot.of, spot.found) for spot in spots)

    return answer


def _codes(records: StoreRecords, span: Days) -> Rows:
    return [(bar.what, bar.n) for bar in Department(records.ask).codes(span.first, span.last)]


def _times(records: StoreRecords, span: Days) -> Rows:
    rows = times(records, Span(first=span.first, last=span.last), SHIFTS).by_method
    return sorted(
        (row.method, row.timed, round(row.spread.median_s, 6), round(row.spread.p90_s, 6))
        for row in rows
        if row.spread is not None
    )


def _all_times(records: StoreRecords, span: Days) -> Rows:
    found = times(records, Span(first=span.first, last=span.last), SHIFTS)
    return sorted(
        (
            row.method, row.type, row.timed, round(row.spread.median_s, 6), round(row.spread.p90_s, 6),
            round(row.spread.mean_s, 6), found.shifts,
        )
        for row in (found.whole, *found.by_method, *found.by_type, *found.by_both)
        if row.spread is not None
    )  # fmt: skip


STANDS = """f.grp IN ('soil', 'foreign', 'wet', 'blocked', 'damage')
      AND NOT EXISTS (SELECT 1 FROM fact_withdrawn w WHERE w.trip = f.trip AND w.n = f.n)"""
FOUND_LUMENS = f"""
WITH found AS (
    SELECT DISTINCT f.trip, f.piece, f.lumen FROM fact_finding f
    WHERE f.day BETWEEN $first AND $later AND {STANDS})
SELECT {{word}} AS word, count(*), count(found.trip)
FROM fact_lumen l LEFT JOIN found USING (trip, piece, lumen) {{join}}
WHERE l.day BETWEEN $first AND $last GROUP BY 1 ORDER BY 1"""
SHIFT_WORDS = """CASE WHEN l.minute >= 420 AND l.minute < 900 THEN l.day || ' day'
    WHEN l.minute >= 900 AND l.minute < 1380 THEN l.day || ' late'
    WHEN l.minute >= 1380 THEN l.day || ' night'
    ELSE strftime(l.day::DATE - 1, '%Y-%m-%d') || ' night' END"""
_SHIFTS = f"""
SELECT * FROM ({FOUND_LUMENS.format(word=SHIFT_WORDS, join="").replace("$last", "$next")})
WHERE left(word, 10) BETWEEN $first AND $last ORDER BY 1"""
ANSWERED = """
SELECT {word}, count(*), count(*) FILTER (yes = 0) FROM fact_answer
WHERE {rows} AND yes >= 0 AND day BETWEEN $first AND $last GROUP BY 1 ORDER BY 1"""
CODES = f"""
SELECT f.code, count(*) FROM fact_finding f
WHERE f.day BETWEEN $first AND $last AND f.lumen != '' AND {STANDS} GROUP BY f.code ORDER BY 2 DESC, 1"""
_SPREAD = "round(quantile_cont(took_ms / 1000, 0.5), 6), round(quantile_cont(took_ms / 1000, 0.9), 6)"
_TIMED = f"day BETWEEN $first AND $last AND took_ms > 0 AND took_ms <= {CAP_S * 1000}"
_TIMES = f"""
SELECT method, count(*), {_SPREAD}
FROM fact_answer WHERE {_TIMED} GROUP BY method HAVING count(*) >= {LEAST} ORDER BY method"""
_ALL_TIMES = f"""
SELECT coalesce(method, ''), coalesce(type, ''), count(*), {_SPREAD}, round(avg(took_ms) / 1000, 6),
    (SELECT count(DISTINCT {SHIFT_WORDS}) FROM fact_answer l WHERE l.day BETWEEN $first AND $last)
FROM fact_answer WHERE {_TIMED}
GROUP BY GROUPING SETS ((), (method), (type), (method, type)) HAVING count(*) >= {LEAST} ORDER BY 1, 2"""

QUESTIONS = (
    Question("a month by day", MONTH, _figures(By.DAY), FOUND_LUMENS.format(word="l.day", join=""), 1.0),
    Question("the shifts of a day", A_DAY, _figures(By.SHIFT), _SHIFTS, 0.1),
    Question("a month by type of item", MONTH, _figures(By.TYPE), FOUND_LUMENS.format(word="l.type", join=""), 1.0),
    Question(
        "a month by washer load", MONTH, _figures(By.LOAD),
        FOUND_LUMENS.format(word="t.load", join="JOIN fact_trip t ON t.trip = l.trip AND t.load != ''"), 1.0,
    ),
    Question(
        "a month by check", MONTH, _figures(By.METHOD), ANSWERED.format(word="method", rows="lumen != ''"), 1.0
    ),
    Question(
        "a month by scope", MONTH, _figures(By.SCOPE),
        ANSWERED.format(word="tool", rows="method = 'scope' AND tool != ''"), 1.0,
    ),
    Question("a month by swab lot", MONTH, _figures(By.LOT), ANSWERED.format(word="lot", rows="lot != ''"), 1.0),
    Question("findings of a month, most first", MONTH, _codes, CODES, 1.0),
    Question("times of a month by check: median, 90th percentile", MONTH, _times, _TIMES, 1.0),
    Question("times of a month, the whole page: by check, type, both", MONTH, _all_times, _ALL_TIMES, 1.0),
)  # fmt: skip


def named(question: Question, span: Days) -> dict[str, str]:
    """The values that DuckDB is given, of those that its words name."""
    values = {
        "first": span.first,
        "last": span.last,
        "later": span.last + timedelta(days=LATER_DAYS),
        "next": span.last + timedelta(days=1),
    }
    return {name: day.isoformat() for name, day in values.items() if f"${name}" in question.duckdb}
