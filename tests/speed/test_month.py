"""The month report on five years of checks, against DuckDB over the same rows: its figures, and the whole command."""

import contextlib
import io
from datetime import timedelta
from functools import partial
from pathlib import Path
from typing import Any

import pytest

from kiosk.cli import main
from kiosk.core.past.figures import GROUPS, Asked, By
from kiosk.quality.department import LATER_DAYS, Department
from kiosk.quality.month_tables import month_rows
from tests.speed.conftest import Tell
from tests.speed.desk_questions import ANSWERED, CODES, FOUND_LUMENS, MONTH, QUESTIONS, SHIFT_WORDS, SHIFTS, STANDS
from tests.speed.figures import Figure, in_turn, took_ms
from tests.speed.five_years import AGAINST, ANSWERS
from tests.speed.five_years import Department as FiveYears

pytestmark = [pytest.mark.slow, pytest.mark.timeout(3600)]

RUNS = 5
Rows = list[tuple[Any, ...]]

_BY_SHIFT = (
    f"SELECT * FROM ({FOUND_LUMENS.format(word=SHIFT_WORDS, join='').replace('$last', '$next')}) "
    "WHERE left(word, 10) BETWEEN $first AND $last ORDER BY 1"
)
_BY_GROUP = f"""
WITH found AS (
    SELECT DISTINCT f.grp, f.trip, f.piece, f.lumen FROM fact_finding f
    WHERE f.day BETWEEN $first AND $later AND {STANDS})
SELECT found.grp, count(*) FROM fact_lumen l JOIN found USING (trip, piece, lumen)
WHERE l.day BETWEEN $first AND $last GROUP BY 1 ORDER BY 1"""
_LOOKED = "SELECT count(*) FROM fact_lumen WHERE day BETWEEN $first AND $last"
_BETWEEN = f"""
WITH found AS (
    SELECT DISTINCT f.trip, f.piece, f.lumen FROM fact_finding f
    WHERE f.day BETWEEN $first AND $later AND {STANDS}),
looked AS (
    SELECT l.day, l.minute, l.at_ms, found.trip, row_number() OVER (ORDER BY l.at_ms) AS nth
    FROM fact_lumen l LEFT JOIN found USING (trip, piece, lumen) WHERE l.day BETWEEN $first AND $last)
SELECT printf('%s %02d:%02d', day, minute // 60, minute % 60), nth - lag(nth) OVER (ORDER BY nth) - 1
FROM looked WHERE trip IS NOT NULL ORDER BY nth OFFSET 1"""
_OF_DAYS = f"""
SELECT looked.day, units, coalesce(found, 0) FROM
    (SELECT l.day, {{units}} AS units FROM fact_lumen l WHERE l.day BETWEEN $first AND $last GROUP BY 1) looked
    LEFT JOIN (
        SELECT l.day, count(*) AS found FROM fact_finding f JOIN fact_lumen l USING (trip, piece, lumen)
        WHERE f.day BETWEEN $first AND $later AND {STANDS} AND l.day BETWEEN $first AND $last GROUP BY 1) counted
    USING (day) ORDER BY 1"""
_BY_TYPE = CODES.replace("f.code", "f.type")
_PLACES = f"""
SELECT least(greatest(f.at_mm / f.length_mm, 0), 1) FROM fact_finding f
WHERE f.day BETWEEN $first AND $last AND {STANDS} AND f.lumen != '' AND f.at_mm IS NOT NULL AND f.length_mm IS NOT NULL
ORDER BY 1"""


