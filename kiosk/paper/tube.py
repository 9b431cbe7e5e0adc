"""A lumen in section on paper: walls, bore, center line, and where something was found on it."""

from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal

from reportlab.lib.colors import Color, black, white
from reportlab.lib.units import mm
from reportlab.pdfgen.canvas import Canvas
from reportlab.platypus import Flowable

from kiosk.core.papers import Mark
from kiosk.core.vocabulary import Feature
from kiosk.lumen.drawing import LumenDrawing, draw_lumen
from kiosk.lumen.geometry import plain
from kiosk.lumen.section import Box, hatch
from kiosk.paper.page import HAIR_MM, LANGUAGE
from kiosk.paper.symbols import draw_flag, draw_lump, draw_words
from kiosk.paper.type import BOLD, HEAVY, LEAST_CAP_MM, width_of
from kiosk.resources import tongues, words

OVERHANG_MM = 4.0  # of the center line past both ends
EDGE_MM = 0.5
ARROW_MM = 2.8
ABOVE_MM = 0.8  # white over the flags


def draw_tube(canvas: Canvas, tube: LumenDrawing, *, flat: float = 1, dark: tuple[float, float] | None = None) -> None:
    """The tube in a canvas of mm that runs down, origin at ENTRY on the center line.

    `flat` squeezes its width; `dark` is the stretch, in drawn mm, that nobody looked at.
    """
    bore = tube.bore_mm / 2 * flat
    canvas.setLineWidth(EDGE_MM)
    for wall in tube.walls:
        squeezed = Box(left=wall.left, right=wall.right, top=wall.top * flat, bottom=wall.bottom * flat)
        canvas.setLineWidth(HAIR_MM)
        for line in hatch(squeezed):
            canvas.line(line.x1, line.y1, line.x2, line.y2)
        canvas.setLineWidth(EDGE_MM)
        height = squeezed.bottom - squeezed.top
        canvas.rect(squeezed.left, squeezed.top, squeezed.right - squeezed.left, height, stroke=1, fill=0)
    for mark in tube.marks:
        if mark.feature is Feature.TOOTHED:
            _teeth(canvas, mark.left, mark.right, bore)
    if dark:
        canvas.rect(dark[0], -bore, dark[1] - dark[0], 2 * bore, stroke=0, fill=1)
    end = tube.drawn_mm + (tube.wall_mm if tube.blind else 0)
    for stretch, ink in (((-OVERHANG_MM, end + OVERHANG_MM), black), (dark, white)):
        if stretch:
            _center_line(canvas, *stretch, ink)


def _center_line(canvas: Canvas, left: float, right: float, ink: Color) -> None:
    canvas.saveState()
    canvas.setStrokeColor(ink)
    canvas.setLineWidth(HAIR_MM)
    canvas.setDash([6, 1.2, 1.2, 1.2])
    canvas.line(left, 0, right, 0)
    canvas.restoreState()


def _teeth(canvas: Canvas, left: float, right: float, bore: float) -> None:
    """Two teeth on each wall, pointing into the bore."""
    half = (right - left) / 2
    for side in (-1, 1):
        for start in (left, left + half):
            path = canvas.beginPath()
            path.moveTo(start, side * bore)
            path.lineTo(start + half, side * bore)
            path.lineTo(start + half / 2, side * (bore - 1.4))
            path.close()
            canvas.drawPath(path, stroke=0, fill=1)


@dataclass(frozen=True, slots=True, kw_only=True)
class _Call:
    """One mark on the strip: its row above the tube, and what it points at. `x` None: all along this lumen, if
    `measured`; else at a place that the drawing does not show."""

    flag: str
    label: str
    x: float | None
    measured: bool


def scale_words(tube: LumenDrawing) -> str:
    """How large the tube is drawn, in the language of the house."""
    return tongues()[LANGUAGE.get()].said(tube.scale_words)


