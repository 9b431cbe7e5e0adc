"""Decontam's screens, for two wet gloves and a face shield: the number alone, and one return.

They stand on decontam's glass, which draws everything 1.35 times as large (`kiosk.ui.parts.glass.dirty_glass`).
"""

from collections.abc import Callable, Hashable
from dataclasses import dataclass, replace
from itertools import product
from pathlib import Path

from PySide6.QtCore import QRectF, QSizeF, Qt
from PySide6.QtGui import QFontMetricsF, QPixmap
from PySide6.QtWidgets import QWidget

from kiosk.core import views
from kiosk.ui.parts.band import LumenBand
from kiosk.ui.parts.drawn import Drawn
from kiosk.ui.parts.glass import WET_KEY_MM, Glass
from kiosk.ui.parts.keys import KeyButton
from kiosk.ui.parts.lines import fit_lines
from kiosk.ui.parts.pen import Pen, Record
from kiosk.ui.parts.ring import draw_ring
from kiosk.ui.parts.touch import TouchButton
from kiosk.ui.parts.tube import center_line
from kiosk.ui.parts.words import Words
from kiosk.ui.screens.doing import DoingScreen
from kiosk.ui.screens.photo import as_kept
from kiosk.ui.theme import BOLD, CAPITAL_EM, EXTRA, REGULAR, T, font

FAR_MM = 60.0  # capital height of the number that is read from 4 m
ABOVE_RAIL_MM = 3.0  # with the rail's own edge it makes the gap that two wet gloves need
TODO_TOP_MM, TODO_GAP_MM, TODO_PITCH = 1.4, 1.6, 1.45
LEAST_BANDS_MM = (22.0, 19.5, 18.0)
"""The tube gives way to what to do, as far as it can still be read."""
_TINTS = {"found": "found", "unsure": "unsure"}


class FarNumber(TouchButton):
    """The number as large as the glass allows, up to 60 mm; all of it is one key."""

    keeps_sides = True

    def __init__(self, glass: Glass, view: views.IdleView, parent: QWidget | None = None) -> None:
        send = view.open.send if view.open else None
        super().__init__(glass, view.open.name if view.open else "", send, parent=parent)
        self._view = view
        self.setObjectName("open")
        self.setAccessibleName(f"{view.number} {view.said}".strip() or view.nothing)
        self.set_asleep(view.open is None)

    def look(self) -> Hashable:
        return (self._view.number, self._view.said, self._view.more, self._view.nothing, self.pressed, self.awake)

    def draw(self, pen: Pen) -> None:
        view, area = self._view, self.area()
        if view.open is None:
            center_line(pen, 0, self.width(), area.center().y() + pen.mm(10))
            room = QRectF(area.left(), area.center().y() - pen.mm(20), area.width(), pen.mm(20))
            pen.text(room, view.nothing, ((T.T7, 1), (T.T6, 1)), EXTRA, align="center")
            return
        fill, words = ("ink", "on_fill") if self.pressed else ("plate", "ink")
        pen.plate(area, fill, "line" if self.awake else "", outside="field")
        second = "on_fill" if self.pressed else "ink2"
        foot = pen.mm(22 if view.more else 14)
        room = area.adjusted(pen.mm(5), pen.mm(3), -pen.mm(5), -foot)
        self._number(pen, room, words, fill)
        under = QRectF(room.left(), room.bottom(), room.width(), pen.mm(11))
        pen.text(
            under, view.said, ((T.T6, 1), (T.T5, 1), (T.T4, 1), (T.T3, 1)), BOLD, fg=words, bg=fill, align="center"
        )
        if view.more:
            last = QRectF(room.left(), under.bottom(), room.width(), pen.mm(8))
            pen.text(last, view.more, ((T.T3, 1), (T.T2, 1)), fg=second, bg=fill, align="center")

    def _number(self, pen: Pen, room: QRectF, fg: str, bg: str) -> None:
        """In the largest letters that stand; true millimeters, whatever the glass magnifies."""
        most = min(FAR_MM * self.glass.metrics.true_px_per_mm / CAPITAL_EM, room.height() / CAPITAL_EM * 0.9)
        wide = QFontMetricsF(font(100, EXTRA)).horizontalAdvance(self._view.number)
        px = int(min(most, room.width() * 100 / wide))
        pen.painter.setFont(font(px, EXTRA))
        pen.painter.setPen(pen.color(fg))
        pen.painter.drawText(room, int(Qt.AlignmentFlag.AlignCenter), self._view.number)
        ink, ground = self.glass.color(fg), self.glass.color(bg)
        pen.take_down(Record(kind="text", rect=room, text=self._view.number, font_px=px, fg=ink, bg=ground))