def _others(department: FiveYears) -> dict[str, Rows]:
    """The tables of the month in DuckDB's words."""
    first, last = MONTH
    later, after = last + timedelta(days=LATER_DAYS), last + timedelta(days=1)
    values = {"first": first, "last": last, "later": later, "next": after}

    def rows(sql: str) -> Rows:
        named = {name: day.isoformat() for name, day in values.items() if f"${name}" in sql}
        return department.columns.execute(sql, named).fetchall()

    told = {f"by_{by}": rows(sql) for by, sql in _SAMPLES.items()}
    told["by_between"] = rows(_BETWEEN)
    told["by_a_day"] = [(day, found) for day, _, found in told["by_per_lumen"]]
    ((looked,),) = rows(_LOOKED)
    told["by_group"] = [(group, looked, found) for group, found in rows(_BY_GROUP)]
    told["by_code"], told["findings_by_type"] = rows(CODES), rows(_BY_TYPE)
    told["place"] = [(f"{share:.4f}", 1) for (share,) in rows(_PLACES)]
    return told


_SAMPLES = {
    By.DAY: FOUND_LUMENS.format(word="l.day", join=""),
    By.SHIFT: _BY_SHIFT,
    By.LOAD: next(question.duckdb for question in QUESTIONS if question.what == "a month by washer load"),
    By.TYPE: FOUND_LUMENS.format(word="l.type", join=""),
    By.METHOD: ANSWERED.format(word="method", rows="lumen != ''"),
    By.SCOPE: ANSWERED.format(word="tool", rows="method = 'scope' AND tool != ''"),
    By.LOT: ANSWERED.format(word="lot", rows="lot != ''"),
    By.PER_LUMEN: _OF_DAYS.format(units="count(*)"),
    By.PER_TRAY: _OF_DAYS.format(units="count(DISTINCT l.trip)"),
}


def _ours(department: FiveYears) -> dict[str, Rows]:
    """The report's rows, with its limits and signals reckoned."""
    numbers = Department(department.opened().records.ask)
    told: dict[str, Rows] = {}
    for row in month_rows(numbers, SHIFTS, MONTH.first, MONTH.last, _no_baseline):
        both = (row.label, row.found) if row.of is None else (row.label, row.of, row.found)
        told.setdefault(row.figure, []).append(both)
    return told


def _no_baseline(_: Asked) -> None:
    return None


def test_the_figures_of_a_month_report_are_duckdb_s_and_the_times_are_told(department: FiveYears, tell: Tell) -> None:
    ours, others = _ours(department), _others(department)
    ours["by_group"] = [row for row in ours["by_group"] if row[2]]
    assert ours.keys() == others.keys()
    for figure, rows in ours.items():
        assert sorted(rows) == sorted(others[figure]), figure
        assert rows, figure
    assert len(GROUPS) >= len(ours["by_group"])
    mine, base = in_turn(partial(_ours, department), partial(_others, department), runs=RUNS)
    what = f"month report: all its figures with their limits, of {ANSWERS:,} checks"
    tell(Figure(what=what, against=AGAINST, ours=mine, base=base, goal=1.0))


def test_the_month_command_with_its_paper_and_its_sheet(department: FiveYears, tmp_path: Path, tell: Tell) -> None:
    """The store opened, all figures twice (for the sheet and the paper), charts drawn, both files written."""
    paper, sheet = tmp_path / "month.pdf", tmp_path / "month.csv"
    line = ["month", "--month", f"{MONTH.first:%Y-%m}", "--pdf", str(paper), "--csv", str(sheet)]
    base = [took_ms(partial(_others, department)) for _ in range(RUNS)]
    folder = department.with_an_empty_log()  # what the log itself costs to read is measured elsewhere

    def command() -> None:
        with contextlib.redirect_stdout(io.StringIO()):
            assert main([*line, "--store", str(folder)]) == 0

    command()
    ours = [took_ms(command) for _ in range(RUNS)]
    assert paper.read_bytes().startswith(b"%PDF")
    lines = sheet.read_text(encoding="utf-8").count("\n")
    assert lines > sum(map(len, _ours(department).values())) // 2  # its shifts are those of the shipped policy
    what = f"month report: the whole command with PDF and CSV, of {ANSWERS:,} checks"
    tell(Figure(what=what, against=f"its figures alone by {AGAINST}", ours=ours, base=base))
