"""What will happen, said back: one plain sentence, the drawing with its flag, one key for it low on the right."""

from dataclasses import replace

from PySide6.QtCore import QRectF, QSizeF

from kiosk.core import views
from kiosk.ui.parts.band import LumenBand
from kiosk.ui.parts.drawn import Drawn
from kiosk.ui.parts.glass import Glass
from kiosk.ui.parts.keys import KeyButton
from kiosk.ui.parts.lines import Choices, fit_lines
from kiosk.ui.parts.pen import Pen
from kiosk.ui.parts.ring import draw_ring
from kiosk.ui.parts.words import Words
from kiosk.ui.screens.doing import DoingScreen, stack, stacked
from kiosk.ui.theme import BOLD, EXTRA, T

WHY_PITCH = 1.35
BANDS_SMALL_MM = (31.0, 28.0, 25.0, 22.5)
KEYS_SMALL_MM = 40.0  # two rows of keys and the gap between them
_WHY: Choices = ((T.T1, 6),)
_BECAUSE: Choices = ((T.T2, 2), (T.T1, 3))
_SAID: Choices = ((T.T5, 2), (T.T4, 2), (T.T3, 2), (T.T3, 4), (T.T2, 4))
_SAID_SMALL: Choices = ((T.T4, 2), (T.T3, 2), (T.T3, 3), (T.T2, 4), (T.T1, 4), (T.T1, 5))
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
        sentence = ",\n".join(part for part in (view.said, view.place) if part) + "."
        size, pitch, gap = self._fitting(sentence, room.size())
        stands = pen.text(room, sentence, (size,), BOLD, bg=tint, up="top", pitch=pitch)
        room.setTop(stands.bottom() + pen.mm(2 * gap))
        stack(pen, room, self._because, _BECAUSE, bg=tint, gap_mm=gap, pitch=pitch)

    def _fitting(self, sentence: str, room: QSizeF) -> tuple[tuple[T, int], float, float]:
        """Size and lines of the sentence, pitch, and the gap between reasons in mm, so that the reasons stand too."""
        steps = ((1.45, 3.0), (1.35, 2.0)) if self.glass.metrics.small else ((1.6, 3.0), (1.4, 2.0), (1.35, 1.6))
        for pitch, gap in steps:
            for size in _SAID_SMALL if self.glass.metrics.small else _SAID:
                got = fit_lines(self.glass, sentence, room, (size,), BOLD, pitch=pitch)
                left = QSizeF(room.width(), room.height() - got.height - self.glass.mm(2 * gap))
                reasons = not self._because
                if not reasons:
                    _, _, reasons = stacked(self.glass, left, self._because, _BECAUSE, gap_mm=gap, pitch=pitch)
                if got.fits and reasons:
                    return size, pitch, gap
        return size, pitch, gap


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
        because, band, why = self._why_small(view.because, right - 5, low)
        top = self._band(view, band) + 1.6
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

    def _why_small(self, reasons: tuple[str, ...], wide: float, low: float) -> tuple[str, float, float]:
        """The reasons, the band's height and theirs in mm, so that two rows of keys stand below.

        Each reason has its own line; where that leaves no room the band is lower, and then they follow each other.
        """
        mm = self.glass.mm
        if not reasons:
            return "", BANDS_SMALL_MM[0], 0.0
        for between in ("\n", " "):
            because = between.join(reasons)
            for band in BANDS_SMALL_MM:
                room = low - KEYS_SMALL_MM - band - 1.6 - 2
                got = fit_lines(self.glass, because, QSizeF(mm(wide), mm(room)), _WHY, pitch=WHY_PITCH)
                why = (got.height + 2 * got.descent) / mm(1) - 1.2
                if got.fits and why <= room and (len(got.lines) < 3 or band < BANDS_SMALL_MM[0]):
                    return because, band, why
        return because, band, why

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
