"""What will happen, said back: one plain sentence, the drawing with its flag, one key for it low on the right."""

from dataclasses import replace

from PySide6.QtCore import QRectF

from kiosk.core import views
from kiosk.ui.parts.band import LumenBand
from kiosk.ui.parts.drawn import Drawn
from kiosk.ui.parts.glass import Glass
from kiosk.ui.parts.keys import KeyButton
from kiosk.ui.parts.pen import Pen
from kiosk.ui.parts.ring import draw_ring
from kiosk.ui.parts.words import Words
from kiosk.ui.screens.doing import DoingScreen, stack
from kiosk.ui.theme import BOLD, EXTRA, T

_TINTS = {"found": ("found", "found_tint"), "clear": ("clear", "clear_tint")}


class SaidBack(Drawn):
    """Ring and word, what was said and where as one sentence, and why it goes that way. Nothing to touch."""

    def __init__(self, glass: Glass, view: views.DecisionView) -> None:
        super().__init__(glass)
        self._view = view

    def draw(self, pen: Pen) -> None:
        view, small = self._view, self.glass.metrics.small
        fg, tint = _TINTS.get(view.ring, ("unsure", "unsure_tint"))
        pen.plate(self.area(), tint, outside="field")
        pad, side = (3.5, 11.0) if small else (6.0, 17.0)
        room = self.area().adjusted(pen.mm(pad), pen.mm(pad), -pen.mm(pad), -pen.mm(pad))
        draw_ring(pen, QRectF(room.left(), room.top(), pen.mm(side), pen.mm(side)), view.ring)
        start = room.left() + pen.mm(side + pad)
        word = QRectF(start, room.top(), room.right() - start, pen.mm(side))
        pen.text(word, view.word, ((T.T6, 1), (T.T5, 1), (T.T4, 1)), EXTRA, fg=fg, bg=tint)
        room.setTop(room.top() + pen.mm(side + (3.5 if small else 6.5)))
        said = QRectF(room.left(), room.top(), room.width(), room.height() * 0.55)
        sentence = ", ".join(part for part in (view.said, view.place) if part) + "."
        sizes = ((T.T3, 2), (T.T2, 3), (T.T1, 4)) if small else ((T.T5, 2), (T.T4, 3), (T.T3, 4))
        stands = pen.text(said, sentence, sizes, BOLD, bg=tint, up="top", pitch=1.6)
        room.setTop(stands.bottom() + pen.mm(4 if small else 6.5))
        stack(pen, room, view.because, ((T.T2, 2), (T.T1, 3)), bg=tint, gap_mm=2.4 if small else 4)


class DecisionScreen(DoingScreen):
    """The say-it-back page."""

    def show_view(self, view: views.DecisionView) -> None:
        """Show a decision; a moved mark or a kept picture changes it in place."""
        hand = view.hand
        if self.small:  # the slot has room for one other key; a second stands in the hand rail
            hand = replace(hand, right=(*hand.right, *view.others[1:]))
        if self.another(view, hand):
            (self._fill_small if self.small else self._fill)(view)

    def _fill(self, view: views.DecisionView) -> None:
        width, height = self.slot_mm
        top = self._band(view, 45.0) + 5
        low = height - 4
        self.place(SaidBack(self.glass, view), 8, top, 156, low - top)
        left, right = 172.0, width - 8
        self._row(view, left, top, right, moves=36, photo=66, gap=6)
        if view.photo_state:
            self._state(view, left, top + 22 if self._row_there(view) else top, right - left, 7)
        if view.main:
            self.place(self.key(view.main, size=T.T3), right - 90, low - 40, 90, 40)
        high = min(28.0, (40.0 - 4 * (len(view.others) - 1)) / max(1, len(view.others)))
        for n, other in enumerate(view.others):
            self.place(self.key(other), left, low - (len(view.others) - n) * (high + 4) + 4, 66, high)

    def _fill_small(self, view: views.DecisionView) -> None:
        width, height = self.slot_mm
        top = self._band(view, 31.0) + 3.5
        low = height - 3
        self.place(SaidBack(self.glass, view), 5, top, 89, low - top)
        left, right = 98.0, width - 5
        self._row(view, left, top, right, moves=26, photo=right - left - 60, gap=4)
        if view.photo_state:
            at = left + 60 if view.moves else left
            self._state(view, at, top, right - at, 18)
        if view.main:
            self.place(self.key(view.main), right - 67, low - 28, 67, 28)
        for other in view.others[:1]:
            self.place(self.key(other), left, low - 28, right - left - 71, 28)

    def _band(self, view: views.DecisionView, high: float) -> float:
        band = LumenBand(self.glass)
        self.place_wide(band, 0, high)
        band.show_band(view.band or views.Band(words=view.place))
        return high

    def _row_there(self, view: views.DecisionView) -> bool:
        return bool(view.moves or view.photo)

    def _row(
        self, view: views.DecisionView, left: float, top: float, right: float, *, moves: float, photo: float, gap: float
    ) -> None:
        """One centimeter either way, and the picture."""
        for n, move in enumerate(view.moves):
            key = KeyButton(
                self.glass,
                move.label,
                icon=move.icon,
                icon_right=n == len(view.moves) - 1,
                action=move.name,
                payload=move.send,
                name=move.name,
                repeats=True,
            )
            self.place(key, left + n * (moves + gap), top, moves, 18)
        if view.photo and not (self.small and view.photo_state):
            self.place(self.key(view.photo), right - photo, top, photo, 18)

    def _state(self, view: views.DecisionView, x: float, y: float, wide: float, high: float) -> None:
        words = Words(self.glass, view.photo_state, size=((T.T2, 2), (T.T1, 3)), weight=BOLD, fg="ink2", pitch=1.5)
        self.place(words, x, y, wide, high)
