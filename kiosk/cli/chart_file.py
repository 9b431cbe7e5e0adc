"""The CSV file of a control chart: a header line and a line for each point; every fault by file, line and column."""

import csv
import io
import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path

from kiosk.cli.call import CallFault
from kiosk.quality.points import Kind

COLUMNS: Mapping[Kind, tuple[str, ...]] = {
    Kind.P: ("found", "of"),
    Kind.U: ("found", "of"),
    Kind.C: ("found",),
    Kind.G: ("between",),
    Kind.EWMA: ("value",),
    Kind.CUSUM: ("value",),
}
"""The columns that a kind needs; every kind may have `label` besides, and none may have another."""
LABEL = "label"


@dataclass(frozen=True, slots=True, kw_only=True)
class ChartFile:
    """A file as read: its points' labels, the text of each column, and the line of each point, from 1."""

    name: str
    labels: tuple[str, ...]
    columns: Mapping[str, tuple[str, ...]]
    lines: tuple[int, ...]

    def fault(self, column: str, point: int, sentence: str) -> CallFault:
        """The fault of one cell, named by file, line and column."""
        return CallFault(f"{self.name} line {self.lines[point]}: {column} {sentence}")

    def counts(self, column: str) -> list[int]:
        """The column as whole numbers. Raises CallFault."""
        for point, text in enumerate(self.columns[column]):
            if not re.fullmatch(r"[+-]?\d{1,30}", text, re.ASCII):
                raise self.fault(column, point, f"is {text!r}, not a whole number")
        return [int(text) for text in self.columns[column]]

    def readings(self, column: str) -> list[float]:
        """The column as numbers with a decimal point. Raises CallFault."""
        for point, text in enumerate(self.columns[column]):
            if not re.fullmatch(r"[+-]?(\d+\.?\d*|\.\d+)([eE][+-]?\d+)?", text, re.ASCII):
                raise self.fault(column, point, f"is {text!r}, not a number such as 9.45")
        return [float(text) for text in self.columns[column]]


def read_chart_file(path: Path, kind: Kind) -> ChartFile:
    """Read a file for a chart of that kind: columns in any order, empty lines passed over. Raises CallFault."""
    try:
        text = path.read_bytes().decode("utf-8-sig")
    except UnicodeDecodeError as fault:
        raise CallFault(f"{path.name}: is not text in UTF-8") from fault
    reader = csv.reader(io.StringIO(text, newline=""), strict=True)
    rows: list[tuple[int, list[str]]] = []
    line = 1
    try:
        for cells in reader:
            if any(cell.strip() for cell in cells):
                rows.append((line, [cell.strip() for cell in cells]))
            line = reader.line_num + 1
    except csv.Error as fault:
        raise CallFault(f"{path.name} line {reader.line_num}: is not CSV: {fault}") from fault
    if not rows:
        raise CallFault(f"{path.name}: is empty; it begins with a line of columns: {', '.join(COLUMNS[kind])}")
    (top, header), *points = rows
    _check_header(f"{path.name} line {top}", header, kind)
    if not points:
        raise CallFault(f"{path.name}: has no points below its line of columns")
    for line, cells in points:
        if len(cells) != len(header):
            raise CallFault(f"{path.name} line {line}: has {len(cells)} of {len(header)} cells")
    columns = {name: tuple(cells[place] for _, cells in points) for place, name in enumerate(header)}
    return ChartFile(
        name=path.name, labels=columns.pop(LABEL, ()), columns=columns, lines=tuple(line for line, _ in points)
    )


def _check_header(where: str, header: Sequence[str], kind: Kind) -> None:
    needed = COLUMNS[kind]
    for name in needed:
        if name not in header:
            hint = "; its columns are parted by ';', not by ','" if ";" in "".join(header) else ""
            raise CallFault(f"{where}: has no column {name}, which {kind} charts need{hint}")
    for name in header:
        if header.count(name) > 1:
            raise CallFault(f"{where}: has column {name} twice")
        if name not in (*needed, LABEL):
            raise CallFault(f"{where}: has a column {name!r}; {kind} charts take {LABEL}, {', '.join(needed)}")
