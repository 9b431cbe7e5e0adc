"""From CSV and XLSX files to the rows of the catalogue's tables, every fault named by file, row and column.

Read deliberately: UTF-8 with or without a byte order mark, empty rows, TRUE and FALSE, an XLSX number as the decimal
that the spreadsheet shows. Refused deliberately, a sentence each: columns parted by semicolons or tabs, decimal
commas, unknown or doubled columns, cells beyond the columns, a table given twice.
"""

import csv
import io
import warnings
import zipfile
import zlib
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any
from xml.etree.ElementTree import ParseError

from kiosk.store.catalogue_cells import CellFault, tidy
from kiosk.store.catalogue_columns import TABLES, Column, Table

Cells = Sequence[str]

_NOT_XLSX = (
    zipfile.BadZipFile,
    zlib.error,
    ParseError,
    LookupError,
    ValueError,
    TypeError,
    AttributeError,
    EOFError,
    RuntimeError,
)
"""What openpyxl raises for a file that is damaged or no workbook."""


class CatalogueFaults(ValueError):
    """Files that were not loaded, none of them: `faults` holds a sentence for each fault, by table, row and column."""

    def __init__(self, faults: Sequence[str]) -> None:
        """Keep the sentences; the exception's text is all of them, a line each."""
        super().__init__("\n".join(faults))
        self.faults = tuple(faults)


@dataclass(frozen=True, slots=True)
class Sheet:
    """The cells of one table as they stand: `source` names file and sheet, the first row holds the column names."""

    source: str
    table: str
    rows: Sequence[Cells]


@dataclass(frozen=True, slots=True)
class Row:
    """One row: its values by column, the column's default where a cell is empty or `faulty`."""

    source: str
    table: str
    number: int  # as a spreadsheet counts: the column names are row 1
    values: dict[str, Any]
    faulty: frozenset[str] = frozenset()

    def __getitem__(self, column: str) -> Any:
        return self.values[column]


Rows = Mapping[str, Sequence[Row]]
"""The rows of every table, by its name; a table that no file gives has none."""


@dataclass(slots=True)
class Faults:
    """The faults found so far; told in the order of tables, rows and columns."""

    _found: list[tuple[int, int, int, str]] = field(default_factory=list)

    def of_file(self, source: str, sentence: str) -> None:
        """Note a fault of a whole file or sheet."""
        self._found.append((-1, 0, 0, f"{source}: {sentence}"))

    def of_row(self, row: Row, column: str, sentence: str) -> None:
        """Note a fault of one cell."""
        names = [c.name for c in TABLES[row.table].columns]
        where = f"{row.source}, row {row.number}, column {column}: {sentence}"
        self._found.append((list(TABLES).index(row.table), row.number, names.index(column), where))

    @property
    def of_files(self) -> bool:
        """Is a whole file or sheet at fault? Then its rows are missing, and references say nothing."""
        return any(table < 0 for table, *_ in self._found)

    def raise_any(self) -> None:
        """Raise CatalogueFaults if there is any."""
        if self._found:
            raise CatalogueFaults([sentence for *_, sentence in sorted(set(self._found))])


def read_sheets(paths: Path | Iterable[Path], faults: Faults) -> list[Sheet]:
    """Find the tables in a folder or in the files named. A folder's hidden files and lock files are passed over."""
    sheets: dict[str, Sheet] = {}
    files = list(_files([paths] if isinstance(paths, Path) else paths))
    for path in files:
        for sheet in _sheets_of(path, faults):
            if sheet.table in sheets:
                faults.of_file(sheet.source, f"the table {sheet.table} stands in {sheets[sheet.table].source} already.")
            else:
                sheets[sheet.table] = sheet
    if not files:
        faults.of_file("catalogue", "there is no CSV or XLSX file.")
    return list(sheets.values())


def read_rows(sheet: Sheet, faults: Faults) -> list[Row]:
    """Turn a sheet's cells into rows of values; empty rows are passed over."""
    table = TABLES[sheet.table]
    rows = [[tidy(cell) if cell else "" for cell in cells] for cells in sheet.rows]
    header = [cell.casefold().replace(" ", "_") for cell in _trimmed(rows[0])] if rows else []
    if not _header_fits(sheet, table, header, faults):
        return []
    places = [_Place(column, header.index(column.name)) for column in table.columns if column.name in header]
    empty = {column.name: column.default for column in table.columns}
    numbered = [(number, cells) for number, cells in enumerate(rows[1:], start=2) if any(cells)]
    return [_row(sheet, places, empty, header, number, cells, faults) for number, cells in numbered]


@dataclass(frozen=True, slots=True)
class _Place:
    """Where a column stands in a sheet, and what its cells were read as so far: most say what one above them said."""

    column: Column
    at: int
    known: dict[str, Any] = field(default_factory=dict)


