"""Parts that several papers share: facts in columns, the place for the facility's own mark, blanks to fill by hand."""

from collections.abc import Iterator, Sequence
from xml.sax.saxutils import escape

from reportlab.lib.units import mm
from reportlab.platypus import CondPageBreak, Flowable, Paragraph, Table

from kiosk.core.papers import SheetLine
from kiosk.paper.type import BOLD, LEAST_CAP_MM, loaded, paragraph, width_of

TIGHT = [(f"{side}PADDING", (0, 0), (-1, -1), 0) for side in ("LEFT", "RIGHT", "TOP", "BOTTOM")]
GUTTER_MM = 4.0


def fact(line: SheetLine, cap: float) -> Paragraph:
    """Label, value in bold, note."""
    text = f'{escape(line.label)} <font name="{loaded(BOLD)}">{escape(line.value)}</font> {escape(line.note)}'
    plain = paragraph("", cap)
    return Paragraph(text, plain.style)


def whole(part: Flowable, width: float) -> Iterator[Flowable]:
    """A part that is never split, where a page has a wide frame and a low one: it skips what it does not fit in."""
    _, high = part.wrap(width * mm, 1e6)
    yield CondPageBreak(high)
    yield CondPageBreak(high)
    yield part


class Facts(Flowable):
    """Label and value lines: in as many columns as they fit in without wrapping, down the columns."""

    def __init__(self, lines: Sequence[SheetLine], *, cap: float = LEAST_CAP_MM, columns: int = 2) -> None:
        super().__init__()
        self._lines, self._cap, self._columns = [line for line in lines if line.value or line.note], cap, columns
        self._table: Table | None = None

    def wrap(self, width: float, height: float) -> tuple[float, float]:
        if not self._lines:
            return 0, 0
        columns = next(n for n in range(self._columns, 0, -1) if n == 1 or self._all_fit(width / mm, n))
        rows = -(-len(self._lines) // columns)
        cells = [
            [fact(self._lines[at], self._cap) if (at := row + rows * column) < len(self._lines) else "" for column in range(columns)]
            for row in range(rows)
        ]
        self._table = Table(cells, colWidths=[width / columns] * columns, style=[*TIGHT, ("VALIGN", (0, 0), (-1, -1), "TOP")])
        wide, high = self._table.wrap(width, height)
        return float(wide), float(high)

    def _all_fit(self, width: float, columns: int) -> bool:
        room = width / columns - GUTTER_MM
        texts = (" ".join(filter(None, (line.label, line.value, line.note))) for line in self._lines)
        return all(width_of(text, self._cap, BOLD) <= room for text in texts)

    def split(self, width: float, height: float) -> list[Flowable]:
        self.wrap(width, height)
        return list(self._table.split(width, height)) if self._table else []

    def draw(self) -> None:
        if self._table:
            self._table.drawOn(self.canv, 0, 0)


class PlaceForMark(Flowable):
    """A dashed square for the mark that the facility puts there itself, with words beside it."""

    def __init__(self, text: str, *, side: float = 13.0) -> None:
        super().__init__()
        self._text, self._side = text, side

    def wrap(self, width: float, _height: float) -> tuple[float, float]:
        self._words = paragraph(self._text, LEAST_CAP_MM, pitch=1.5)
        _, high = self._words.wrap(width - (self._side + 3) * mm, 1e6)
        self._high = max(self._side * mm, high) + 2 * mm
        return width, self._high

    def draw(self) -> None:
        canvas = self.canv
        canvas.setLineWidth(0.4 * mm)
        canvas.setDash([1.5 * mm, 1 * mm])
        middle = self._high / 2
        canvas.rect(0.2 * mm, middle - self._side / 2 * mm, self._side * mm, self._side * mm)
        canvas.setDash([])
        self._words.drawOn(canvas, (self._side + 3) * mm, middle - self._words.height / 2)
