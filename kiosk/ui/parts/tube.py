"""A tube in section, painted from drawing data: walls, hatching, bore, ruler, leaders, flags, dimension lines."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from itertools import pairwise

from PySide6.QtCore import QLineF, QPointF, QRectF
from PySide6.QtGui import QFontMetricsF, QPolygonF

from kiosk.core.vocabulary import Feature
from kiosk.lumen.drawing import LumenDrawing
from kiosk.ui.parts.pen import Pen, Record, Side
from kiosk.ui.theme import BOLD, EXTRA, REGULAR, T

Spans = Sequence[tuple[float, float]]
"""What is covered of a row, each from where to where in px."""

FLAG_MM = 11.0
WORDS_HALF_MM = 2.6  # from the middle of the words over a tube to what may lie under them
OUTLINE_MM, THIN_MM, HATCH_MM = 0.42, 0.22, 0.17
CENTER_DASH_MM = (7.0, 1.4, 1.4, 1.4)


@dataclass(frozen=True, slots=True, kw_only=True)
class TubePlace:
    """Where a drawing lies in px: entry and center line, and how far its mm are stretched (1: as drawn)."""

    x: float
    y: float
    across: float = 1.0
    up: float = 1.0

    def at(self, pen: Pen, x_mm: float) -> float:
        """The px of a drawn mm from the entry."""
        return self.x + pen.mm(x_mm * self.across)


def center_line(pen: Pen, x1: float, x2: float, y: float) -> None:
    """The dash-dot line that every hole lies on."""
    pen.stroke("line", THIN_MM)
    line = pen.painter.pen()
    line.setDashPattern([length / THIN_MM for length in CENTER_DASH_MM])
    pen.painter.setPen(line)
    pen.line(x1, y, x2, y)


def paint_tube(pen: Pen, drawing: LumenDrawing, place: TubePlace, dark: tuple[float, float] | None = None) -> None:
    """Walls and bore. `dark` is the stretch of the bore that nobody has looked at, as drawn mm from the entry."""
    half = pen.mm(drawing.bore_mm * place.up / 2)
    if dark is not None and dark[0] < dark[1]:
        left, right = place.at(pen, dark[0]), place.at(pen, dark[1])
        pen.fill(QRectF(left, place.y - half, right - left, 2 * half), "bore")
    pen.stroke("ink2", HATCH_MM)
    pen.painter.drawLines(
        [
            QLineF(
                place.at(pen, each.x1),
                place.y + pen.mm(each.y1 * place.up),
                place.at(pen, each.x2),
                place.y + pen.mm(each.y2 * place.up),
            )
            for each in drawing.hatch
        ]
    )
    pen.stroke("ink", OUTLINE_MM if place.up == 1 else OUTLINE_MM * 0.7)
    for wall in drawing.walls:
        top, bottom = place.y + pen.mm(wall.top * place.up), place.y + pen.mm(wall.bottom * place.up)
        left, right = place.at(pen, wall.left), place.at(pen, wall.right)
        pen.painter.drawRect(QRectF(left, top, right - left, bottom - top))
    for mark in drawing.marks:
        if mark.feature is Feature.TOOTHED:
            _teeth(pen, place.at(pen, mark.left), place.at(pen, mark.right), place.y, half)


def _teeth(pen: Pen, left: float, right: float, y: float, half: float) -> None:
    step, depth = (right - left) / 2, half * 0.35
    pen.solid("ink")
    for n in range(2):
        x = left + n * step
        for edge, tip in ((y - half, y - half + depth), (y + half, y + half - depth)):
            pen.painter.drawPolygon(QPolygonF([QPointF(x, edge), QPointF(x + step, edge), QPointF(x + step / 2, tip)]))


def paint_front(pen: Pen, drawing: LumenDrawing, place: TubePlace, front: float, *, leftward: bool) -> None:
    """The light front: a head on the center line and three rays into the dark."""
    x, way = place.at(pen, front), -1.0 if leftward else 1.0
    pen.solid("ink")
    pen.arrow_head(x, place.y, way * pen.mm(4.4), pen.mm(2))
    pen.stroke("plate", 0.5)
    spread = min(pen.mm(2.6), pen.mm(drawing.bore_mm * 0.32))
    for turn in (-1.0, 0.0, 1.0):
        pen.line(x + way * pen.mm(1.6), place.y + turn * spread * 0.45, x + way * pen.mm(5), place.y + turn * spread)


def paint_rays(pen: Pen, x: float, y: float, *, leftward: bool) -> None:
    """Light that comes out at an end."""
    way = -1.0 if leftward else 1.0
    pen.stroke("ink", 0.55)
    for turn in (-1.0, 0.0, 1.0):
        pen.line(x + way * pen.mm(2.5), y + turn * pen.mm(2.6), x + way * pen.mm(8.9), y + turn * pen.mm(5.1))


def paint_ruler(pen: Pen, drawing: LumenDrawing, place: TubePlace, y: float, numbers_y: float) -> None:
    """Centimeters from the entry; `numbers_y` is the middle of the numbers."""
    pen.stroke("ink", 0.3)
    pen.line(place.x, y, place.at(pen, drawing.drawn_mm), y)
    for tick in drawing.ticks:
        pen.stroke("ink", 0.4 if tick.label else 0.25)
        x = place.at(pen, tick.x)
        pen.line(x, y, x, y + pen.mm(2.2 if tick.label else 1.4))
    half = pen.mm(6)
    for tick in drawing.ticks:
        x = place.at(pen, tick.x)
        pen.text(
            QRectF(x - half, numbers_y - half, 2 * half, 2 * half), tick.label, T.T1, BOLD, bg="plate", align="center"
        )


def in_words(drawing: LumenDrawing, told: Callable[[str], str]) -> LumenDrawing:
    """The drawing with the names of its places as they are said to whoever reads them."""
    return replace(drawing, leaders=tuple(replace(each, text=told(each.text)) for each in drawing.leaders))


def leader_boxes(
    pen: Pen, drawing: LumenDrawing, place: TubePlace, y: float, room: tuple[float, float]
) -> list[QRectF]:
    """Where the names of landmarks stand: over their places, moved apart where they would touch."""
    metrics = QFontMetricsF(pen.glass.font(T.T1))
    gap, tall = pen.mm(3), pen.mm(5)
    boxes: list[QRectF] = []
    for leader in drawing.leaders:
        width = metrics.horizontalAdvance(leader.text)
        wanted = max(room[0], place.at(pen, leader.x) - width / 2)
        boxes.append(QRectF(max(wanted, boxes[-1].right() + gap) if boxes else wanted, y - tall / 2, width, tall))
    end = room[1]
    for box in reversed(boxes):
        box.moveRight(min(box.right(), end))
        end = box.left() - gap
    return boxes if not boxes or boxes[0].left() >= room[0] - 0.5 else []


def paint_leaders(pen: Pen, drawing: LumenDrawing, place: TubePlace, y: float, boxes: list[QRectF]) -> None:
    """Names in their boxes, each with a line to its place; no boxes, no names."""
    foot = place.y - pen.mm(drawing.bore_mm * place.up / 2 + drawing.wall_mm * place.up + 0.3)
    for leader, box in zip(drawing.leaders, boxes, strict=False):
        pen.text(box, leader.text, T.T1, REGULAR, fg="ink2", bg="plate")
        x = place.at(pen, leader.x)
        start = min(max(x, box.left() + pen.mm(1)), box.right() - pen.mm(1))
        pen.stroke("line", THIN_MM)
        points = [QPointF(start, y + pen.mm(2.7)), QPointF(x, foot - pen.mm(0.8)), QPointF(x, foot)]
        pen.painter.drawPolyline(points)


def widest_gap(taken: list[QRectF], left: float, right: float, y: float, tall: float) -> QRectF:
    """The widest room in a row that words have not taken."""
    free, edge = (left, left), left
    for first, last in (*sorted((box.left(), box.right()) for box in taken), (right, right)):
        free = max(free, (edge, first), key=lambda span: span[1] - span[0])
        edge = max(edge, last)
    return QRectF(free[0], y - tall / 2, free[1] - free[0], tall)


def flag_room(pen: Pen, x: float, *, leftward: bool = False) -> tuple[float, float]:
    """From where to where a flag covers the row of the words, in px; its pole stands at `x`."""
    long, pole = pen.mm(FLAG_MM), pen.mm(0.8)
    return (x - long, x + pole) if leftward else (x - pole, x + long)


def paint_flag(
    pen: Pen,
    drawing: LumenDrawing,
    place: TubePlace,
    at: float,
    number: int,
    top: float,
    *,
    leftward: bool = False,
) -> None:
    """A numbered flag through the tube, and the lump on its lower wall. `at` in drawn mm, `top` in px."""
    x, way = place.at(pen, at), -1.0 if leftward else 1.0
    wall = place.y + pen.mm(drawing.bore_mm * place.up / 2)
    paint_lump(pen, x, wall)
    pen.stroke("found", 0.75)
    pen.line(x, top, x, wall + pen.mm(drawing.wall_mm * place.up + (3.4 if place.up == 1 else 0.6)))
    pen.solid("found")
    tall, long = pen.mm(8.2), way * pen.mm(FLAG_MM)
    points = [QPointF(x, top), QPointF(x + long, top + tall / 2), QPointF(x, top + tall)]
    pen.painter.drawPolygon(QPolygonF(points))
    first, last = flag_room(pen, x, leftward=leftward)
    pen.take_down(Record(kind="mark", rect=QRectF(first, top, last - first, tall), text=f"flag {number}"))
    inside = QRectF(x + (pen.mm(0.6) if not leftward else -pen.mm(7.2)), top, pen.mm(6.6), tall)
    pen.text(inside, str(number), T.T1, EXTRA, fg="on_fill", bg="found", align="center")


def paint_lump(pen: Pen, x: float, wall: float) -> None:
    """Something on the lower wall of the bore."""
    pen.solid("found")
    for dx, width, tall in ((-2.2, 2.8, 2.0), (0.4, 3.4, 3.6), (2.8, 2.4, 1.8)):
        pen.painter.drawChord(
            QRectF(x + pen.mm(dx - width), wall - pen.mm(tall), pen.mm(2 * width), pen.mm(2 * tall)), 0, 180 * 16
        )


def _distances(pen: Pen, drawing: LumenDrawing, place: TubePlace, at: float) -> list[tuple[float, float, str]]:
    """From the entry to a mark and from there to the tip: both ends in px, and true cm in words."""
    if drawing.length_mm is None:
        return []
    true = float(drawing.length_mm) / drawing.drawn_mm / 10
    found = []
    for left, right in pairwise([0.0, at, drawing.drawn_mm]):
        distance = round((right - left) * true, 1)
        found.append((place.at(pen, left), place.at(pen, right), f"{distance:g} cm" if distance > 0 else ""))
    return found


def flies_left(
    pen: Pen, drawing: LumenDrawing, place: TubePlace, at: float, covered: Spans, end: float
) -> tuple[bool, Spans]:
    """Which way a flag flies so that it covers neither measure nor the name that begins at `end`; all that is covered.

    Where neither way leaves room for both, the way to the mark is the one that is told.
    """
    x = place.at(pen, at)
    tries = []
    for leftward in (False, True):
        spans = [*covered, flag_room(pen, x, leftward=leftward)]
        stand = [
            not words or _words_at(pen, left, right, words, BOLD if n == 0 else REGULAR, spans) is not None
            for n, (left, right, words) in enumerate(_distances(pen, drawing, place, at))
        ]
        clear = spans[-1][1] <= end and spans[-1][0] >= place.x - pen.mm(1)
        tries.append(((clear, *stand), leftward, spans))
    best = max(tries, key=lambda each: each[0])
    return best[1], best[2]


def paint_distances(pen: Pen, drawing: LumenDrawing, place: TubePlace, at: float, y: float, covered: Spans) -> None:
    """Dimension lines from the entry to a mark and from there to the tip, in true cm; no words where a flag is."""
    for n, (left, right, words) in enumerate(_distances(pen, drawing, place, at)):
        if not words:
            continue
        _dimension(pen, left, right, y, words, BOLD if n == 0 else REGULAR, "ink" if n == 0 else "ink2", covered)
        inner, outer = drawing.bore_mm * place.up / 2, (drawing.bore_mm / 2 + drawing.wall_mm) * place.up
        end, foot = (left, place.y - pen.mm(outer)) if n == 0 else (right, place.y - pen.mm(inner))
        pen.stroke("line", THIN_MM)
        pen.line(end, y - pen.mm(2.4), end, foot)


def paint_place_name(pen: Pen, x: float, y: float, right: float, words: str) -> None:
    """The name of a flag's place, before its pole or past the flag, where there is more room. `right` in px."""
    tall, first, last = min(pen.mm(9), 2 * y), pen.mm(1), right - pen.mm(1)
    before = QRectF(first, y - tall / 2, x - pen.mm(2.5) - first, tall)
    past = QRectF(x + pen.mm(13), y - tall / 2, last - x - pen.mm(13), tall)
    wide = QFontMetricsF(pen.glass.font(T.T2, BOLD)).horizontalAdvance(words)
    early = wide <= before.width() or before.width() >= past.width()
    side: Side = "right" if early else "left"
    sizes = ((T.T2, 1), (T.T1, 1), (T.T1, 2))
    pen.text(before if early else past, words, sizes, BOLD, bg="plate", align=side, pitch=1.4)


