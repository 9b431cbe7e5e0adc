"""Quiet charts on paper, in black and white: points with limits that step, bars, marks along a lumen."""

from collections import Counter

from reportlab.lib.colors import black, white
from reportlab.lib.units import mm
from reportlab.pdfgen.canvas import Canvas
from reportlab.platypus import Flowable, Paragraph

from kiosk.core.label_places import Box as Place
from kiosk.core.label_places import beside, placed
from kiosk.core.views.charting import BarsDrawing, ChartDrawing, Drawing, DrawnBar, MarksDrawing
from kiosk.lumen.section import Box, hatch
from kiosk.paper.page import HAIR_MM
from kiosk.paper.type import BOLD, LEAST_CAP_MM, REGULAR, height_of, paragraph, width_of

CHART_MM, MARKS_MM, BAR_STEP_MM, TWO_LINES_MM, LINE_STEP_MM = 62.0, 44.0, 7.2, 9.6, 4.2
LINE_MM, DOT_MM, OUT_MM = 0.375, 0.8, 1.7
LABEL_MM, ABOVE_MM, BELOW_MM = 5.0, 7.0, 9.0
BAR_MM = 3.6
NAMES_SHARE = 0.5
WALL_MM, BORE_MM = 1.6, 4.0
COLUMNS = 40
CAP_MM = LEAST_CAP_MM


class Charted(Flowable):
    """A chart as wide as its column."""

    def __init__(self, drawing: Drawing, width_mm: float) -> None:
        super().__init__()
        self._drawing, self._wide = drawing, width_mm
        match drawing:
            case BarsDrawing():
                self._high = sum(_steps_down(drawing, width_mm))
            case ChartDrawing():
                self._high = CHART_MM
            case MarksDrawing():
                self._high = MARKS_MM

    def wrap(self, _width: float, _height: float) -> tuple[float, float]:
        return self._wide * mm, (self._high + 2) * mm

    def draw(self) -> None:
        """In mm that run down from the upper left corner."""
        canvas: Canvas = self.canv
        canvas.saveState()
        canvas.translate(0, (self._high + 1) * mm)
        canvas.scale(mm, -mm)
        canvas.setStrokeColor(black)
        canvas.setFillColor(black)
        match self._drawing:
            case ChartDrawing():
                _chart(canvas, self._drawing, self._wide, self._high)
            case BarsDrawing():
                _bars(canvas, self._drawing, self._wide)
            case MarksDrawing():
                _marks(canvas, self._drawing, self._wide, self._high)
        canvas.restoreState()


def _words(
    canvas: Canvas, text: str, left: float, baseline: float, *, face: str = REGULAR, cap: float = CAP_MM
) -> None:
    """One line; the canvas runs down, letters do not."""
    part = paragraph(text, cap, face)
    part.wrap(1e6, 1e6)
    canvas.saveState()
    canvas.translate(left, baseline)
    canvas.scale(1 / mm, -1 / mm)
    part.drawOn(canvas, 0, part.style.fontSize - part.style.leading)
    canvas.restoreState()


