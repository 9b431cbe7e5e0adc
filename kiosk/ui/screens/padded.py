"""A screen with a key pad: where the pad and the keys beside it stand, and how a keyboard reaches it."""

from PySide6.QtWidgets import QWidget

from kiosk.core import views
from kiosk.ui.parts.glass import Glass
from kiosk.ui.parts.keypad import GAP_MM, KeyPad
from kiosk.ui.screens.screen import Screen

SIDE_MM = 60.0  # the keys left of the pad


class PadScreen(Screen):
    """The pad in the middle under its question, with a column of keys at its left where something is to be chosen."""

    def __init__(self, glass: Glass, parent: QWidget | None = None) -> None:
        super().__init__(glass, parent)
        self.pad: KeyPad | None = None

    def key_typed(self, text: str) -> None:
        """A digit, a backspace or Enter from a keyboard."""
        if self.pad is not None:
            self.pad.typed(text)

    def show_words(self, view: views.Screen) -> None:
        """Rails and question; the question's height is the same with a notice and without."""
        self.show_rails(view)
        self.show_question(view.title, view.help, view.facts, view.notice, tight=True)

    def place_pad(self, pad: KeyPad, beside: list[QWidget]) -> None:
        """The pad, and keys under each other at its left, the last at its foot."""
        self.pad = pad
        wide, high = pad.size_mm()
        width, height = self.slot_mm
        metrics = self.glass.metrics
        gap = metrics.gap_mm
        under = GAP_MM - (metrics.hand_mm - metrics.key_mm) / 2  # least room to the keys of the hand rail
        side = SIDE_MM + gap if beside else 0.0
        left, top = (width - wide - side) / 2, max(0.0, min((height - high) / 2 - 0.4, height - high - under))
        self.place(pad, left + side, top, wide, high)
        tall = 18.0 if metrics.small else 20.0  # as high as the pad's own
        for n, key in enumerate(reversed(beside)):
            y = top + high - (n + 1) * tall - n * 4.0
            self.place(key, left, y, SIDE_MM, tall)
