"""Lies over every screen while nobody is there: first it dims the glass, then it hides what stands on it.

A touch only wakes: whatever lies below never hears of it, and the guard time of a new screen follows.
"""

from enum import Enum

from PySide6.QtCore import QEvent, QRectF, Signal
from PySide6.QtGui import QColor, QMouseEvent, QTouchEvent
from PySide6.QtWidgets import QWidget

from kiosk.ui.parts.drawn import Drawn
from kiosk.ui.parts.glass import Glass
from kiosk.ui.parts.pen import Pen
from kiosk.ui.parts.tube import center_line
from kiosk.ui.theme import BOLD, REGULAR, T

DIM_ALPHA = 170
"""How dark the veil is, of 255 (a choice, no source)."""

_TOUCHES = {QEvent.Type.TouchBegin, QEvent.Type.TouchUpdate, QEvent.Type.TouchEnd, QEvent.Type.TouchCancel}


class Rests(Enum):
    """How the glass rests."""

    NOT = 0
    DIM = 1
    HIDDEN = 2


class Veil(Drawn):
    """`woken`: somebody touched the resting glass, or pressed a key."""

    woken = Signal()

    def __init__(self, glass: Glass, parent: QWidget) -> None:
        super().__init__(glass, parent)
        self.rests, self._words = Rests.NOT, ("", "")
        self.hide()

    def rest(self, how: Rests, words: tuple[str, str] = ("", "")) -> None:
        """Dim, hide, or let the glass be seen. `words`: what stands on a hidden one, large and small."""
        if how is self.rests and words == self._words:
            return
        self.rests, self._words = how, words
        self.setAccessibleName(" ".join(words) if how is Rests.HIDDEN else "")
        self.setVisible(how is not Rests.NOT)
        if how is not Rests.NOT:
            self.setGeometry(self.window().rect())
            self.raise_()
            self.update()

    def wake(self) -> bool:
        """End the rest, as a touch or a key does. False: nothing rested."""
        if self.rests is Rests.NOT:
            return False
        self.rest(Rests.NOT)
        self.glass.guard.screen_changed()
        self.glass.guard.touched_at = self.glass.guard.clock()
        self.woken.emit()
        return True

    def event(self, event: QEvent) -> bool:
        if event.type() not in _TOUCHES or not isinstance(event, QTouchEvent):
            return super().event(event)
        event.accept()
        self.wake()
        return True

    def mousePressEvent(self, event: QMouseEvent) -> None:
        event.accept()
        self.wake()

    def draw(self, pen: Pen) -> None:
        if self.rests is Rests.DIM:
            dark = QColor(pen.color("rail"))
            dark.setAlpha(DIM_ALPHA)
            pen.painter.fillRect(self.area(), dark)
            return
        pen.fill(self.area(), "rail")
        middle, (large, small) = self.height() / 2, self._words
        room = QRectF(0, middle - pen.mm(8), self.width(), pen.mm(16))
        stands = pen.text(room, large, ((T.T5, 1), (T.T4, 1)), BOLD, fg="onrail", bg="rail", align="center")
        center_line(pen, 0, stands.left() - pen.mm(5), middle)
        center_line(pen, stands.right() + pen.mm(5), self.width(), middle)
        under = QRectF(0, middle + pen.mm(9), self.width(), pen.mm(10))
        pen.text(under, small, ((T.T2, 1), (T.T1, 1)), REGULAR, fg="onrail2", bg="rail", align="center")
