"""Quiet charts, painted from drawing data: points with limits that step, bars, marks along a lumen. Ink only."""

from collections import Counter

from PySide6.QtCore import QPointF, QRectF, Qt
from PySide6.QtGui import QFontMetricsF, QPolygonF

from kiosk.core.label_places import Box, beside, placed
from kiosk.core.views import BarsDrawing, ChartDrawing, Drawing, MarksDrawing
from kiosk.ui.parts.lines import fit_lines
from kiosk.ui.parts.pen import Pen
from kiosk.ui.parts.tube import center_line
from kiosk.ui.theme import BOLD, REGULAR, T, font

DOT_MM, OUT_MM = 1.0, 1.9
LINE_MM, THIN_MM = 0.35, 0.25
LABEL_MM = 7.0  # under the axis
ABOVE_MM = 8.0  # over the highest tick, for the words of the named point
BAR_MM, BAR_STEP_MM = 4.6, 9.5
NAME_MM = 5.0  # the words of a point
TICK_MM = 6.0  # between two numbers on the axis, at least
TUBE_MM = 9.0  # the drawn lumen with its walls
NAMES_SHARE = 0.6  # of the width, at most, for the words beside bars
COLUMNS = 32  # of marks along the lumen, each column a heap


def paint_drawing(pen: Pen, area: QRectF, drawing: Drawing, bg: str) -> None:
    """Paint a chart into an area in px, on a ground of that color."""
    match drawing:
        case ChartDrawing():
            _paint_chart(pen, area, drawing, bg)
        case BarsDrawing():
            _paint_bars(pen, area, drawing, bg)
        case MarksDrawing():
            _paint_marks(pen, area, drawing, bg)


def _wide(pen: Pen, text: str, size: T, weight: int = REGULAR) -> float:
    return QFontMetricsF(font(pen.glass.metrics.tries(size)[-1], weight)).horizontalAdvance(text)