def _chart(canvas: Canvas, drawing: ChartDrawing, wide: float, high: float) -> None:
    left = max(width_of(words, CAP_MM, REGULAR) for _, words in drawing.ticks) + 3
    right = max(width_of(words, CAP_MM, REGULAR) for words in (drawing.usual, drawing.limit)) + 4
    top, bottom = ABOVE_MM, high - BELOW_MM
    foot, most = drawing.foot, drawing.top

    def y(value: float) -> float:
        return bottom - (bottom - top) * (min(max(value, foot), most) - foot) / (most - foot)

    canvas.setLineWidth(HAIR_MM)
    for height, words in drawing.ticks:
        canvas.setDash([0.25, 1.25])
        canvas.line(left, y(height), wide - right, y(height))
        _words(canvas, words, left - 2 - width_of(words, CAP_MM, REGULAR), y(height) + CAP_MM / 2)
    canvas.setDash([])
    step = (wide - right - left) / len(drawing.dots)
    xs = [left + (n + 0.5) * step for n in range(len(drawing.dots))]
    _steps(canvas, [y(dot.middle) for dot in drawing.dots], left, step, ())
    for limit in ([dot.upper for dot in drawing.dots], [dot.lower for dot in drawing.dots]):
        if any(limit):
            _steps(canvas, [y(value) for value in limit], left, step, (2.0, 1.25))
    last = drawing.dots[-1]
    lack = max(0.0, CAP_MM + 2 - (y(last.middle) - y(last.upper)))
    _words(canvas, drawing.limit, wide - right + 2, y(last.upper) - lack / 2 + CAP_MM / 2)
    _words(canvas, drawing.usual, wide - right + 2, y(last.middle) + lack / 2 + CAP_MM / 2)
    if drawing.joined:
        canvas.setLineWidth(LINE_MM)
        for line in drawing.lines:
            path = canvas.beginPath()
            path.moveTo(xs[0], y(line[0][0]))
            for x, (value, _) in zip(xs[1:], line[1:], strict=True):
                path.lineTo(x, y(value))
            canvas.drawPath(path)
    free = left
    for x, dot in zip(xs, drawing.dots, strict=True):
        half = width_of(dot.label, CAP_MM, REGULAR) / 2
        at = min(max(left, x - half), wide - right - 2 * half)  # never under the words at the right
        if dot.label and at >= free:
            _words(canvas, dot.label, at, bottom + 2 + CAP_MM)
            free = at + 2 * half + 3
    points = [(x, y(dot.value), dot.words) for x, dot in zip(xs, drawing.dots, strict=True)]
    _told(canvas, points, left, wide - right, bottom)
    for line in drawing.lines:
        for x, (value, out) in zip(xs, line, strict=True):
            _dot(canvas, x, y(value), out=out)


def _told(canvas: Canvas, points: list[tuple[float, float, str]], left: float, right: float, bottom: float) -> None:
    """The words of points beside them; where they would touch, higher or lower, with a line to their point."""
    told = [point for point in points if point[2]]
    wanted = []
    for x, y, text in told:
        long = width_of(text, CAP_MM, BOLD) + 1
        at = beside(x, long, away=2.5, left=left, right=right)
        wanted.append(Place(left=at, top=y - 2 - CAP_MM, width=long, height=CAP_MM + 1))
    size = 2 * OUT_MM
    taken = [Place(left=x - OUT_MM, top=y - OUT_MM, width=size, height=size) for x, y, _ in points]
    found = placed(wanted, taken if len(told) > 1 else (), gap=0.4, low=0.0, high=bottom)
    canvas.setLineWidth(HAIR_MM)
    for (x, y, _), want, place in zip(told, wanted, found, strict=True):
        if place is not None and abs(place.top - want.top) > 1.5:
            canvas.line(x, y, min(max(x, place.left), place.right), place.top + place.height / 2)
    for (_, _, text), place in zip(told, found, strict=True):
        if place is not None:
            canvas.setFillColor(white)
            canvas.rect(place.left, place.top, place.width, place.height, stroke=0, fill=1)
            canvas.setFillColor(black)
            _words(canvas, text, place.left + 0.5, place.top + 0.5 + CAP_MM, face=BOLD)


def _dot(canvas: Canvas, x: float, y: float, *, out: bool) -> None:
    """A point; one that stands out is ringed, for paper has no color."""
    canvas.circle(x, y, DOT_MM, stroke=0, fill=1)
    if out:
        canvas.setLineWidth(LINE_MM)
        canvas.circle(x, y, OUT_MM, stroke=1, fill=0)


def _steps(canvas: Canvas, ys: list[float], left: float, step: float, dash: tuple[float, ...]) -> None:
    canvas.setLineWidth(HAIR_MM)
    canvas.setDash(list(dash))
    path = canvas.beginPath()
    path.moveTo(left, ys[0])
    for n, y in enumerate(ys):
        path.lineTo(left + n * step, y)
        path.lineTo(left + (n + 1) * step, y)
    canvas.drawPath(path)
    canvas.setDash([])


def _named(drawing: BarsDrawing, wide: float) -> float:
    """The width of the words beside the bars."""
    return min(wide * NAMES_SHARE, max(width_of(bar.words, CAP_MM, REGULAR) for bar in drawing.bars) + 1)


