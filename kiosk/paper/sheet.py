"""The tray sheet: goes with the tray. Exceptions boxed at the top, counts in two columns, lumens at the end.

Read in the hand at 40 cm: 2.1 mm capitals are 18 arcmin (NUREG-0700 1.3.1-4 asks 16 or more).
"""

from collections.abc import Iterator, Sequence
from decimal import Decimal
from fractions import Fraction
from typing import Literal

from reportlab.lib.colors import black
from reportlab.lib.units import mm
from reportlab.platypus import Flowable, KeepTogether, Paragraph, Table

from kiosk.codes.write import Matrix, qr
from kiosk.core.papers import SheetLine, SheetLumen, SheetPiece, TraySheet
from kiosk.lumen.drawing import SCALES, LumenDrawing, draw_lumen
from kiosk.lumen.section import WALL_MM
from kiosk.paper.page import HAIR_MM, Box, Form, Pen, Rule, count, gap, largest, press
from kiosk.paper.parts import ALL, fact, signed, tight
from kiosk.paper.symbols import MODULE_MM, QUIET_MM, Ring, draw_code, draw_words
from kiosk.paper.tube import OVERHANG_MM, draw_tube, scale_words
from kiosk.paper.type import BOLD, FOOT_CAP_MM, HEAVY, SPARE_POINTS, fitted, height_of, paragraph, width_of

Size = Literal["letter", "a4"]
PAPER_MM: dict[Size, tuple[float, float]] = {"letter": (215.9, 279.4), "a4": (210.0, 297.0)}
MARGIN_MM = 12.0
BODY_MM, SMALL_MM, LEAD_MM, NAME_MM = 2.1, 1.9, 3.0, 6.0
COUNT_MM, COUNT_PITCH = 1.9, 1.43
HEAD_ON_MM = 11.0  # of the pages that follow
FOOT_MM = 6.0
TUBE_MM = 72.0
SIZES = tuple(n / 100 for n in range(150, 99, -5))
"""Of all words under the head: as large as the page has room for, never smaller than 1."""
PAGES_MOST = 12
FLAT = 0.42  # tubes on the sheet are drawn narrower than on a ticket
RING_MM = 4.6
SIGN_MM = 3.4
PITCH = 1.62
HANGS = 0.35
"""White below a line, in capital heights, that keeps what hangs under its letters off what is drawn there."""


def draw_sheet(sheet: TraySheet, size: Size) -> bytes:
    """The sheet as a PDF, on as many pages as it takes."""
    paper, matrix = PAPER_MM[size], qr(sheet.code)
    width = paper[0] - 2 * MARGIN_MM
    low = paper[1] - MARGIN_MM - FOOT_MM

    def body(top: float) -> tuple[Box, ...]:
        return (Box(left=MARGIN_MM, top=top, width=width, height=low - top),)

    form = Form(id="sheet", frames=body(MARGIN_MM + HEAD_ON_MM), draw=lambda pen: _head_on(pen, sheet))
    first = Form(
        id="first",
        frames=body(MARGIN_MM + _head_high(sheet, paper[0], matrix)),
        draw=lambda pen: _head(pen, sheet, matrix),
        then="sheet",
    )
    forms, title = (first, form), f"{sheet.title} {sheet.tray_code}"

    def pages(size: float) -> int:
        return count(paper, forms, list(_story(sheet, width, size)), title)

    best = largest(SIZES, pages, PAGES_MOST, sheet.trip)
    return press(paper, forms, list(_story(sheet, width, best)), title)


def _head_words(sheet: TraySheet, width: float) -> list[Paragraph]:
    cap = fitted(sheet.tray_name, NAME_MM, width, HEAVY, lines=2, least=4.0)
    return [
        paragraph(f"{sheet.title} · {sheet.tray_code} · {sheet.trip}", LEAD_MM, BOLD, pitch=1.7),
        paragraph(sheet.tray_name, cap, HEAVY, pitch=1.65),
        paragraph(sheet.headline, LEAD_MM, BOLD, pitch=1.7),
        *(paragraph(sheet.not_seen, BODY_MM, BOLD) for _ in sheet.not_seen[:1]),
        paragraph(sheet.shares, BODY_MM),
    ]


def _head(pen: Pen, sheet: TraySheet, matrix: Matrix) -> None:
    side = len(matrix) * MODULE_MM
    width = pen.width - 2 * MARGIN_MM - side - QUIET_MM
    top = MARGIN_MM
    for part in _head_words(sheet, width):
        top += pen.block(part, MARGIN_MM, top, width)
    draw_code(pen.canvas, matrix, pen.width - MARGIN_MM - side, MARGIN_MM, pen.height)
    _foot(pen, sheet)