class IdleScreen(DoingScreen):
    """What is next, from across the room."""

    def show_view(self, view: views.IdleView) -> None:
        """Show the number, or that nothing waits."""
        if not self.another(view, big=False):
            return
        width, height = self.slot_mm
        edge = self.glass.metrics.edge_mm
        self.place(FarNumber(self.glass, view), edge, 0, width - 2 * edge, height - ABOVE_RAIL_MM)


class What(Drawn):
    """The number, the ring, what was seen: the first thing that is read."""

    lies_on = "plate"

    def __init__(self, glass: Glass, view: views.IntakeView) -> None:
        super().__init__(glass)
        self._view = view

    def draw(self, pen: Pen) -> None:
        view, area = self._view, self.area()
        pen.fill(area, "plate")
        fg = _TINTS.get(view.ring, "ink")
        x = pen.mm(2)
        number = QRectF(x, 0, area.width() * (0.34 if self.glass.metrics.small else 0.52), area.height())
        stands = pen.text(number, view.number, ((T.T8, 1), (T.T7, 1), (T.T6, 1)), EXTRA, bg="plate")
        side = min(area.height() * 0.8, pen.mm(17))
        ring = QRectF(stands.right() + pen.mm(5), area.center().y() - side / 2, side, side)
        draw_ring(pen, ring, view.ring)
        left = ring.right() + pen.mm(4)
        half = QRectF(left, area.top(), area.right() - left, area.height() * (0.5 if view.said else 1.0))
        word = " · ".join(part for part in (view.scope, view.word) if part)
        pen.text(
            half, word, ((T.T5, 1), (T.T4, 1), (T.T3, 1), (T.T2, 1), (T.T1, 1)), EXTRA, fg=fg, bg="plate", pitch=1.35
        )
        half.translate(0, half.height())
        pen.text(half, view.said, ((T.T4, 1), (T.T3, 1), (T.T2, 1), (T.T1, 1)), BOLD, bg="plate", pitch=1.35)


@dataclass(frozen=True, slots=True, kw_only=True)
class _Part:
    """A text of what to do, in the size in which all of them stand."""

    text: str
    size: T
    height: float
    told: bool  # not what to do, but what is known


def plan(glass: Glass, todo: tuple[str, ...], lines: tuple[str, ...], box: QSizeF) -> tuple[list[_Part], bool]:
    """The texts in the largest size in which all stand, each by itself or as one text; and whether it can be read.

    What to do may be as small as T2; smaller it is drawn as well, where nothing else is left.
    """
    care, told = (lines[:-1], lines[-1:]) if lines else ((), ())
    gap = glass.mm(TODO_GAP_MM)
    parts: list[_Part] = []
    for size, together in product((T.T4, T.T3, T.T2, T.T1), (False, True)):
        fine = size if size in {T.T2, T.T1} else T.T2
        texts = (
            [(" ".join((*todo, *care)), size)] if together else [(t, size) for t in todo] + [(t, fine) for t in care]
        )
        parts = []
        fits = True
        for text, wanted in (*((text, each) for text, each in texts if text), *((text, T.T1) for text in told)):
            weight = REGULAR if text in told else BOLD
            got = fit_lines(glass, text, box, ((wanted, 9),), weight, pitch=TODO_PITCH)
            fits = fits and got.fits
            parts.append(_Part(text=text, size=wanted, height=got.height, told=text in told))
        last = glass.metrics.capital(T.T1) * 0.4  # what hangs below the last line
        if fits and sum(part.height for part in parts) + gap * (len(parts) - 1) + glass.mm(last) <= box.height():
            return parts, size is not T.T1
    return parts, False


class Todo(Drawn):
    """What to do, as large as there is room, and below it what else is known."""

    def __init__(self, glass: Glass, todo: tuple[str, ...], lines: tuple[str, ...]) -> None:
        super().__init__(glass)
        self._todo, self._lines = todo, lines

    def draw(self, pen: Pen) -> None:
        area = self.area().adjusted(0, pen.mm(TODO_TOP_MM), 0, 0)
        y = area.top()
        for part in plan(self.glass, self._todo, self._lines, area.size())[0]:
            box = QRectF(area.left(), y, area.width(), part.height + 1)
            weight, fg = (REGULAR, "ink2") if part.told else (BOLD, "ink")
            pen.text(box, part.text, ((part.size, 9),), weight, fg=fg, up="top", pitch=TODO_PITCH)
            y += part.height + pen.mm(TODO_GAP_MM)


class Still(Drawn):
    """The picture from the bench, never tinted, on a neutral surround."""

    keeps_sides = True

    def __init__(self, glass: Glass, file: Path) -> None:
        super().__init__(glass)
        self._still = QPixmap(str(file))
        self.setAccessibleName("picture")

    def draw(self, pen: Pen) -> None:
        pen.plate(self.area(), "lens", outside="field")
        inner = QSizeF(self.width() - pen.mm(3), self.height() - pen.mm(3))
        if self._still.isNull() or inner.width() < 1:
            return
        shown = self._still.scaled(
            inner.toSize(), Qt.AspectRatioMode.KeepAspectRatio, Qt.TransformationMode.SmoothTransformation
        )
        left, top = (self.width() - shown.width()) / 2, (self.height() - shown.height()) / 2
        pen.painter.drawPixmap(int(left), int(top), shown)


