"""A screen with a key pad: where the pad, its words and the keys beside it stand, and how a keyboard reaches it."""

from PySide6.QtCore import QRectF
from PySide6.QtWidgets import QWidget

from kiosk.core import views
from kiosk.ui.parts.drawn import Drawn
from kiosk.ui.parts.glass import Glass
from kiosk.ui.parts.keypad import KeyPad
from kiosk.ui.parts.pen import Pen
from kiosk.ui.screens.screen import Screen
from kiosk.ui.theme import BOLD, REGULAR, T

SIDE_MM = 60.0  # the column left of the pad
SIDE_GAP_MM = 8.0


class SideQuestion(Drawn):
    """The question in a narrow column, its help line or the notice under it."""

    def __init__(self, glass: Glass, parent: QWidget | None = None) -> None:
        super().__init__(glass, parent)
        self._title, self._second, self._notice = "", "", False

    def show_words(self, view: views.Screen) -> None:
        self._title, self._second, self._notice = view.title, view.notice or view.help, bool(view.notice)
        self.update()

    def draw(self, pen: Pen) -> None:
        sizes = ((T.T5, 3), (T.T4, 4), (T.T3, 5), (T.T2, 6))
        stands = pen.text(
            QRectF(0, 0, self.width(), self.height() * 0.62), self._title, sizes, BOLD, up="top", pitch=1.6
        )
        rest = QRectF(0, stands.bottom() + pen.mm(5), self.width(), self.height() - stands.bottom() - pen.mm(5))
        weight, fg = (BOLD, "ink") if self._notice else (REGULAR, "ink2")
        pen.text(rest, self._second, ((T.T2, 4), (T.T1, 5)), weight, fg=fg, up="top", pitch=1.6)


class PadScreen(Screen):
    """The pad under its question; on the 10-inch screen, whose height the pad needs, beside it."""

    def __init__(self, glass: Glass, parent: QWidget | None = None) -> None:
        super().__init__(glass, parent)
        self.pad: KeyPad | None = None
        self._side: SideQuestion | None = None

    def key_typed(self, text: str) -> None:
        """A digit, a backspace or Enter from a keyboard."""
        if self.pad is None or not text:
            return
        if text in "\r\n":
            self.pad.finish()
        elif text == "\b":
            self.pad.erase()
        else:
            self.pad.press(text)

    def show_words(self, view: views.Screen) -> None:
        """Rails and question."""
        self.show_rails(view)
        if self.glass.metrics.small:
            self.show_question("")
        else:
            self.show_question(view.title, view.help, view.facts, view.notice)
        if self._side is not None:
            self._side.show_words(view)

    def place_pad(self, pad: KeyPad, beside: list[QWidget], *, high_mm: float = 20.0) -> None:
        """The pad, with keys `high_mm` high under each other in the column at its left."""
        self.pad = pad
        small, edge = self.glass.metrics.small, self.glass.metrics.edge_mm
        wide, high = pad.size_mm()
        width, height = self.slot_mm
        top = (height - high) / 2
        column = small or bool(beside)
        left = width - edge - wide if small else (width - wide - (SIDE_MM + SIDE_GAP_MM if column else 0)) / 2
        left += SIDE_MM + SIDE_GAP_MM if beside and not small else 0
        self.place(pad, left, top, wide, high)
        x = edge if small else left - SIDE_MM - SIDE_GAP_MM
        y = top + high
        for key in reversed(beside):
            y -= high_mm + 4
            self.place(key, x, y + 4 - 4, SIDE_MM, high_mm)
        if small:
            self._side = SideQuestion(self.glass)
            self.place(self._side, x, top + 2, SIDE_MM, y - top - 6 if beside else high - 2)