def _head_high(sheet: TraySheet, page: float, matrix: Matrix) -> float:
    """How high the head of the first page stands: its words or its code with the white below it."""
    side = len(matrix) * MODULE_MM
    width = page - 2 * MARGIN_MM - side - QUIET_MM
    return max(side + QUIET_MM, sum(height_of(part, width) for part in _head_words(sheet, width)) + 2)


def _head_on(pen: Pen, sheet: TraySheet) -> None:
    width = pen.width - 2 * MARGIN_MM
    line = f"{sheet.title} · {sheet.tray_code} · {sheet.tray_name} · {sheet.trip}"
    pen.block(paragraph(line, fitted(line, LEAD_MM, width, BOLD, least=BODY_MM), BOLD), MARGIN_MM, MARGIN_MM, width)
    pen.bar(MARGIN_MM, MARGIN_MM + 6.5, width, 0.5)
    _foot(pen, sheet)


def _foot(pen: Pen, sheet: TraySheet) -> None:
    pen.foot(sheet.title, sheet.trip, sheet.foot, left=MARGIN_MM, right=MARGIN_MM, bottom=MARGIN_MM - 4)


def _story(sheet: TraySheet, width: float, size: float) -> Iterator[Flowable]:
    if sheet.exceptions:
        yield _boxed([paragraph(line, BODY_MM * size, BOLD, pitch=PITCH) for line in sheet.exceptions], width)
        yield gap(2)
    yield _columns([_fact(line, BODY_MM * size) for line in sheet.facts], width, 2, below=0.2 * BODY_MM * size)
    if sheet.counts:
        yield Rule(0.5, 1.6)
        yield paragraph(sheet.count_title, LEAD_MM, BOLD, after=0.8)
        yield _counts(sheet.counts, width, COUNT_MM * size)
    if sheet.pieces:
        yield Rule(0.5, 1.6)
        scale = common_scale([one.lumen.length_mm for piece in sheet.pieces for one in piece.lumens])
        for piece in sheet.pieces:
            yield from _piece(piece, width, scale, size)
    yield KeepTogether(list(_end(sheet, size)))


def _end(sheet: TraySheet, size: float) -> Iterator[Flowable]:
    yield Rule(0.5, 1.6)
    for line in sheet.checked_by:
        yield paragraph(line, BODY_MM * size)
    if sheet.signature:
        yield gap(7)
        yield Rule(HAIR_MM, 0.4)
        yield paragraph(sheet.signature, SMALL_MM * size, after=1)
    if sheet.cautions:
        lines = [paragraph(line, FOOT_CAP_MM) for line in sheet.cautions]
        yield signed("caution", lines, SIGN_MM)


def _fact(line: SheetLine, cap: float) -> Flowable:
    words = fact(line, cap)
    return signed(line.symbol, words, cap * 1.66) if line.symbol else words


def _boxed(lines: list[Flowable], width: float) -> Flowable:
    pads = ("TOPPADDING", *ALL, 1.0 * mm), ("BOTTOMPADDING", *ALL, 1.6 * mm), ("LEFTPADDING", *ALL, 3 * mm)
    style = tight(("BOX", *ALL, 0.8 * mm, black), *pads)
    return Table([[lines]], colWidths=[width * mm], style=style)


