"""A month's figures as rows: what the month report says, for a spreadsheet and for a database. No person in it."""

import csv
from collections.abc import Callable, Iterator, Sequence
from dataclasses import astuple, dataclass, fields
from datetime import date
from pathlib import Path
from typing import TextIO

from kiosk.core.past.figures import FEW, GROUPS, OF_FINDINGS, REMEMBERING, UNIT_IS_ONE, Asked, Baseline, By, Numbers
from kiosk.core.shift import Shifts

FORMULA = ("=", "+", "-", "@", "\t", "\r")
"""What a spreadsheet takes for a formula at the beginning of a cell (OWASP, CSV Injection)."""


@dataclass(frozen=True, slots=True, kw_only=True)
class MonthRow:
    """`found` of `of`; limits as shares from 0 to 1 (lumens between finds: in lumens; findings: a unit).

    `figure`: which table. `signal`: above, below or run, "" for none; empty cells where a number says nothing.
    """

    figure: str
    label: str
    found: int
    of: int | None
    percent: float | None = None
    lower: float | None = None
    upper: float | None = None
    signal: str = ""


COLUMNS = tuple(field.name for field in fields(MonthRow))


def month_rows(
    numbers: Numbers, shifts: Shifts, since: date, until: date, usual: Callable[[Asked], Baseline | None]
) -> Iterator[MonthRow]:
    """Every figure of the days from `since` to `until`: by day, shift, load, item type, check, scope, lot, finding.

    `usual`: the baseline that a supervisor fixed for a counting, if there is one.
    """
    for by in By:
        if by in REMEMBERING:  # days once more, in standard deviations: no counting of its own
            continue
        asked = Asked(by=by, since=since, until=until)
        figures = numbers.figures(asked, shifts, usual(asked))
        for spot in figures.spots:
            signal = "above" if spot.above else "below" if spot.below else "run" if spot.run else ""
            of = None if by in UNIT_IS_ONE else spot.of
            yield MonthRow(
                figure=f"by_{by}", label=spot.label, found=spot.found, of=of,
                percent=None if by in OF_FINDINGS else _percent(spot.found, of), lower=round(spot.lower, 6),
                upper=round(spot.upper, 6), signal=signal,
            )  # fmt: skip
    for group in GROUPS:
        figures = numbers.figures(Asked(by=By.DAY, since=since, until=until, group=group), shifts)
        percent = _percent(figures.found, figures.of)
        yield MonthRow(figure="by_group", label=group, found=figures.found, of=figures.of, percent=percent)
    for figure, bars in (("by_code", numbers.codes(since, until)), ("findings_by_type", numbers.types(since, until))):
        yield from (MonthRow(figure=figure, label=bar.what, found=bar.n, of=None) for bar in bars)
    for share in numbers.marks(since, until).shares:
        yield MonthRow(figure="place", label=f"{share:.4f}", found=1, of=None)


def _percent(found: int, of: int | None) -> float | None:
    """The percentage, where so many were looked at that there is one."""
    return round(100 * found / of, 2) if of is not None and of >= FEW else None


def plain_cell(value: object) -> object:
    """A cell that no spreadsheet takes for a formula: a text that looks like one begins with an apostrophe."""
    return f"'{value}" if isinstance(value, str) and value.startswith(FORMULA) else value


def write_csv(rows: Sequence[MonthRow], out: TextIO) -> None:
    """The rows with a head line, RFC 4180."""
    sheet = csv.writer(out, lineterminator="\r\n")
    sheet.writerow(COLUMNS)
    sheet.writerows([plain_cell(cell) for cell in astuple(row)] for row in rows)


def write_sqlite(rows: Sequence[MonthRow], month: str, path: Path) -> None:
    """Put the month into a SQLite file of its own, a table `figures` and a view a figure, as Datasette reads it.

    A month that is in it already is replaced; other months stay.
    """
    from sqlite_utils import Database

    db = Database(path)
    try:
        with db.conn:
            table = db.table("figures")
            if table.exists():
                table.delete_where("month = ?", [month])
            table.insert_all(
                ({"month": month, **dict(zip(COLUMNS, astuple(row), strict=True))} for row in rows),
                columns={"percent": float, "lower": float, "upper": float, "of": int, "found": int},
            )
            for figure in sorted({row.figure for row in rows}):
                db.create_view(
                    figure,
                    'SELECT month, label, found, "of", percent, lower, upper, signal FROM figures '  # noqa: S608
                    f"WHERE figure = '{figure}'",
                    replace=True,
                )
    finally:
        db.conn.close()
