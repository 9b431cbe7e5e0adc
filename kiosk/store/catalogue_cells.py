"""What one cell of a catalogue file may hold: readers from text to value, each fault one plain sentence."""

import re
from collections.abc import Callable, Iterable
from decimal import Decimal
from typing import Any

from kiosk.core.pins import PIN_FORM
from kiosk.pins import is_pin_hash

Reader = Callable[[str], Any]
"""Turns the text of a cell that is not empty into its value. Raises CellFault."""

LIST_MARK = ";"
"""Parts the entries of a cell that holds a list."""

_FORMULA = re.compile(r"'*[=+\-@]")
_FRENCH_WORD = r"(?:f|fr|ch|charr|french|charri[eè]re)\.?"
_FRENCH = re.compile(rf"\d+(?:[.,]\d+)?\s*{_FRENCH_WORD}|{_FRENCH_WORD}\s*\d+(?:[.,]\d+)?", re.IGNORECASE)
_GAUGE = re.compile(r"\d+\s*(?:g|ga|gauge)|(?:g|ga|gauge)\s*\d+", re.IGNORECASE)
_SHEET_ERROR = re.compile(r"#(?:REF!|N/A|VALUE!|NAME\?|DIV/0!|NULL!|NUM!)")
_NUMBER = re.compile(r"\d{1,9}(?:\.\d{1,4})?")


class CellFault(ValueError):
    """A cell that cannot be used; the message ends a sentence that began with file, row and column."""


def text(longest: int) -> Reader:
    """One line of plain text. What looks like a formula is text, never worked out."""

    def read(cell: str) -> str:
        if _SHEET_ERROR.fullmatch(cell):
            raise CellFault(f"holds {cell}, which is a spreadsheet's own fault.")
        if not cell.isprintable():
            raise CellFault("holds a line break or a sign that cannot be printed.")
        if len(cell) > longest:
            raise CellFault(f"has {len(cell)} characters; at most {longest} fit on screen and paper.")
        return cell

    return read


def code(cell: str) -> str:
    """A short code: letters, figures and hyphens, as it stands in the barcode."""
    if not re.fullmatch(r"[A-Za-z0-9](?:[A-Za-z0-9-]{0,22}[A-Za-z0-9])?", cell):
        raise CellFault(f'"{_short(cell)}" is not a code: use up to 24 letters, figures and hyphens.')
    return cell


def lumen_name(cell: str) -> str:
    """The name of a lumen: text without the signs that part item, piece, lumen and check."""
    if set(cell) & set(".#"):
        raise CellFault("may not hold a point or a number sign.")
    return str(text(24)(cell))


def number(least: str, most: str, unit: str) -> Reader:
    """A decimal number with a point, from `least` to `most`, kept exactly."""

    def read(cell: str) -> Decimal:
        if re.fullmatch(r"\d+,\d+", cell):
            raise CellFault(f'"{_short(cell)}" has a comma: write decimals with a point.')
        if not _NUMBER.fullmatch(cell):
            raise CellFault(f'"{_short(cell)}" is not a plain number: write the number of {unit} alone.')
        value = Decimal(cell)
        if not Decimal(least) <= value <= Decimal(most):
            raise CellFault(f"{cell} is out of range: {least} to {most} {unit}.")
        return value

    return read


def inside(cell: str) -> Decimal:
    """The narrowest clear inside in millimeters: never French, never gauge."""
    if _FRENCH.fullmatch(cell):
        raise CellFault(
            f'"{_short(cell)}" is a French size, and French is the outside of a tube: '
            "write the clear inside in millimeters here, and French in outside_fr."
        )
    if _GAUGE.fullmatch(cell):
        raise CellFault(
            f'"{_short(cell)}" is a gauge, and gauge is the outside of a needle: write the clear inside in millimeters.'
        )
    return Decimal(number("0.1", "60", "mm")(cell))


def whole(least: int, most: int, unit: str) -> Reader:
    """A whole number from `least` to `most`."""
    decimal = number(str(least), str(most), unit)

    def read(cell: str) -> int:
        value = decimal(cell)
        if value != int(value):
            raise CellFault(f"{cell} is not a whole number.")
        return int(value)

    return read


def yes_no(cell: str) -> bool:
    """Yes or no; a spreadsheet's TRUE and FALSE are taken too."""
    word = cell.casefold()
    if word not in {"yes", "no", "true", "false"}:
        raise CellFault(f'"{_short(cell)}" is neither yes nor no.')
    return word in {"yes", "true"}


def one_of(words: Iterable[str]) -> Reader:
    """One word of a closed list; an enum gives its member."""
    known = {str(word): word for word in words}

    def read(cell: str) -> str:
        if cell not in known:
            raise CellFault(f'"{_short(cell)}" is not known here; use {_or(known)}.')
        return known[cell]

    return read


def many(read: Reader) -> Reader:
    """A list of entries parted by semicolons, none twice, in the order written."""

    def read_all(cell: str) -> tuple[Any, ...]:
        values = tuple(read(part) for part in map(str.strip, cell.split(LIST_MARK)) if part)
        if not values:
            raise CellFault("holds no entry.")
        if len(set(values)) < len(values):
            raise CellFault("names the same entry twice.")
        return values

    return read_all


def pin(cell: str) -> str:
    """A PIN as typed. Its fault never repeats what was typed."""
    if not PIN_FORM.fullmatch(cell):
        raise CellFault("holds no PIN: a PIN is 4 to 8 digits.")
    return cell


def pin_hash(cell: str) -> str:
    """A PIN's hash as this tool writes it."""
    if not is_pin_hash(cell):
        raise CellFault("holds no PIN hash of this tool.")
    return cell


def tidy(cell: str) -> str:
    """The text of a cell without the spaces around it and the apostrophe that keeps a formula text."""
    cell = cell.replace("\N{NO-BREAK SPACE}", " ").strip()
    return cell[1:] if cell.startswith("'") and _FORMULA.match(cell) else cell


def written(value: object) -> str:
    """A value as the text of a cell, such that `tidy` and the column's reader give it back."""
    cell = _plain(value)
    return f"'{cell}" if _FORMULA.match(cell) else cell


def _plain(value: object) -> str:
    match value:
        case None:
            return ""
        case bool():
            return "yes" if value else "no"
        case Decimal():
            return f"{value:f}"
        case frozenset():
            return _plain(tuple(sorted(value)))
        case tuple():
            return f"{LIST_MARK} ".join(map(_plain, value))
        case _:
            return str(value)


def _short(cell: str) -> str:
    shown = "".join(sign if sign.isprintable() else " " for sign in cell)
    return shown if len(shown) <= 40 else f"{shown[:39]}…"


def _or(words: Iterable[str]) -> str:
    *most, last = words
    return f"{', '.join(most)} or {last}" if most else last
