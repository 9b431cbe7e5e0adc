"""A painted widget: one `draw` serves the screen and the audit."""

from collections.abc import Hashable
from dataclasses import replace
from typing import ClassVar

from PySide6.QtCore import QPoint, QPointF, QRect, QRectF, Qt
from PySide6.QtGui import QColor, QImage, QPainter, QPaintEvent, QPixmap
from PySide6.QtWidgets import QWidget

from kiosk.ui.parts.glass import Glass
from kiosk.ui.parts.lines import DESCENT_EM, hangs
from kiosk.ui.parts.pen import Pen, Record


class Drawn(QWidget):
    """Base of every part. No focus, so that a scanner's Enter never presses anything.

    `lies_on`: the color under a part that fills its whole area; what lies below need not be painted then.
    `keeps_sides`: it stands as it is where words run from right to left, and so do the parts in it.
    """

    lies_on: ClassVar[str] = ""
    keeps_sides: bool = False

    def __init__(self, glass: Glass, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.glass = glass
        self.setFocusPolicy(Qt.FocusPolicy.NoFocus)
        self.setAttribute(Qt.WidgetAttribute.WA_OpaquePaintEvent, bool(self.lies_on))

    def draw(self, pen: Pen) -> None:
        """Paint the part in its own px."""

    def area(self) -> QRectF:
        """The whole widget."""
        return QRectF(self.rect())

    @property
    def mirrored(self) -> bool:
        """Is it drawn the other way round, its letters not?"""
        return self.glass.mirrored and not self.keeps_sides

    def setGeometry(self, *place: int | QRect) -> None:
        """Where it stands in its parent, px; counted from the right where that is mirrored."""
        rect, above = QRect(*place), self.parentWidget()
        if isinstance(above, Drawn) and above.mirrored:
            rect.moveLeft(above.width() - rect.x() - rect.width())
        super().setGeometry(rect)

    def own_records(self) -> list[Record]:
        """What the part is besides what it paints: touch areas."""
        return []

    def audit(self) -> list[Record]:
        """Everything of this part (not of parts inside it), in px of the window."""
        records: list[Record] = []
        canvas = QImage(1, 1, QImage.Format.Format_RGB32)
        with QPainter(canvas) as painter:
            self.draw(Pen(painter, self.glass, records, turned=self.mirrored))
        if self.mirrored:
            records = [replace(each, rect=_from_right(each.rect, self.width())) for each in records]
        records += self.own_records()
        origin = QPointF(self.mapTo(self.window(), QPoint(0, 0)))
        owner = self.objectName() or type(self).__name__
        area = self.area()
        return [
            replace(each, rect=each.rect.translated(origin), owner=owner, cut=_is_cut(each, area)) for each in records
        ]

    def look(self) -> Hashable | None:
        """Everything the picture depends on, besides class, glass and size; None: it is painted anew every time."""
        return None

    def paintEvent(self, _event: QPaintEvent) -> None:
        look = self.look()
        with QPainter(self) as painter:
            if look is None:
                if self.lies_on:
                    painter.fillRect(self.rect(), QColor(self.glass.color(self.lies_on)))
                self._paint(painter)
            else:
                painter.drawPixmap(0, 0, self._picture(look))

    def _paint(self, painter: QPainter) -> None:
        if self.mirrored:
            painter.translate(self.width(), 0)
            painter.scale(-1, 1)
        self.draw(Pen(painter, self.glass, turned=self.mirrored))

    def _picture(self, look: Hashable) -> QPixmap:
        ratio = self.devicePixelRatio()
        key = (type(self), self.width(), self.height(), ratio, look)
        picture = self.glass.gallery.find(key)
        if picture is None:
            picture = QPixmap(self.size() * ratio)
            picture.setDevicePixelRatio(ratio)
            picture.fill(QColor(self.glass.color(self.lies_on)) if self.lies_on else Qt.GlobalColor.transparent)
            with QPainter(picture) as painter:
                self._paint(painter)
            self.glass.gallery.keep(key, picture)
        return picture


def _from_right(rect: QRectF, width: float) -> QRectF:
    return QRectF(width - rect.right(), rect.y(), rect.width(), rect.height())


def _is_cut(record: Record, area: QRectF) -> bool:
    """Does the part's edge go through the letters? A pixel of their rounding is no cut."""
    if record.kind != "text" or record.rect.isEmpty():
        return False
    below = record.font_px * DESCENT_EM if hangs(record.text) else 0.0
    return not area.adjusted(-1, -1, 1, 1).contains(record.rect.adjusted(0, 0, 0, below))