class IntakeScreen(DoingScreen):
    """One return: what, where, what to do; one row of large keys; at the right the picture and who is next."""

    def __init__(self, glass: Glass, parent: QWidget | None = None) -> None:
        super().__init__(glass, parent)
        self._kept: Callable[[str], Path] | None = None

    def set_kept(self, kept: Callable[[str], Path]) -> None:
        """Where a kept picture lies, by its file name."""
        self._kept = kept

    def show_view(self, view: views.IntakeView) -> None:
        """Show a return; the row of keys changes once it is taken in."""
        if view.notice and view.help:  # the tray is never left out for a remark
            view = replace(view, notice=f"{view.help}   {view.notice}")
        if not self.another(view, big=False):
            return
        width, height = self.slot_mm
        edge, gap = self.glass.metrics.edge_mm, 6.0
        tall = (WET_KEY_MM if self.glass.metrics.magnified > 1 else 24.0) if self.small else 35.6
        top_of_keys = height - tall - ABOVE_RAIL_MM
        high = 18.0 if self.small else 24.0
        beside, band_high = self._shares(view, width - 2 * edge, top_of_keys, high)
        side = self._side(view, width, top_of_keys, edge) if beside else 0.0
        left = width - 2 * edge - side
        self.place(What(self.glass, view), edge, 0, left, high)
        if view.band:
            band = LumenBand(self.glass, within=True)
            self.place(band, edge, high, left, band_high)
            band.show_band(view.band)
        y = high + band_high + 1.5
        self.place(Todo(self.glass, view.todo, view.lines), edge, y, left, top_of_keys - y - 1)
        each = (width - 2 * edge - gap * (len(view.keys) - 1)) / len(view.keys)
        for n, key in enumerate(view.keys):
            size = T.T4 if len(view.keys) < 3 else T.T3
            button = KeyButton.of(self.glass, key, size=size, chosen=key.name == view.chosen)
            self.place(button, edge + n * (each + gap), top_of_keys, each, tall)

    def _shares(self, view: views.IntakeView, width: float, low: float, high: float) -> tuple[bool, float]:
        """Does the column at the right stand, and how high is the tube, so that what to do is read: it goes first."""
        wide = self._side_mm(view)
        bands = [min(45.0, (low - high) * share) for share in (0.58, 0.5)] if view.band else [0.0]
        bands += [least for least in LEAST_BANDS_MM if view.band and least < bands[-1]]
        for beside, band in product((True, False) if wide else (False,), bands):
            box = QSizeF(width - wide * beside, low - high - band - 2.5 - TODO_TOP_MM) * self.glass.mm(1)
            if plan(self.glass, view.todo, view.lines, box)[1]:
                return beside, band
        return False, bands[-1]

    def _side_mm(self, view: views.IntakeView) -> float:
        """Width of the column at the right with the gap before it, 0 where there is nothing for it."""
        return (62.0 if self.small else 92.0) + 6 if view.next or self._file(view) else 0.0

    def _file(self, view: views.IntakeView) -> Path | None:
        file = self._kept(view.photo) if view.photo and self._kept else None
        return file if file is not None and as_kept(file, view.photo_sha256) else None

    def _side(self, view: views.IntakeView, width: float, height: float, edge: float) -> float:
        """The column at the right; its width with the gap before it."""
        file, wide = self._file(view), self._side_mm(view) - 6
        left, y = width - edge - wide, 0.0
        if file is not None and self.small and view.next:  # one key is enough; the place stands at the tube
            high = min(wide * 0.72, height - 5 - 20 - 11 - 2)
            self.place(Still(self.glass, file), left, 0, wide, high)
            y = high + 2
        elif file is not None:
            high = min(wide * 0.72, height - 14 - (11 + 32 * min(1, len(view.next))))
            self.place(Still(self.glass, file), left, 0, wide, high)
            fine = ((T.T2, 1), (T.T1, 1), (T.T1, 2))
            words = Words(self.glass, view.photo_words, size=fine, fg="ink2", align="center", pitch=1.4)
            self.place(words, left, high + 1, wide, 12)
            y = high + 13
        if view.next:
            title = Words(self.glass, view.next_title, size=((T.T2, 1), (T.T1, 1)))
            self.place(title, left, y, wide, 10)
            y += 11
        for key in view.next:
            if y + 20 <= height - 5:
                self.place(KeyButton.of(self.glass, key, size=T.T2), left, y, wide, min(24.0, height - 5 - y))
                y += min(24.0, height - 5 - y) + 6
        return wide + 6