def _columns(cells: Sequence[Flowable], width: float, columns: int, *, below: float = 0.0) -> Flowable:
    """Cells set down the columns, as even as can be, with so much white below each, in mm."""
    rows = -(-len(cells) // columns)
    table = [
        [cells[at] if (at := row + rows * column) < len(cells) else "" for column in range(columns)]
        for row in range(rows)
    ]
    style = tight(("VALIGN", *ALL, "TOP"), ("RIGHTPADDING", *ALL, 4 * mm), ("BOTTOMPADDING", *ALL, below * mm))
    return Table(table, colWidths=[width * mm / columns] * columns, style=style)


def _counts(lines: Sequence[SheetLine], width: float, cap: float) -> Flowable:
    """Two columns of name and count; the count stands at the end of dots that lead the eye."""
    column = width / 2 - 4
    return _columns([_Count(line, column, cap) for line in lines], width, 2)


class _Count(Flowable):
    """Name and count side by side over a hairline; the count is at the right edge, both stand on their last line."""

    def __init__(self, line: SheetLine, width: float, cap: float) -> None:
        super().__init__()
        value = " ".join(filter(None, (line.value, line.note)))
        wide = width_of(value, cap, BOLD)
        self._left = (width - wide - 2) * mm
        self.width, self._below = width * mm, HANGS * cap * mm
        self._words = line.label, value
        self._cap = cap
        self._on_one = width_of(line.label, cap) * mm < self._left - SPARE_POINTS
        self._parts: list[Paragraph] = []

    def wrap(self, _width: float, _height: float) -> tuple[float, float]:
        high = self._cap * COUNT_PITCH * mm if self._on_one else max(part.height for part in self._laid_out())
        self.height = high + self._below
        return self.width, self.height

    def _laid_out(self) -> list[Paragraph]:
        """Name and count as paragraphs: not before they are needed."""
        if not self._parts:
            name, value = self._words
            self._parts = [
                paragraph(name, self._cap, pitch=COUNT_PITCH),
                paragraph(value, self._cap, BOLD, align="right", pitch=COUNT_PITCH),
            ]
            for part, width in zip(self._parts, (self._left, self.width - self._left), strict=True):
                part.wrap(width, 1e6)
        return self._parts

    def draw(self) -> None:
        canvas = self.canv
        for part, left in zip(self._laid_out(), (0, self._left), strict=True):
            part.drawOn(canvas, left, self._below)
        canvas.setLineWidth(HAIR_MM * mm)
        canvas.setLineCap(1)
        canvas.line(0, 0, self.width, 0)


def _piece(piece: SheetPiece, width: float, scale: Fraction | None, size: float) -> Iterator[Flowable]:
    head = " · ".join(filter(None, (piece.name, piece.by, piece.result)))
    rows: list[Flowable] = [paragraph(head, BODY_MM * size, BOLD, pitch=PITCH, after=HANGS * BODY_MM * size)]
    rows += [_lumen(one, width, scale, size) for one in piece.lumens]
    rows += [paragraph(note, SMALL_MM * size, pitch=PITCH) for note in piece.notes]
    yield KeepTogether([*rows, gap(1.2)])


def _lumen(one: SheetLumen, width: float, scale: Fraction | None, size: float) -> Flowable:
    texts = [paragraph(f"{one.name}: {one.checks}", SMALL_MM * size, pitch=1.55)]
    texts.append(paragraph(" · ".join(filter(None, (one.result, one.not_seen))), SMALL_MM * size, BOLD, pitch=1.55))
    left = RING_MM + 2.5
    tube = Tube(one, scale)
    cells = [[Ring(one.ring, RING_MM), texts, tube]]
    widths = [left * mm, (width - left - TUBE_MM) * mm, TUBE_MM * mm]
    style = tight(("VALIGN", *ALL, "MIDDLE"), ("BOTTOMPADDING", *ALL, 0.6 * mm))
    return Table(cells, colWidths=widths, style=style)


def common_scale(lengths: Sequence[Decimal | None]) -> Fraction | None:
    """The largest scale at which all lumens fit their place that fit at any; None: none does."""
    room = Fraction(TUBE_MM - 2 * OVERHANG_MM - WALL_MM)
    fit = [Fraction(length) for length in lengths if length is not None and Fraction(length) * SCALES[-1][0] <= room]
    return next((scale for scale, _ in SCALES if fit and max(fit) * scale <= room), None)


class Tube(Flowable):
    """A lumen on the sheet with its scale in words."""

    def __init__(self, one: SheetLumen, scale: Fraction | None) -> None:
        super().__init__()
        room = TUBE_MM - 2 * OVERHANG_MM
        length = one.lumen.length_mm
        if scale is not None and length is not None:
            room = min(room, float(Fraction(length) * scale) + WALL_MM + 0.001)
        self._tube: LumenDrawing = draw_lumen(one.lumen, room)
        self._dark = one.dark and (float(one.dark[0]) * self._tube.drawn_mm, float(one.dark[1]) * self._tube.drawn_mm)
        self._half = (self._tube.bore_mm / 2 + self._tube.wall_mm) * FLAT + 0.4

    def wrap(self, _width: float, _height: float) -> tuple[float, float]:
        return TUBE_MM * mm, (2 * self._half + FOOT_CAP_MM * 1.9) * mm

    def draw(self) -> None:
        canvas = self.canv
        canvas.saveState()
        canvas.translate(OVERHANG_MM * mm, (self._half + FOOT_CAP_MM * 1.9) * mm)
        canvas.scale(mm, -mm)
        draw_tube(canvas, self._tube, flat=FLAT, dark=self._dark)
        draw_words(canvas, scale_words(self._tube), 0, self._half + 0.7 + FOOT_CAP_MM, FOOT_CAP_MM)
        canvas.restoreState()
