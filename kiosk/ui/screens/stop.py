"""The work stops here: one sentence on the center line, why, and what can be done."""

from PySide6.QtCore import QRectF
from PySide6.QtWidgets import QWidget

from kiosk.core import views
from kiosk.ui.parts.drawn import Drawn
from kiosk.ui.parts.glass import Glass
from kiosk.ui.parts.pen import Pen
from kiosk.ui.parts.tube import center_line
from kiosk.ui.screens.doing import DoingScreen, Lines
from kiosk.ui.theme import BOLD, T


class Sentence(Drawn):
    """A sentence that breaks the center line."""

    def __init__(self, glass: Glass, text: str, parent: QWidget | None = None) -> None:
        super().__init__(glass, parent)
        self._text = text
        self.setAccessibleName(text)

    def draw(self, pen: Pen) -> None:
        pen.fill(self.area(), "plate")
        metrics, y = self.glass.metrics, self.height() / 2
        inset = metrics.left_mm + metrics.edge_mm + (4 if metrics.small else 14)
        room = QRectF(pen.mm(inset), pen.mm(2), self.width() - 2 * pen.mm(inset), self.height() - pen.mm(4))
        sizes = ((T.T5, 2), (T.T4, 3), (T.T3, 3), (T.T2, 4))
        stands = pen.text(room, self._text, sizes, BOLD, bg="plate", align="center")
        center_line(pen, 0, stands.left() - pen.mm(5), y)
        center_line(pen, stands.right() + pen.mm(5), self.width(), y)


class StopScreen(DoingScreen):
    """A stop, and the keys that lead on."""

    def show_view(self, view: views.StopView) -> None:
        """Show why it stops here."""
        if not self.another(view):
            return
        width, height = self.slot_mm
        edge, band = self.glass.metrics.edge_mm, self.glass.metrics.band_mm
        self.place_wide(Sentence(self.glass, view.sentence), 0, band)
        low = height - (3 if self.small else 6)
        keys = (68.0, 24.0) if self.small else (100.0, 36.0)
        gap = self.glass.metrics.gap_mm
        x = width - edge - keys[0]
        if view.main:
            self.place(self.key(view.main, size=T.T3), x, low - keys[1], *keys)
            x -= keys[0] + gap
        for other in view.others:
            self.place(self.key(other, size=T.T2), x, low - keys[1], *keys)
            x -= keys[0] + gap
        top = band + (4 if self.small else 8)
        lines = Lines(self.glass).show_lines(
            view.lines, ((T.T3, 2), (T.T2, 2), (T.T1, 3)), gap_mm=2.6 if self.small else 3.6
        )
        self.place(lines, edge, top, width - 2 * edge, low - keys[1] - 3 - top)
