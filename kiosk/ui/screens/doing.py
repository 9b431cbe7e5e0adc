"""What the doing screens share: the slot is made anew only when its contents change, and its parts stay in place."""

from collections.abc import Callable
from dataclasses import replace
from typing import Any

from PySide6.QtCore import QRectF, QSizeF
from PySide6.QtWidgets import QWidget

from kiosk.core import views
from kiosk.ui.parts.drawn import Drawn
from kiosk.ui.parts.glass import Glass, steady_ms
from kiosk.ui.parts.keys import KeyButton
from kiosk.ui.parts.lines import Choices, fit_lines
from kiosk.ui.parts.pen import Pen
from kiosk.ui.parts.ring import draw_ring
from kiosk.ui.parts.tube import center_line
from kiosk.ui.screens.screen import Screen
from kiosk.ui.theme import REGULAR, T

_NO_HEAD = views.Head(title="")


class DoingScreen(Screen):
    """A screen whose view may come again with a notice or a small change. `wall_ms` is the wall clock in ms."""

    def __init__(self, glass: Glass, parent: QWidget | None = None) -> None:
        super().__init__(glass, parent)
        self.wall_ms: Callable[[], int] = steady_ms
        self._shown: object = None

    @property
    def small(self) -> bool:
        """Is this the 10-inch frame?"""
        return self.glass.metrics.small

    def another(
        self, view: views.Screen, hand: views.Hand | None = None, *, big: bool = True, roomy: bool = False
    ) -> bool:
        """Fill rails and question. True: the slot is empty now and must be filled from the view.

        Nothing moves when a notice comes: the question is as high without it.
        """
        self.show_rails(view, hand)
        big = big and not self.small
        tight = self.small or big or not view.help
        facts = () if self.small else view.facts
        self.show_question(view.title, view.help, facts, view.notice, big=big, tight=tight, roomy=roomy)
        contents: Any = replace(view, head=_NO_HEAD, notice="")
        if contents == self._shown:
            return False
        self._shown = contents
        self.clear_slot()
        return True

    def key(self, key: views.Key, *, size: T = T.T2, chosen: bool = False, ground: str = "field") -> KeyButton:
        """A key as the view says."""
        return KeyButton.of(self.glass, key, size=size, chosen=chosen, ground=ground)


class RingLine(Drawn):
    """Rings in order on the center line; on more than one line where they are many."""

    def __init__(
        self, glass: Glass, rings: tuple[views.Ring, ...], *, ink: bool = False, now: str = "", step_mm: float = 36.0
    ) -> None:
        super().__init__(glass)
        self._rings, self._ink, self._now, self._step = rings, ink, now, step_mm

    def draw(self, pen: Pen) -> None:
        pen.fill(self.area(), "plate")
        metrics = self.glass.metrics
        room = pen.mm(metrics.content_mm - 2 * metrics.edge_mm - 8)
        rows = max(1, -(-len(self._rings) // max(1, int(room / pen.mm(12)))))
        across = max(1, -(-len(self._rings) // rows))
        step = min(pen.mm(self._step), room / across)
        tall = self.height() / rows
        for row in range(rows):
            some = self._rings[row * across : (row + 1) * across]
            y = (row + 0.5) * tall
            left = (self.width() - step * (len(some) - 1)) / 2
            center_line(pen, 0, self.width(), y)
            for n, ring in enumerate(some):
                side = min(step * 0.62, tall * 0.62)
                rect = QRectF(left + n * step - side / 2, y - side / 2, side, side)
                pen.solid("plate")
                gap = side * (0.34 if ring == "todo" else 0.62)
                pen.painter.drawRect(QRectF(rect.center().x() - gap, y - side / 2, 2 * gap, side))
                fg = "ink" if self._ink and ring != "todo" else ""
                draw_ring(pen, rect, ring, fg=fg, number=self._now if ring == "now" else "")


OVER_CAPITALS_MM = 0.9
"""Text stands by its capitals; an f and the dot of an i rise over them by so much in the largest letters here."""


UNDER_CAPITALS = 0.45
"""And a p or a comma hangs below the last line by this share of a small capital."""


class Lines(Drawn):
    """Texts under each other, each with its own sizes to try, in one box; they share it by their wanted heights."""

    def __init__(self, glass: Glass, *, bg: str = "field") -> None:
        super().__init__(glass)
        self._bg = bg
        self._texts: tuple[str, ...] = ()
        self._sizes: Choices = ((T.T2, 1),)
        self._weight, self._gap, self._fg = REGULAR, 3.0, "ink"

    def show_lines(
        self, texts: tuple[str, ...], sizes: Choices, *, weight: int = REGULAR, gap_mm: float = 3.0, fg: str = "ink"
    ) -> "Lines":
        """Texts in a size that lets all of them stand."""
        self._texts, self._sizes, self._weight, self._gap, self._fg = texts, sizes, weight, gap_mm, fg
        self.setAccessibleName(" ".join(texts))
        self.update()
        return self

    def draw(self, pen: Pen) -> None:
        room = self.area().adjusted(0, pen.mm(OVER_CAPITALS_MM), 0, 0)
        stack(pen, room, self._texts, self._sizes, self._weight, fg=self._fg, bg=self._bg, gap_mm=self._gap)


def stacked(
    glass: Glass,
    box: QSizeF,
    texts: tuple[str, ...],
    sizes: Choices,
    weight: int = REGULAR,
    *,
    gap_mm: float = 3.0,
    pitch: float = 1.55,
) -> tuple[Choices, list[float], bool]:
    """The first size in which all texts stand under each other, the height of each in px, and whether they do."""
    gap, under = glass.mm(gap_mm), glass.mm(glass.metrics.capital(T.T1) * UNDER_CAPITALS)
    choice: Choices = sizes[-1:]
    heights: list[float] = []
    for size in sizes:
        fitted = [fit_lines(glass, text, box, (size,), weight, pitch=pitch) for text in texts]
        choice, heights = (size,), [each.height for each in fitted]
        if all(each.fits for each in fitted) and sum(heights) + gap * (len(texts) - 1) + under <= box.height():
            return choice, heights, True
    return choice, heights, False


def stack(
    pen: Pen,
    room: QRectF,
    texts: tuple[str, ...],
    sizes: Choices,
    weight: int = REGULAR,
    *,
    fg: str = "ink",
    bg: str = "field",
    gap_mm: float = 3.0,
    pitch: float = 1.55,
) -> float:
    """Draw texts under each other in the first size that holds all; returns the y below the last in px."""
    gap = pen.mm(gap_mm)
    choice, heights, stand = stacked(pen.glass, room.size(), texts, sizes, weight, gap_mm=gap_mm, pitch=pitch)
    if not stand and pen.glass.metrics.larger:
        pen = pen.in_plain_letters()
        choice, heights, _ = stacked(pen.glass, room.size(), texts, sizes, weight, gap_mm=gap_mm, pitch=pitch)
    y = room.top()
    for text, height in zip(texts, heights, strict=True):
        left = max(0.0, room.bottom() - y)
        box = QRectF(room.left(), y, room.width(), min(height + 1, left))
        pen.text(box, text, choice, weight, fg=fg, bg=bg, up="top", pitch=pitch)
        y += height + gap
    return y


def minutes(ms: int) -> str:
    """Time as m:ss; part of a second counts as one to go."""
    seconds = -(-ms // 1000)
    return f"{seconds // 60}:{seconds % 60:02d}"
