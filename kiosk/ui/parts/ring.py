"""The hole seen end on: open, with a lump on its lower wall, broken and hatched; a dot where nobody looked yet."""

from math import pi

from PySide6.QtCore import QPointF, QRectF, Qt
from PySide6.QtGui import QPainterPath, QPen
from PySide6.QtWidgets import QWidget

from kiosk.core.views import Ring
from kiosk.ui.parts.drawn import Drawn
from kiosk.ui.parts.glass import Glass
from kiosk.ui.parts.pen import Pen
from kiosk.ui.theme import EXTRA, T

WALL = 0.122  # of the diameter
_LUMP = ((0.04, 0.28, 0.255), (0.49, 0.23, 0.34), (-0.06, 0.68, 0.40), (0.35, 0.78, 0.52))  # x, y, r in radii
_DASHES, _DASHES_COARSE = 12, 8
_COLORS: dict[Ring, str] = {"clear": "clear", "found": "found", "unsure": "unsure", "now": "ink", "todo": "line"}


def draw_ring(
    pen: Pen, rect: QRectF, ring: Ring, *, fg: str = "", hole: str = "plate", number: str = "", on: str = "plate"
) -> None:
    """Draw a ring filling a square; `fg` and `hole` are tokens, `number` stands in the ring being looked at."""
    color = pen.color(fg or _COLORS[ring])
    painter, diameter = pen.painter, rect.width()
    painter.setPen(Qt.PenStyle.NoPen)
    painter.setBrush(color)
    if ring == "todo":
        painter.drawEllipse(rect.center(), diameter * 0.18, diameter * 0.18)
    elif ring == "now":
        painter.drawEllipse(rect)
        if number:
            choices = ((T.T2, 1), (T.T1, 1))
            inside = rect.adjusted(rect.width() * 0.12, 0, -rect.width() * 0.12, 0)
            pen.text(inside, number, choices, EXTRA, fg=hole, bg=fg or "ink", align="center")
        else:
            painter.setBrush(pen.color(on))
            painter.drawEllipse(rect.center(), diameter * 0.2, diameter * 0.2)
    elif ring == "unsure":
        _broken(pen, rect, fg or "unsure", hole)
    else:
        painter.drawEllipse(rect)
        wall = diameter * WALL
        painter.setBrush(pen.color(hole))
        painter.drawEllipse(rect.adjusted(wall, wall, -wall, -wall))
        if ring == "found":
            painter.setBrush(color)
            painter.drawPath(_lump(rect))


def draw_to_go(pen: Pen, rect: QRectF, share: float) -> QRectF:
    """The ring of a sleeping YES, filled clockwise by the share done; returns the room inside it."""
    wall = rect.width() * WALL
    middle = rect.adjusted(wall / 2, wall / 2, -wall / 2, -wall / 2)
    inside = rect.adjusted(wall, wall, -wall, -wall)
    pen.solid("well")
    pen.painter.drawEllipse(inside)
    pen.stroke("bore", wall / pen.mm(1))
    pen.painter.drawEllipse(middle)
    pen.stroke("clear_edge", wall / pen.mm(1))
    pen.painter.drawArc(middle, 90 * 16, -round(min(max(share, 0.0), 1.0) * 360 * 16))
    return inside


def _lump(rect: QRectF) -> QPainterPath:
    radius, center = rect.width() / 2, rect.center()
    lump = QPainterPath()
    for x, y, r in _LUMP:
        blob = QPainterPath()
        blob.addEllipse(center + QPointF(x, y) * radius, r * radius, r * radius)
        lump = lump.united(blob)
    within = QPainterPath()
    within.addEllipse(rect)
    return lump.intersected(within)


def _broken(pen: Pen, rect: QRectF, fg: str, hole: str) -> None:
    painter, diameter = pen.painter, rect.width()
    wall = diameter * WALL
    inside = rect.adjusted(wall, wall, -wall, -wall)
    within = QPainterPath()
    within.addEllipse(inside)
    painter.setBrush(pen.color(hole))
    painter.drawPath(within)
    painter.save()
    painter.setClipPath(within)
    coarse = diameter < pen.mm(10)
    painter.setPen(QPen(pen.color(fg), diameter * (0.085 if coarse else 0.048)))
    step = diameter * (0.36 if coarse else 0.19)
    for n in range(-4, 5):
        middle = rect.center() + QPointF(n * step / 2, n * step / 2)
        painter.drawLine(middle + QPointF(-diameter / 2, diameter / 2), middle + QPointF(diameter / 2, -diameter / 2))
    painter.restore()
    dash = pi * (diameter - wall) / (_DASHES_COARSE if coarse else _DASHES) / wall
    edge = QPen(pen.color(fg), wall, Qt.PenStyle.CustomDashLine, Qt.PenCapStyle.FlatCap)
    edge.setDashPattern([dash * 0.56, dash * 0.44])
    edge.setDashOffset(dash * 0.28)
    painter.setPen(edge)
    painter.setBrush(Qt.BrushStyle.NoBrush)
    painter.drawEllipse(rect.adjusted(wall / 2, wall / 2, -wall / 2, -wall / 2))


class RingMark(Drawn):
    """A ring by itself; it fills the smaller side of the widget."""

    def __init__(self, glass: Glass, ring: Ring, *, bg: str = "field", parent: QWidget | None = None) -> None:
        super().__init__(glass, parent)
        self._ring, self._bg = ring, bg

    def show_ring(self, ring: Ring) -> None:
        self._ring = ring
        self.update()

    def draw(self, pen: Pen) -> None:
        side = min(self.width(), self.height())
        rect = QRectF((self.width() - side) / 2, (self.height() - side) / 2, side, side)
        draw_ring(pen, rect, self._ring, on=self._bg)
