"""A badge card drawn at what the panel is taken to be: held to the glass, it says how fine the panel truly is."""

from dataclasses import replace
from typing import Any

from PySide6.QtCore import QPointF, QRectF
from PySide6.QtGui import QPainterPath
from PySide6.QtWidgets import QWidget

from kiosk.core import views
from kiosk.ui.parts.drawn import Drawn
from kiosk.ui.parts.glass import Glass
from kiosk.ui.parts.keys import KeyButton
from kiosk.ui.parts.pen import Pen
from kiosk.ui.parts.tube import center_line
from kiosk.ui.screens.doing import DoingScreen
from kiosk.ui.theme import BOLD, T

CORNER_MM = 3.18
"""Radius of the card's corners (ISO/IEC 7810 ID-1; from memory)."""
FIRST_PX = 16
"""The first step of the card's width; each turn of direction halves it, down to a pixel."""
LONG_WAY = 4
"""So many steps one way, and the next are larger again (a choice)."""
LEAST_PX = 120
SIDE_MM, SIDE_SMALL_MM = 92.0, 62.0


class DrawnCard(Drawn):
    """The card, `wide_px` across, in the middle of its room, lying on the center line."""

    lies_on = "plate"

    def __init__(self, glass: Glass, words: str, shape: float, parent: QWidget | None = None) -> None:
        super().__init__(glass, parent)
        self._words, self._shape, self.wide_px = words, shape, 0
        self.setAccessibleName(words)

    def card(self) -> QRectF:
        """Where the card is drawn, in px."""
        card = QRectF(0, 0, self.wide_px, self.wide_px * self._shape)
        card.moveCenter(QPointF(self.width() / 2, self.height() / 2))
        return card

    def draw(self, pen: Pen) -> None:
        pen.fill(self.area(), "plate")
        card, middle = self.card(), self.height() / 2
        center_line(pen, 0, card.left() - pen.mm(2), middle)
        center_line(pen, card.right() + pen.mm(2), self.width(), middle)
        round_px = CORNER_MM / 85.60 * card.width()
        path = QPainterPath()
        path.addRoundedRect(card, round_px, round_px)
        pen.painter.save()
        pen.stroke("hair", 0.36)
        pen.painter.setClipPath(path)
        step = pen.mm(4.0)
        at = card.left() - card.height()
        while at < card.right():  # hatched as the wall of a tube is
            pen.line(at, card.bottom(), at + card.height(), card.top())
            at += step
        pen.painter.restore()
        pen.stroke("ink", 0.6)
        pen.painter.drawPath(path)
        for corner, x, y in (
            (card.topLeft(), 1, 1),
            (card.topRight(), -1, 1),
            (card.bottomLeft(), 1, -1),
            (card.bottomRight(), -1, -1),
        ):
            out = pen.mm(5)
            pen.line(corner.x() - x * pen.mm(1.5), corner.y(), corner.x() - x * out, corner.y())
            pen.line(corner.x(), corner.y() - y * pen.mm(1.5), corner.x(), corner.y() - y * out)
        label = QRectF(0, 0, card.width() * 0.86, min(card.height() * 0.3, pen.mm(16)))
        label.moveCenter(card.center())
        pen.fill(label, "plate")
        pen.text(label, self._words, ((T.T3, 1), (T.T2, 1), (T.T2, 2), (T.T1, 2)), BOLD, bg="plate", align="center")


class CardScreen(DoingScreen):
    """Smaller and larger until the card fits; then its width in pixels says how many a millimeter has."""

    def __init__(self, glass: Glass, parent: QWidget | None = None) -> None:
        super().__init__(glass, parent)
        self._view: views.CardView | None = None
        self.drawn: DrawnCard | None = None
        self._step, self._turned, self._alike = FIRST_PX, 0, 0

    def show_view(self, view: views.CardView) -> None:
        """Show the card as large as the panel is taken to be."""
        self._view = view
        if not self.another(view):
            return
        wide, high = view.card_mm
        width, height = self.slot_mm
        edge, gap = self.glass.metrics.edge_mm, self.glass.metrics.gap_mm
        side = SIDE_SMALL_MM if self.small else SIDE_MM
        self.drawn = DrawnCard(self.glass, view.card, high / wide)
        self.drawn.wide_px = round(self.glass.metrics.true_px_per_mm * wide)
        self._step, self._turned, self._alike = FIRST_PX, 0, 0
        low = 3.0 if self.small else 6.0
        self.place(self.drawn, 0, 0, width - side - 2 * edge, height - (low if self.small else 0))
        x, tall = width - edge - side, 24.0 if self.small else 34.0
        half = (side - gap) / 2
        smaller = KeyButton(self.glass, view.smaller, icon="minus", action="smaller", repeats=True, size=T.T2)
        larger = KeyButton(self.glass, view.larger, icon="plus", action="larger", repeats=True, size=T.T2)
        smaller.tapped.connect(self.smaller)
        larger.tapped.connect(self.larger)
        if self.small:
            half, tall = side, 20.0
        rows = [smaller, larger]
        top = low
        for n, key in enumerate(rows):
            left = x if self.small else x + n * (half + gap)
            self.place(key, left, top + (n * (tall + 4) if self.small else 0), half, tall)
        fits = self.key(replace(view.fits, send=None), size=T.T3)  # the screen fills it in
        fits.tapped.connect(self._fits)
        self.place(fits, x, height - low - tall, side, tall)

    def smaller(self) -> None:
        """A step smaller."""
        self._grow(-1)

    def larger(self) -> None:
        """A step larger."""
        self._grow(1)

    def _grow(self, way: int) -> None:
        """A step in a direction. Each turn of direction halves the step, so that it closes in on the card."""
        drawn = self.drawn
        if drawn is None:
            return
        if self._turned and way != self._turned:
            self._step = max(1, self._step // 2)
            self._alike = 0
        self._turned, self._alike = way, self._alike + 1
        if self._alike > LONG_WAY:
            self._step, self._alike = min(FIRST_PX, 2 * self._step), 0
        most = min(drawn.width() - 4, int(drawn.height() / drawn.card().height() * drawn.wide_px) - 4)
        drawn.wide_px = max(LEAST_PX, min(most, drawn.wide_px + way * self._step))
        drawn.update()

    def px_per_mm(self) -> float:
        """Pixels a millimeter of the glass, as the drawn card says."""
        if self.drawn is None or self._view is None:
            return 0.0
        return float(self.drawn.wide_px) / self._view.card_mm[0]

    def _fits(self) -> None:
        if self._view is not None:
            send: Any = self._view.fits.send
            self.send(replace(send, value=f"{self.px_per_mm():.4f}"))