class TubeStrip(Flowable):
    """A lumen with its marks: flags, distances from ENTRY in cm, named places; the ends named, the scale in words."""

    def __init__(self, marks: Sequence[Mark], *, numbered: bool, lump: bool, size: float = 1) -> None:
        super().__init__()
        lumen = marks[0].lumen
        if lumen is None:
            raise ValueError("a strip shows a lumen")
        self._lumen, self._marks, self._numbered, self._lump = lumen, marks, numbered, lump
        self._cap = max(LEAST_CAP_MM, 4.4 * size if len(marks) == 1 else 3.4 * size)
        self._row = max(6.6 * size, self._cap + 1.8, 5.4)
        self._flat = 0.72 + 0.28 * max(min((size - 0.7) / 0.3, 1), 0)

    def wrap(self, width: float, _height: float) -> tuple[float, float]:
        self._tube = draw_lumen(self._lumen, width / mm - 2 * OVERHANG_MM)
        self._width = width / mm
        self._calls = sorted((self._call(mark) for mark in self._marks), key=lambda call: (call.x is None, call.x or 0))
        self._half = (self._tube.bore_mm / 2 + self._tube.wall_mm) * self._flat
        self._axis = self._row * len(self._calls) + 1.2 + self._half
        self._names = self._axis + self._half + 1.6 + LEAST_CAP_MM  # baseline
        self._scale_below = not self._scale_fits()
        high = ABOVE_MM + self._names + 1.4 + (LEAST_CAP_MM * 1.6 if self._scale_below else 0)
        return width, high * mm

    def _call(self, mark: Mark) -> _Call:
        flag = str(mark.flag) if self._numbered else ""
        place = mark.place
        if place.all_along:
            return _Call(flag=flag, label=mark.words, x=None, measured=True)
        spot = self._tube.spot_of(place)
        if place.at_mm is not None and spot is not None:
            return _Call(flag=flag, label=f"{plain(Decimal(place.at_mm) / 10)} cm", x=spot, measured=True)
        return _Call(flag=flag, label=place.landmark or mark.words, x=spot, measured=False)

    def _ends(self) -> tuple[str, str]:
        say = words(LANGUAGE.get()).say
        return say("band.entry"), say("band.closed" if self._tube.blind else "band.tip")

    def _tip_x(self) -> float:
        """Left edge of the tip's name: flush with the tip, or after ENTRY on a short tube."""
        entry, tip = self._ends()
        after_entry = width_of(entry, LEAST_CAP_MM, BOLD) + 3
        return max(self._tube.drawn_mm - width_of(tip, LEAST_CAP_MM, BOLD), after_entry)

    def _scale_x(self) -> float:
        """Left edge of the scale's words: midway between the names if there is room, else after the tip's name."""
        entry, tip = self._ends()
        left, right = width_of(entry, LEAST_CAP_MM, BOLD), self._tip_x()
        mine = width_of(scale_words(self._tube), LEAST_CAP_MM)
        if right - left >= mine + 4:
            return (left + right - mine) / 2
        return right + width_of(tip, LEAST_CAP_MM, BOLD) + 3

    def _scale_fits(self) -> bool:
        end = self._scale_x() + width_of(scale_words(self._tube), LEAST_CAP_MM)
        return end <= self._width - OVERHANG_MM

    def draw(self) -> None:
        canvas = self.canv
        canvas.saveState()
        canvas.translate(OVERHANG_MM * mm, self._top())
        canvas.scale(mm, -mm)
        canvas.saveState()
        canvas.translate(0, self._axis)
        if self._lump:
            self._lumps(canvas)
        draw_tube(canvas, self._tube, flat=self._flat)
        canvas.restoreState()
        for number, call in enumerate(self._calls):
            if call.x is not None:
                top = self._row * (len(self._calls) - 1 - number)
                draw_flag(canvas, call.x, top, self._axis + self._half + 0.8, call.flag, size=self._row - 0.6)
        for number, call in enumerate(self._calls):
            self._draw_call(canvas, call, self._row * (len(self._calls) - 1 - number))
        entry, tip = self._ends()
        draw_words(canvas, entry, 0, self._names, LEAST_CAP_MM, BOLD)
        below = LEAST_CAP_MM * 1.6 if self._scale_below else 0
        if not below:
            draw_words(canvas, scale_words(self._tube), self._scale_x(), self._names, LEAST_CAP_MM)
        draw_words(canvas, tip, self._tip_x(), self._names, LEAST_CAP_MM, BOLD)
        if below:
            draw_words(canvas, scale_words(self._tube), 0, self._names + below, LEAST_CAP_MM)
        canvas.restoreState()

    def _top(self) -> float:
        below = LEAST_CAP_MM * 1.6 if self._scale_below else 0
        return (self._names + 1.4 + below) * mm  # the white above is left over

    def _lumps(self, canvas: Canvas) -> None:
        floor = self._tube.bore_mm / 2 * self._flat
        for mark, call in zip(self._marks, (self._call(mark) for mark in self._marks), strict=True):
            if mark.place.all_along:
                count = max(int(self._tube.drawn_mm // 14), 1)
                for n in range(count):
                    draw_lump(canvas, (n + 0.5) * self._tube.drawn_mm / count, floor, floor * 1.6)
            elif call.x is not None:
                draw_lump(canvas, call.x, floor, floor * 1.9)

    def _draw_call(self, canvas: Canvas, call: _Call, top: float) -> None:
        """The words of one mark: with its distance from ENTRY, over the whole tube for all along, or alone."""
        middle = top + self._row / 2
        room = self._width - 2 * OVERHANG_MM
        cap = next((cap for cap in (self._cap, LEAST_CAP_MM) if width_of(call.label, cap, HEAVY) <= room), 0.0)
        if not cap:
            return  # the place stands in words below the strip
        mine = width_of(call.label, cap, HEAVY)
        end = self._tube.drawn_mm if call.x is None else call.x
        baseline = middle + cap / 2
        if call.x is None and not call.measured:
            left = max((self._tube.drawn_mm - mine) / 2, 0.0)  # the drawing has no spot for it: words, and no line
        elif call.measured:
            inside = end >= mine + 2 * (ARROW_MM + 2.5)
            left = (end - mine) / 2 if inside else end + (self._row * 1.35 + 1.5 if call.x is not None else 1.5)
            self._dimension(canvas, end, middle, (left - 1.5, left + mine + 1.5) if inside else None)
        else:
            right = end + self._row * 1.35 + 1.5
            left = right if right + mine <= room else end - mine - 2.5
            if left < 0:
                return
        left = min(max(left, 0.0), room - mine)
        canvas.setFillColor(white)
        canvas.rect(left - 0.8, middle - cap * 0.65, mine + 1.6, cap * 1.3, stroke=0, fill=1)
        canvas.setFillColor(black)
        draw_words(canvas, call.label, left, baseline, cap, HEAVY)

    def _dimension(self, canvas: Canvas, end: float, y: float, hole: tuple[float, float] | None) -> None:
        if end < 2 * ARROW_MM:
            return
        canvas.setLineWidth(0.4)
        for left, right in ((0.0, hole[0]), (hole[1], end)) if hole else ((0.0, end),):
            canvas.line(left, y, right, y)
        for tip, back in ((0.0, ARROW_MM), (end, end - ARROW_MM)):
            path = canvas.beginPath()
            path.moveTo(tip, y)
            path.lineTo(back, y - 1)
            path.lineTo(back, y + 1)
            path.close()
            canvas.drawPath(path, stroke=0, fill=1)
