"""What will happen, said back: one plain sentence, the drawing with its flag, one key for it low on the right."""

from dataclasses import replace

from PySide6.QtCore import QRectF, QSizeF

from kiosk.core import views
from kiosk.ui.parts.band import LumenBand
from kiosk.ui.parts.drawn import Drawn
from kiosk.ui.parts.glass import Glass
from kiosk.ui.parts.keys import KeyButton
from kiosk.ui.parts.lines import fit_lines
from kiosk.ui.parts.pen import Pen
from kiosk.ui.parts.ring import draw_ring
from kiosk.ui.parts.words import Words
from kiosk.ui.screens.doing import DoingScreen, stack
from kiosk.ui.theme import BOLD, EXTRA, T

WHY_PITCH = 1.35
_WHY = ((T.T1, 6),)
_TINTS = {"found": ("found", "found_tint"), "clear": ("clear", "clear_tint")}


class SaidBack(Drawn):
    """Ring and word, what was said and where as one sentence, and below it why. Nothing to touch."""

    def __init__(self, glass: Glass, view: views.DecisionView, because: tuple[str, ...]) -> None:
        super().__init__(glass)
        self._view, self._because = view, because

    def draw(self, pen: Pen) -> None:
        view, small = self._view, self.glass.metrics.small
        fg, tint = _TINTS.get(view.ring, ("unsure", "unsure_tint"))
        pen.plate(self.area(), tint, outside="field")
        pad, side = (3.0, 10.0) if small else (6.0, 17.0)
        room = self.area().adjusted(pen.mm(pad), pen.mm(pad), -pen.mm(pad), -pen.mm(pad))
        draw_ring(pen, QRectF(room.left(), room.top(), pen.mm(side), pen.mm(side)), view.ring)
        start = room.left() + pen.mm(side + pad)
        word = QRectF(start, room.top(), room.right() - start, pen.mm(side))
        pen.text(word, view.word, ((T.T6, 1), (T.T5, 1), (T.T4, 1)), EXTRA, fg=fg, bg=tint)
        room.setTop(room.top() + pen.mm(side + (3.0 if small else 6.0)))
        said = QRectF(room.left(), room.top(), room.width(), room.height() * (0.6 if self._because else 1))
        sentence = ",\n".join(part for part in (view.said, view.place) if part) + "."
        sizes = ((T.T4, 2), (T.T3, 2), (T.T3, 3), (T.T2, 4)) if small else ((T.T5, 2), (T.T4, 2), (T.T3, 4))
        stands = pen.text(said, sentence, sizes, BOLD, bg=tint, up="top", pitch=1.45 if small else 1.6)
        room.setTop(stands.bottom() + pen.mm(6))
        stack(pen, room, self._because, ((T.T2, 2), (T.T1, 3)), bg=tint, gap_mm=3)


class DecisionScreen(DoingScreen):
    """The say-it-back page."""

    def show_view(self, view: views.DecisionView) -> None:
        """Show a decision; a moved mark or a kept picture changes it in place."""
        hand = view.hand
        if self.small:  # the slot has room for one other key; a second stands in the hand rail
            hand = replace(hand, right=(*hand.right, *view.others[1:]))
        if self.another(view, hand, big=False):
            (self._fill_small if self.small else self._fill)(view)

    def _fill(self, view: views.DecisionView) -> None:
        width, height = self.slot_mm
        top = self._band(view, 45.0) + 5
        low = height - 4
        self.place(SaidBack(self.glass, view, view.because), 8, top, 156, low - top)
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
        """Why it goes that way stands across the screen here, in the height that it needs."""
        width, height = self.slot_mm
        left, right, low = 94.0, width - 5, height - 1.5
        wide = QSizeF(self.glass.mm(right - 5), self.glass.mm(200))
        because = "\n".join(view.because)
        got = fit_lines(self.glass, because, wide, _WHY, pitch=WHY_PITCH)
        top = self._band(view, 31.0 if len(got.lines) < 3 else 28.0) + 1.6
        why = (got.height + 2 * got.descent) / self.glass.mm(1) - 1.2 if because else 0.0
        words = Words(self.glass, because, size=_WHY, pitch=WHY_PITCH)
        self.place(words, 5, top - 0.6, right - 5, why + 2)
        top += why + 2
        self.place(SaidBack(self.glass, view, ()), 5, top, 85, low - top)
        self._row(view, left, top, right, moves=30, photo=right - left - 68, gap=4)
        if view.photo_state:
            at = left + 68 if view.moves else left
            self._state(view, at, top, right - at, 18)
        tall = min(23.0, low - top - 22)
        if view.main:
            self.place(self.key(view.main), right - 72, low - tall, 72, tall)
        for other in view.others[:1]:
            self.place(self.key(other), left, low - tall, right - left - 76, tall)

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
            key.keeps_sides = True  # they move the mark along the tube, which keeps its own
            at = len(view.moves) - 1 - n if self.glass.mirrored else n
            self.place(key, left + at * (moves + gap), top, moves, 18)
        if view.photo and not (self.small and view.photo_state):
            self.place(self.key(view.photo), right - photo, top, photo, 18)

    def _state(self, view: views.DecisionView, x: float, y: float, wide: float, high: float) -> None:
        words = Words(self.glass, view.photo_state, size=((T.T2, 2), (T.T1, 3)), weight=BOLD, fg="ink2", pitch=1.5)
        self.place(words, x, y, wide, high)
