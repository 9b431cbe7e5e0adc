"""The three rings, the lump, and the square code: vectors in millimeters, black on white."""

from itertools import groupby

from reportlab.lib.colors import black, white
from reportlab.lib.units import mm
from reportlab.pdfgen.canvas import Canvas
from reportlab.platypus import Flowable

from kiosk.codes.write import Matrix
from kiosk.paper.page import DOT_MM, HAIR_MM
from kiosk.paper.type import HEAVY, LEAST_CAP_MM, REGULAR, loaded, points

MODULE_MM = 10 * DOT_MM
QUIET_MM = 4 * MODULE_MM
HATCH_MM = 1.5


def draw_ring(canvas: Canvas, ring: str, left: float, bottom: float, size: float) -> None:
    """The hole end on, `size` mm across: open is clear, a lump is found, broken and hatched is unsure or open."""
    canvas.saveState()
    canvas.translate(left * mm, bottom * mm)
    canvas.scale(mm, mm)
    middle, thick = size / 2, max(size * 0.12, HAIR_MM)
    bore = middle - thick
    hole = canvas.beginPath()
    hole.circle(middle, middle, bore + thick / 4)
    canvas.saveState()
    if ring == "found":
        canvas.clipPath(hole, stroke=0, fill=0)
        for x, y, r in ((0.42, 0.20, 0.27), (0.53, 0.42, 0.14), (0.74, 0.38, 0.22)):
            canvas.circle(x * size, y * size, r * size, stroke=0, fill=1)
    elif ring != "clear":
        canvas.clipPath(hole, stroke=0, fill=0)
        canvas.setLineWidth(max(size * 0.025, HAIR_MM))
        step = HATCH_MM * 2**0.5
        for k in range(-int(size / step) - 1, int(size / step) + 2):
            canvas.line(k * step, 0, k * step + size, size)
    canvas.restoreState()
    canvas.setLineWidth(thick)
    edge = thick / 2
    if ring in ("clear", "found"):
        canvas.circle(middle, middle, middle - edge, stroke=1, fill=0)
    else:
        for turn in range(4):
            canvas.arc(edge, edge, size - edge, size - edge, 90 * turn + 14, 62)
    canvas.restoreState()


def draw_lump(canvas: Canvas, x: float, floor: float, size: float) -> None:
    """A lump lying on a floor, in a canvas of mm that runs down; `size` mm wide."""
    path = canvas.beginPath()
    path.rect(x - size, floor - size, 2 * size, size)
    canvas.saveState()
    canvas.clipPath(path, stroke=0, fill=0)
    for dx, r in ((-0.26, 0.22), (0.02, 0.34), (0.29, 0.2)):
        canvas.circle(x + dx * size, floor, r * size, stroke=0, fill=1)
    canvas.restoreState()


def draw_code(
    canvas: Canvas, matrix: Matrix, left: float, top: float, page_height: float, module: float = MODULE_MM
) -> None:
    """A square code of whole printer dots, without its quiet zone; mm from the upper left corner of the page."""
    path = canvas.beginPath()
    for row, line in enumerate(matrix):
        y = page_height - top - (row + 1) * module
        at = 0
        for dark, run in groupby(line):
            cells = len(list(run))
            if dark:
                path.rect((left + at * module) * mm, y * mm, cells * module * mm, module * mm)
            at += cells
    canvas.drawPath(path, stroke=0, fill=1)


class Ring(Flowable):
    """A ring in the flow of text."""

    def __init__(self, ring: str, size: float) -> None:
        super().__init__()
        self._ring, self._size = ring, size

    def wrap(self, _width: float, _height: float) -> tuple[float, float]:
        return self._size * mm, self._size * mm

    def draw(self) -> None:
        draw_ring(self.canv, self._ring, 0, 0, self._size)


class Sign(Flowable):
    """A sign beside its words, `size` mm high: `batch` or `caution`.

    Drawn by us after the descriptions of ISO 15223-1, 5.1.5 (LOT in a rectangle) and 5.4.4 (an exclamation mark in a
    triangle); the standard itself was not at hand: from memory.
    """

    def __init__(self, kind: str, size: float) -> None:
        super().__init__()
        self._kind, self._size = kind, size

    @property
    def wide(self) -> float:
        """Its width in mm."""
        return self._size * (2.0 if self._kind == "batch" else 1.12)

    def wrap(self, _width: float, _height: float) -> tuple[float, float]:
        return self.wide * mm, self._size * mm

    def draw(self) -> None:
        canvas, size, thick = self.canv, self._size, max(self._size * 0.09, HAIR_MM)
        canvas.saveState()
        canvas.scale(mm, mm)
        canvas.setLineWidth(thick)
        canvas.setLineJoin(1)
        if self._kind == "batch":
            canvas.rect(thick / 2, thick / 2, self.wide - thick, size - thick, stroke=1, fill=0)
            canvas.setFont(loaded(HEAVY), points(size * 0.52) / mm)
            canvas.drawCentredString(self.wide / 2, size * 0.25, "LOT")
        else:
            path = canvas.beginPath()
            path.moveTo(thick, thick / 2)
            path.lineTo(self.wide - thick, thick / 2)
            path.lineTo(self.wide / 2, size - thick)
            path.close()
            canvas.drawPath(path, stroke=1, fill=0)
            canvas.setFillColor(black)
            canvas.rect(self.wide / 2 - thick / 2, size * 0.34, thick, size * 0.3, stroke=0, fill=1)
            canvas.circle(self.wide / 2, size * 0.22, thick * 0.62, stroke=0, fill=1)
        canvas.restoreState()


def draw_flag(canvas: Canvas, x: float, top: float, foot: float, number: str = "", size: float = 6.0) -> None:
    """A flag on its pole in a canvas of mm that runs down; its number, if any, white on it."""
    canvas.setLineWidth(0.6)
    canvas.line(x, top, x, foot)
    path = canvas.beginPath()
    path.moveTo(x, top)
    path.lineTo(x + size * 1.35, top + size / 2)
    path.lineTo(x, top + size)
    path.close()
    canvas.drawPath(path, stroke=0, fill=1)
    if number:
        draw_words(canvas, number, x + 0.5, top + (size + LEAST_CAP_MM) / 2, LEAST_CAP_MM, HEAVY, inverted=True)


def draw_words(
    canvas: Canvas, text: str, x: float, baseline: float, cap_mm: float, face: str = REGULAR, *, inverted: bool = False
) -> None:
    """One line of type in a canvas of mm that runs down."""
    canvas.saveState()
    canvas.translate(x, baseline)
    canvas.scale(1 / mm, -1 / mm)
    canvas.setFillColor(white if inverted else black)
    canvas.setFont(loaded(face), points(cap_mm))
    canvas.drawString(0, 0, text)
    canvas.restoreState()
