"""Parts that several papers share: facts in columns, the place for the facility's own mark, blanks to fill by hand."""

from collections.abc import Iterator, Sequence
from typing import Any

from reportlab.lib.units import mm
from reportlab.platypus import CondPageBreak, Flowable, Paragraph, Table, TableStyle

from kiosk.codes.write import qr
from kiosk.core.papers import SheetLine
from kiosk.paper.page import DOT_MM
from kiosk.paper.symbols import Sign, draw_code
from kiosk.paper.type import BOLD, LEAST_CAP_MM, REGULAR, paragraph, runs

ALL = (0, 0), (-1, -1)
_Command = tuple[Any, ...]


def tight(*more: _Command) -> TableStyle:
    """The style of a table without white around its cells, and what more is asked."""
    bare: list[_Command] = [(f"{side}PADDING", *ALL, 0) for side in ("LEFT", "RIGHT", "TOP", "BOTTOM")]
    return TableStyle([*bare, *more])


def whole(part: Flowable, width: float) -> Iterator[Flowable]:
    """A part that is never split, where a page has a wide frame and a low one: it skips what it does not fit in."""
    _, high = part.wrap(width * mm, 1e6)
    yield CondPageBreak(high)
    yield CondPageBreak(high)
    yield part


def facts(lines: Sequence[SheetLine], cap: float) -> Paragraph:
    """All facts one after another, as few lines as the column allows."""
    told = [line for line in lines if line.value or line.note]
    parts: list[tuple[str, str]] = []
    for n, line in enumerate(told):
        parts += [(REGULAR, "·"), *_runs(line)] if n else _runs(line)
    return runs(parts, cap)


def fact(line: SheetLine, cap: float, *, after: float = 0.0) -> Paragraph:
    """Label, value in bold, note."""
    return runs(_runs(line), cap, after=after)


def _runs(line: SheetLine) -> list[tuple[str, str]]:
    return [(REGULAR, line.label), (BOLD, line.value), (REGULAR, line.note)]


def signed(kind: str, words: Flowable | Sequence[Flowable], size: float) -> Flowable:
    """Words with a sign before their first line, as wide as where they stand; the sign is `size` mm high."""
    sign = Sign(kind, size)
    room = sign.wide + 1.2
    style = tight(("VALIGN", *ALL, "TOP"))
    inside = words if isinstance(words, Flowable) else list(words)
    return Table([[sign, inside]], colWidths=[room * mm, "*"], style=style, hAlign="LEFT")


class DataCode(Flowable):
    """A code with much in it, as large as its room allows: modules of whole dots, four at least (half a millimeter)."""

    ROOM_MM = 52.0

    def __init__(self, text: str) -> None:
        super().__init__()
        self._matrix = qr(text, level="Q")
        modules = len(self._matrix) + 4  # the quiet zone above; the page's own margin is the one beside it
        self._module = max(4, int(self.ROOM_MM / modules / DOT_MM)) * DOT_MM
        self._side = modules * self._module

    def wrap(self, _width: float, _height: float) -> tuple[float, float]:
        return self._side * mm, self._side * mm

    def draw(self) -> None:
        draw_code(self.canv, self._matrix, 0, 4 * self._module, self._side, self._module)


class PlaceForMark(Flowable):
    """A dashed square for the mark that the facility puts there itself, with lines of words beside it."""

    def __init__(self, texts: Sequence[str], *, side: float = 10.0) -> None:
        super().__init__()
        self._texts, self._side = [text for text in texts if text], side

    def wrap(self, width: float, _height: float) -> tuple[float, float]:
        self._words = [paragraph(text, LEAST_CAP_MM) for text in self._texts]
        self._tall = sum(float(words.wrap(width - (self._side + 3) * mm, 1e6)[1]) for words in self._words)
        self._high = max(self._side * mm, self._tall) + 1.6 * mm
        return width, self._high

    def draw(self) -> None:
        canvas, middle = self.canv, self._high / 2
        canvas.saveState()
        canvas.setLineWidth(0.4 * mm)
        canvas.setDash([1.5 * mm, 1 * mm])
        canvas.rect(0.2 * mm, middle - self._side / 2 * mm, self._side * mm, self._side * mm)
        canvas.restoreState()
        top = middle + self._tall / 2
        for words in self._words:
            top -= words.height
            words.drawOn(canvas, (self._side + 3) * mm, top)
