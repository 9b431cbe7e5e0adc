"""A part of the machine is tried: a code for the scanner, or the live picture of the camera, and what may be said."""

from itertools import groupby
from typing import Any

from PySide6.QtCore import QRectF
from PySide6.QtGui import QColor, QHideEvent
from PySide6.QtWidgets import QWidget

from kiosk.core import views
from kiosk.ui.parts.drawn import Drawn
from kiosk.ui.parts.glass import Glass
from kiosk.ui.parts.lens import Lens
from kiosk.ui.parts.pen import Pen
from kiosk.ui.screens.doing import Lines
from kiosk.ui.screens.live import LiveScreen
from kiosk.ui.theme import BOLD, T

SIDE_MM, SIDE_SMALL_MM = 92.0, 62.0
QUIET = 4  # modules of white around a code (ISO/IEC 18004)
BLACK, WHITE = QColor("#000000"), QColor("#FFFFFF")


class ShownCode(Drawn):
    """A square code in black on white, as large as its room, with its text under it."""

    lies_on = "plate"

    def __init__(
        self, glass: Glass, code: tuple[tuple[bool, ...], ...], text: str, parent: QWidget | None = None
    ) -> None:
        super().__init__(glass, parent)
        self._code, self._text = code, text
        self.setAccessibleName(text)

    def draw(self, pen: Pen) -> None:
        pen.fill(self.area(), "plate")
        if not self._code:
            return
        many = len(self._code) + 2 * QUIET
        under = pen.mm(9)
        module = int(min(self.width(), self.height() - under) / many)
        left, top = (self.width() - module * many) / 2, (self.height() - under - module * many) / 2
        pen.painter.fillRect(QRectF(left, top, module * many, module * many), WHITE)
        for y, row in enumerate(self._code):
            x = 0
            for dark, run in groupby(row):
                cells = len(list(run))
                if dark:
                    at = QRectF(left + (x + QUIET) * module, top + (y + QUIET) * module, cells * module, module)
                    pen.painter.fillRect(at.toRect(), BLACK)
                x += cells
        words = QRectF(0, top + module * many, self.width(), under)
        pen.text(words, self._text, ((T.T3, 1), (T.T2, 1)), BOLD, bg="plate", align="center", mono=True)


class TrialScreen(LiveScreen):
    """What is tried at the left, lines and keys at the right."""

    def __init__(self, glass: Glass, parent: QWidget | None = None) -> None:
        super().__init__(glass, parent)
        self._words = ""

    def show_view(self, view: views.TrialView) -> None:
        """Show what is tried."""
        self._words = view.words
        if self.another(view):
            self._build(view)
        self.look()

    def _build(self, view: views.TrialView) -> None:
        width, height = self.slot_mm
        edge, gap = self.glass.metrics.edge_mm, self.glass.metrics.gap_mm
        side, low = (SIDE_SMALL_MM, 3.0) if self.small else (SIDE_MM, 6.0)
        wide = width - side - 2 * edge - gap
        self.lens = None
        if view.code:
            self.place(ShownCode(self.glass, view.code, view.code_text), edge, 0, wide, height - low)
        else:
            self.lens = Lens(self.glass)
            self.place(self.lens, edge, 0, wide, height - low)
        x, tall = width - edge - side, 22.0 if self.small else 28.0
        top = height - low
        for key in reversed(view.keys):
            top -= tall
            self.place(self.key(key, size=T.T2), x, top, side, tall)
            top -= 4.0
        if view.lines:
            lines = Lines(self.glass).show_lines(view.lines, ((T.T3, 4), (T.T2, 4), (T.T1, 5)), gap_mm=4.0)
            self.place(lines, x, 2, side, top - 4)

    def framed(self, frame: Any) -> None:
        if self.lens is not None:
            self._words = ""
            self.lens.show_image(frame.image)

    def look(self) -> None:
        if self.lens is not None and self._words:
            self.lens.show_words(self._words)

    def hideEvent(self, event: QHideEvent) -> None:
        """A page left shows no old picture when it is opened again."""
        super().hideEvent(event)
        if self.lens is not None:
            self.lens.show_words(self._words)