def _steps_down(drawing: BarsDrawing, wide: float) -> list[float]:
    """The height of each bar; more where its words take two lines or more."""
    named = _named(drawing, wide)
    lines = [round(height_of(_beside(bar), named) / height_of(_beside(bar), 1e4)) for bar in drawing.bars]
    return [BAR_STEP_MM if n < 2 else TWO_LINES_MM + (n - 2) * LINE_STEP_MM for n in lines]


def _beside(bar: DrawnBar) -> Paragraph:
    return paragraph(bar.words, CAP_MM, align="right", pitch=1.35)


def _bars(canvas: Canvas, drawing: BarsDrawing, wide: float) -> None:
    named, steps = _named(drawing, wide), _steps_down(drawing, wide)
    number = max(width_of(bar.end, CAP_MM, BOLD) for bar in drawing.bars) + 4
    most = drawing.most
    for n, bar in enumerate(drawing.bars):
        middle = sum(steps[:n]) + steps[n] / 2
        part = _beside(bar)
        high = height_of(part, named)
        canvas.saveState()
        canvas.translate(0, middle + high / 2)
        canvas.scale(1 / mm, -1 / mm)
        part.wrap(named * mm, high * mm)
        part.drawOn(canvas, 0, 0)
        canvas.restoreState()
        long = max(0.5, (wide - named - number - 3) * bar.n / most) if bar.n else 0.0
        if bar.n:
            canvas.rect(named + 3, middle - BAR_MM / 2, long, BAR_MM, stroke=0, fill=1)
        _words(canvas, bar.end, named + 5 + long, middle + CAP_MM / 2, face=BOLD)


def _marks(canvas: Canvas, drawing: MarksDrawing, wide: float, high: float) -> None:
    side = max(width_of(words, CAP_MM, BOLD) for words in (drawing.entry, drawing.tip)) + 3
    left, right, ruler = side, wide - side, high - BELOW_MM
    middle = ruler - 3 - WALL_MM - BORE_MM / 2
    for top in (middle - BORE_MM / 2 - WALL_MM, middle + BORE_MM / 2):
        wall = Box(left=left, right=right, top=top, bottom=top + WALL_MM)
        canvas.setLineWidth(HAIR_MM)
        for line in hatch(wall):
            canvas.line(line.x1, line.y1, line.x2, line.y2)
        canvas.setLineWidth(LINE_MM)
        canvas.rect(left, top, right - left, WALL_MM, stroke=1, fill=0)
    canvas.setLineWidth(HAIR_MM)
    canvas.setDash([6, 1.2, 1.2, 1.2])
    canvas.line(left - 2, middle, right + 2, middle)
    canvas.setDash([])
    _words(canvas, drawing.entry, 0, middle + CAP_MM / 2, face=BOLD)
    _words(canvas, drawing.tip, right + 3, middle + CAP_MM / 2, face=BOLD)
    canvas.setLineWidth(LINE_MM)
    canvas.line(left, ruler, right, ruler)
    for n, words in enumerate((*drawing.ticks, drawing.end)):
        x = left + (right - left) * n / len(drawing.ticks)
        canvas.line(x, ruler, x, ruler + 1.6)
        _words(canvas, words, x - width_of(words, CAP_MM, REGULAR) / 2, ruler + 2.4 + CAP_MM)
    base = middle - BORE_MM / 2 - WALL_MM - 1.6
    columns = Counter(min(int(share * COLUMNS), COLUMNS - 1) for share in drawing.shares)
    step = min((right - left) / COLUMNS, (base - 6) / max(columns.values()))
    for column, many in columns.items():
        x = left + (right - left) * (column + 0.5) / COLUMNS
        for n in range(many):
            canvas.circle(x, base - (n + 0.5) * step, min(step * 0.42, 1.2), stroke=0, fill=1)
    if drawing.words:
        long = width_of(drawing.words, CAP_MM, BOLD)
        at = min(max(0.0, left + (right - left) * drawing.heap - long / 2), wide - long)
        _words(canvas, drawing.words, at, CAP_MM, face=BOLD)