def _paint_chart(pen: Pen, area: QRectF, drawing: ChartDrawing, bg: str) -> None:
    left = max(_wide(pen, words, T.T1) for _, words in drawing.ticks) + pen.mm(3)
    right = max(_wide(pen, words, T.T1) for words in (drawing.usual, drawing.limit)) + pen.mm(4)
    above = ABOVE_MM if any(dot.words for dot in drawing.dots) else 3.0
    room = area.adjusted(left, pen.mm(above), -right, -pen.mm(LABEL_MM))
    foot, top = drawing.foot, drawing.top

    def y(value: float) -> float:
        return room.bottom() - room.height() * (min(max(value, foot), top) - foot) / (top - foot)

    every = -(-pen.mm(TICK_MM) // (room.height() / max(1, len(drawing.ticks) - 1)))
    zero = next((n for n, (height, _) in enumerate(drawing.ticks) if not height), 0)
    for n, (height, words) in enumerate(drawing.ticks):
        if (n - zero) % every:
            continue
        pen.stroke("hair", THIN_MM)
        pen.line(room.left(), y(height), room.right(), y(height))
        box = QRectF(area.left(), y(height) - pen.mm(3), left - pen.mm(2), pen.mm(6))
        pen.text(box, words, T.T1, fg="ink2", bg=bg, align="right")
    step = room.width() / len(drawing.dots)
    xs = [room.left() + (n + 0.5) * step for n in range(len(drawing.dots))]
    _steps(pen, [y(dot.middle) for dot in drawing.dots], room, step, "line", dashed=False)
    _steps(pen, [y(dot.upper) for dot in drawing.dots], room, step, "ink2", dashed=True)
    if any(dot.lower for dot in drawing.dots):
        _steps(pen, [y(dot.lower) for dot in drawing.dots], room, step, "ink2", dashed=True)
    last = drawing.dots[-1]
    ends = _apart([y(last.upper), y(last.middle)], pen.mm(5.4))
    for words, at in zip((drawing.limit, drawing.usual), ends, strict=True):
        box = QRectF(room.right() + pen.mm(2), at - pen.mm(3), right - pen.mm(2), pen.mm(6))
        pen.text(box, words, T.T1, fg="ink2", bg=bg)
    lines = [[QPointF(x, y(value)) for x, (value, _) in zip(xs, line, strict=True)] for line in drawing.lines]
    if drawing.joined:
        pen.stroke("ink", LINE_MM)
        for places in lines:
            pen.painter.drawPolyline(QPolygonF(places))
    _labels(pen, room, drawing, xs, bg)
    _named(pen, QRectF(room.left(), area.top(), room.width(), room.bottom() - area.top()), drawing, lines[0], bg)
    for places, heights in zip(lines, drawing.lines, strict=True):
        for point, (_, out) in zip(places, heights, strict=True):
            pen.solid("found" if out else "ink")
            radius = pen.mm(OUT_MM if out else DOT_MM)
            pen.painter.drawEllipse(point, radius, radius)


def _named(pen: Pen, area: QRectF, drawing: ChartDrawing, dots: list[QPointF], bg: str) -> None:
    """The words of points beside them; where they would touch, higher or lower, with a line to their point."""
    away, high, size = pen.mm(3), pen.mm(NAME_MM), pen.mm(2 * OUT_MM)
    told = [(point, dot.words) for point, dot in zip(dots, drawing.dots, strict=True) if dot.words]
    wanted = []
    for point, text in told:
        wide = _wide(pen, text, T.T1, BOLD) + pen.mm(1)
        x = beside(point.x(), wide, away=away, left=area.left(), right=area.right())
        wanted.append(Box(left=x, top=max(area.top(), point.y() - pen.mm(6.5)), width=wide, height=high))
    taken = [Box(left=dot.x() - size / 2, top=dot.y() - size / 2, width=size, height=size) for dot in dots]
    found = placed(wanted, taken if len(told) > 1 else (), gap=pen.mm(0.4), low=area.top(), high=area.bottom())
    pen.stroke("found", THIN_MM)
    for (point, _), want, box in zip(told, wanted, found, strict=True):
        if box is not None and abs(box.top - want.top) > pen.mm(1.5):
            pen.line(point.x(), point.y(), min(max(point.x(), box.left), box.right), box.top + box.height / 2)
    for (_, text), box in zip(told, found, strict=True):
        if box is not None:
            room = QRectF(box.left, box.top, box.width, box.height)
            pen.fill(room, bg)
            pen.text(room, text, T.T1, BOLD, fg="found", bg=bg)


def _steps(pen: Pen, ys: list[float], room: QRectF, step: float, token: str, *, dashed: bool) -> None:
    """A line that steps from point to point."""
    pen.stroke(token, THIN_MM)
    if dashed:
        line = pen.painter.pen()
        line.setStyle(Qt.PenStyle.CustomDashLine)
        line.setDashPattern([8, 5])
        pen.painter.setPen(line)
    points = []
    for n, y in enumerate(ys):
        points += [QPointF(room.left() + n * step, y), QPointF(room.left() + (n + 1) * step, y)]
    pen.painter.drawPolyline(QPolygonF(points))


def _apart(ys: list[float], least: float) -> list[float]:
    """Two heights, the upper first, moved apart where they would touch."""
    upper, lower = ys
    lack = least - (lower - upper)
    return [upper - max(0.0, lack) / 2, lower + max(0.0, lack) / 2]


def _labels(pen: Pen, room: QRectF, drawing: ChartDrawing, xs: list[float], bg: str) -> None:
    """Labels under the axis; one that would touch the one before is left out."""
    free = room.left()
    for x, dot in zip(xs, drawing.dots, strict=True):
        wide = _wide(pen, dot.label, T.T1)
        left = min(max(room.left(), x - wide / 2), room.right() - wide)  # never under the words at the right
        if dot.label and left >= free:
            box = QRectF(left, room.bottom() + pen.mm(1.5), wide + 1, pen.mm(LABEL_MM - 1.5))
            pen.text(box, dot.label, T.T1, fg="ink2", bg=bg)
            free = left + wide + pen.mm(3)


def _paint_bars(pen: Pen, area: QRectF, drawing: BarsDrawing, bg: str) -> None:
    step = min(pen.mm(BAR_STEP_MM), area.height() / max(1, len(drawing.bars)))
    most = drawing.most
    named = min(area.width() * NAMES_SHARE, max(_wide(pen, bar.words, T.T1) for bar in drawing.bars) + pen.mm(2))
    number = max(_wide(pen, bar.end, T.T2, BOLD) for bar in drawing.bars) + pen.mm(4)
    room = area.width() - named - number - pen.mm(3)
    for n, bar in enumerate(drawing.bars):
        middle = area.top() + (n + 0.5) * step
        box = QRectF(area.left(), middle - step / 2, named, step)
        pen.text(box, bar.words, ((T.T1, 1), (T.T1, 2)), bg=bg, align="right", pitch=1.4)
        long = max(pen.mm(0.8), room * bar.n / most) if bar.n else 0.0
        high = min(pen.mm(BAR_MM), step * 0.66)
        pen.fill(QRectF(area.left() + named + pen.mm(3), middle - high / 2, long, high), "ink")
        box = QRectF(area.left() + named + pen.mm(5) + long, middle - step / 2, number, step)
        pen.text(box, bar.end, ((T.T2, 1), (T.T1, 1)), BOLD, bg=bg)


def _paint_marks(pen: Pen, area: QRectF, drawing: MarksDrawing, bg: str) -> None:
    side = max(_wide(pen, words, T.T1, BOLD) for words in (drawing.entry, drawing.tip)) + pen.mm(3)
    left, right = area.left() + side, area.right() - side
    ruler = area.bottom() - pen.mm(8)
    middle = ruler - pen.mm(3) - pen.mm(TUBE_MM / 2)
    _tube(pen, left, right, middle)
    center_line(pen, left - pen.mm(2), right + pen.mm(2), middle)
    for words, box in (
        (drawing.entry, QRectF(area.left(), middle - pen.mm(3), side - pen.mm(2), pen.mm(6))),
        (drawing.tip, QRectF(right + pen.mm(3), middle - pen.mm(3), side - pen.mm(3), pen.mm(6))),
    ):
        pen.text(box, words, T.T1, BOLD, bg=bg)
    pen.stroke("ink", 0.3)
    pen.line(left, ruler, right, ruler)
    for n, words in enumerate((*drawing.ticks, drawing.end)):
        x = left + (right - left) * n / len(drawing.ticks)
        pen.line(x, ruler, x, ruler + pen.mm(1.8))
        pen.text(QRectF(x - pen.mm(8), ruler + pen.mm(2), pen.mm(16), pen.mm(5)), words, T.T1, bg=bg, align="center")
        pen.stroke("ink", 0.3)
    _heaps(pen, drawing, area, left, right, middle - pen.mm(TUBE_MM / 2 + 2.4))
    if drawing.words:
        size = fit_lines(pen.glass, drawing.words, area.size(), ((T.T1, 1),), BOLD)
        wide = max(size.widths) + 1
        x = min(max(area.left(), left + (right - left) * drawing.heap - wide / 2), area.right() - wide)
        pen.text(QRectF(x, area.top(), wide, pen.mm(5)), drawing.words, T.T1, BOLD, fg="found", bg=bg)


def _tube(pen: Pen, left: float, right: float, middle: float) -> None:
    """Two walls, hatched."""
    wall, bore = pen.mm(2.0), pen.mm(TUBE_MM / 2 - 2.0)
    for top in (middle - bore - wall, middle + bore):
        rect = QRectF(left, top, right - left, wall)
        pen.stroke("ink2", 0.17)
        pen.painter.save()
        pen.painter.setClipRect(rect)
        x = left - wall
        while x < right:
            pen.line(x, rect.bottom(), x + wall, rect.top())
            x += pen.mm(1.6)
        pen.painter.restore()
        pen.stroke("ink", LINE_MM)
        pen.painter.drawRect(rect)


def _heaps(pen: Pen, drawing: MarksDrawing, area: QRectF, left: float, right: float, base: float) -> None:
    """A dot a finding, those at one place on top of each other; smaller where a heap is high."""
    columns = Counter(min(int(share * COLUMNS), COLUMNS - 1) for share in drawing.shares)
    most = max(columns.values())
    step = min((right - left) / COLUMNS, (base - area.top() - pen.mm(7)) / most)
    radius = min(step * 0.42, pen.mm(1.3))
    pen.solid("found")
    for column, many in columns.items():
        x = left + (right - left) * (column + 0.5) / COLUMNS
        for n in range(many):
            pen.painter.drawEllipse(QPointF(x, base - (n + 0.5) * step), radius, radius)