def _row(
    sheet: Sheet,
    places: Sequence[_Place],
    empty: Mapping[str, Any],
    header: Cells,
    number: int,
    cells: Cells,
    faults: Faults,
) -> Row:
    values = dict(empty)
    wrong: dict[str, str] = {}
    width = len(cells)
    for place in places:
        cell = cells[place.at] if place.at < width else ""
        column, known = place.column, place.known
        if cell in known:
            values[column.name] = known[cell]
        elif cell:
            try:
                values[column.name] = known[cell] = column.read(cell)
            except CellFault as fault:
                wrong[column.name] = str(fault)
        elif column.needed:
            wrong[column.name] = "is empty, and it is needed."
    row = Row(sheet.source, sheet.table, number, values, frozenset(wrong))
    for column_name, sentence in wrong.items():
        faults.of_row(row, column_name, sentence)
    if any(cells[len(header) :]):
        faults.of_row(row, header[-1], "there is a cell to the right of the last column.")
    return row


def _header_fits(sheet: Sheet, table: Table, header: Cells, faults: Faults) -> bool:
    wrong = []
    known = [column.name for column in table.columns]
    if len(header) == 1 and any(mark in header[0] for mark in ";\t"):
        wrong.append('columns are parted by semicolons or tabs: save it as "CSV UTF-8 (comma delimited)".')
    elif not header:
        wrong.append(f"is empty; its first row holds the names of the columns: {', '.join(known)}.")
    else:
        wrong += [
            f'row 1: there is no column "{name}"; there are {", ".join(known)}.' for name in header if name not in known
        ]
        wrong += [f"row 1: the column {name} stands twice." for name in known if header.count(name) > 1]
        wrong += [f"row 1: the column {c.name} is missing." for c in table.columns if c.needed and c.name not in header]
    for sentence in wrong:
        faults.of_file(sheet.source, sentence)
    return not wrong


def _files(paths: Iterable[Path]) -> Iterator[Path]:
    for path in paths:
        if path.is_dir():
            inside = sorted(p for p in path.iterdir() if p.suffix.casefold() in {".csv", ".xlsx"})
            yield from (p for p in inside if not p.name.startswith((".", "~$")))
        else:
            yield path


def _sheets_of(path: Path, faults: Faults) -> Iterator[Sheet]:
    table = path.stem.casefold()
    try:
        match path.suffix.casefold():
            case ".csv" if table in TABLES:
                yield Sheet(path.name, table, _csv_rows(path))
            case ".csv":
                faults.of_file(path.name, f"is not named after a table; the tables are {', '.join(TABLES)}.")
            case ".xlsx":
                yield from _xlsx_sheets(path, faults)
            case _:
                faults.of_file(path.name, "is neither a CSV nor an XLSX file.")
    except UnicodeDecodeError:
        faults.of_file(path.name, 'is not in UTF-8: save it as "CSV UTF-8 (comma delimited)".')
    except csv.Error as fault:
        faults.of_file(path.name, f"cannot be read as CSV ({fault}).")
    except OSError as fault:
        faults.of_file(path.name, f"cannot be read ({fault.strerror or fault}).")


def _csv_rows(path: Path) -> list[Cells]:
    return list(csv.reader(io.StringIO(path.read_text(encoding="utf-8-sig"), newline=""), strict=True))


def _xlsx_sheets(path: Path, faults: Faults) -> Iterator[Sheet]:
    """A sheet named after a table; or the only sheet of a file named after a table. Empty sheets are passed over."""
    import openpyxl

    try:
        # openpyxl warns of what it does not read, such as validation and styles
        with path.open("rb") as file, warnings.catch_warnings(action="ignore"):
            pages = openpyxl.load_workbook(file, read_only=True).worksheets
            found = [(page.title, [list(map(_xlsx_text, row)) for row in _xlsx_rows(page)]) for page in pages]
    except _NOT_XLSX:
        faults.of_file(path.name, "cannot be read as an XLSX file.")
        return
    filled = [(title, rows) for title, rows in found if any(map(any, rows))]
    if not filled:
        faults.of_file(path.name, "is empty.")
    for title, rows in filled:
        table = title.strip().casefold().replace(" ", "_")
        if table not in TABLES and len(filled) == 1:
            table = path.stem.casefold()
        if table in TABLES:
            yield Sheet(f"{path.name} sheet {title}", table, rows)
        else:
            faults.of_file(
                f"{path.name} sheet {title}", f"is not named after a table; the tables are {', '.join(TABLES)}."
            )


def _xlsx_rows(page: Any) -> Iterator[Sequence[Any]]:
    page.reset_dimensions()  # a sheet may claim a million empty rows
    yield from page.iter_rows(values_only=True)


def _xlsx_text(value: object) -> str:
    """A cell's text; a number as the decimal of 15 figures that a spreadsheet shows: 0.7, not 0.69999999999999996."""
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, float):
        return f"{value:.15g}"
    return "" if value is None else str(value)


def _trimmed(cells: Cells) -> Cells:
    filled = [number for number, cell in enumerate(cells, start=1) if cell]
    return cells[: filled[-1]] if filled else []