def paint_length(pen: Pen, drawing: LumenDrawing, place: TubePlace, y: float, words: str) -> None:
    """A dimension line over the whole tube, with words."""
    left, right = place.at(pen, 0), place.at(pen, drawing.drawn_mm)
    _dimension(pen, left, right, y, words, BOLD, "ink")


def _words_at(
    pen: Pen, left: float, right: float, words: str, weight: int, covered: Spans
) -> tuple[float, float] | None:
    """Middle and width of the words of a dimension line: in its own middle, or in the free part next to it."""
    wide, gap = QFontMetricsF(pen.glass.font(T.T2, weight)).horizontalAdvance(words), pen.mm(1.2)
    within = sorted((max(left, a), min(right, b)) for a, b in covered if a < right and b > left)
    edge, free = left, []
    for first, last in (*within, (right, right)):
        free.append((edge, first))
        edge = max(edge, last)
    free = [(a, b) for a, b in free if b - a >= wide + gap]
    if not free:
        return None
    middle = (left + right) / 2
    first, last = min(free, key=lambda each: abs(min(max(middle, each[0] + wide / 2), each[1] - wide / 2) - middle))
    slack = min(gap, (last - first - wide) / 2)
    return min(max(middle, first + wide / 2 + slack), last - wide / 2 - slack), wide


def _dimension(
    pen: Pen, left: float, right: float, y: float, words: str, weight: int, token: str, covered: Spans = ()
) -> None:
    stands = _words_at(pen, left, right, words, weight, covered)
    if stands is None:
        return  # the words beside the drawing tell the distance
    middle, wide = stands
    gap, head = pen.mm(1.6), pen.mm(3.2)
    pen.stroke(token, THIN_MM)
    for near, end, point in ((left, middle - wide / 2 - gap, -head), (right, middle + wide / 2 + gap, head)):
        if abs(end - near) < head:
            continue
        pen.stroke(token, THIN_MM)
        pen.line(near, y, end, y)
        pen.solid(token)
        pen.arrow_head(near, y, point, pen.mm(0.8))
    tall = pen.mm(2 * WORDS_HALF_MM)
    room = QRectF(middle - wide / 2 - 1, y - tall / 2, wide + 2, tall)
    pen.text(room, words, T.T2, weight, fg=token, bg="plate", align="center")
