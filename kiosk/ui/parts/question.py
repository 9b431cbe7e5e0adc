"""The question area of a screen: one question in a line, its help line or a notice, and facts at the right."""

from collections.abc import Hashable
from dataclasses import dataclass

from PySide6.QtCore import QRectF, QSizeF
from PySide6.QtWidgets import QWidget

from kiosk.ui.parts.drawn import Drawn
from kiosk.ui.parts.glass import Glass
from kiosk.ui.parts.lines import Choices, fit_lines
from kiosk.ui.parts.pen import Pen
from kiosk.ui.theme import BOLD, REGULAR, T

FACTS: Choices = ((T.T2, 1), (T.T1, 1))
FACTS_EDGE_MM = 3.0
BESIDE_MM = 12.0  # at least, between a title and a second line on the same line
HELP_SMALL_MM = 6.4  # what a help line adds to the question on the 10-inch screen


@dataclass(frozen=True, slots=True, kw_only=True)
class _Below:
    """How the lines below the title stand: sizes, pitch, the gap before each and the most height of one, in px."""

    sizes: Choices
    pitch: float
    gap: float
    most: float


class Question(Drawn):
    """The question. `big` False: a title only, in a lower area. `tight`: a second line adds no height.

    `roomy`: on the 10-inch screen it is as high as a second line of two lines asks, whether or not one stands there.
    `beside` False: something else stands right of the title, so a second line never does.
    """

    lies_on = "field"

    def __init__(self, glass: Glass, parent: QWidget | None = None) -> None:
        super().__init__(glass, parent)
        self._title, self._help, self._notice, self._big, self._tight = "", "", "", True, False
        self._keep = self._roomy = False
        self._beside = True
        self._facts: tuple[str, ...] = ()

    def ask(
        self,
        title: str,
        help_line: str,
        facts: tuple[str, ...],
        notice: str,
        *,
        big: bool,
        tight: bool,
        keep: bool = False,
        roomy: bool = False,
        beside: bool = True,
    ) -> None:
        """What is asked. A notice stands in place of the help line; with `keep` below it."""
        self._title, self._help, self._facts, self._notice = title, help_line, facts, notice
        self._big, self._tight, self._keep, self._roomy = big, tight, keep, roomy
        self._beside = beside
        self.update()

    @property
    def height_mm(self) -> float:
        """Height of the area, which depends on what it holds."""
        metrics = self.glass.metrics
        if not self._title:
            return 0.0
        if self._tall:
            return (metrics.question_mm if self._big else metrics.title_mm) + HELP_SMALL_MM
        if not self._big:
            return metrics.title_mm + (HELP_SMALL_MM + 1 if self._second_line and not self._tight else 0)
        return metrics.question_mm + (HELP_SMALL_MM if metrics.small and self._second_line and not self._tight else 0)

    @property
    def _second_line(self) -> str:
        return self._notice or self._help

    def look(self) -> Hashable:
        return (
            self._title,
            self._help,
            self._facts,
            self._notice,
            self._big,
            self._tight,
            self._keep,
            self._roomy,
            self._beside,
        )

    def draw(self, pen: Pen) -> None:
        if not self._title:
            return
        metrics = self.glass.metrics
        left, width = metrics.left_mm + metrics.edge_mm, metrics.content_mm - 2 * metrics.edge_mm
        room = pen.box(left, 0, width, self.height_mm)
        both = metrics.small and self._keep and bool(self._help and self._notice)
        facts = room.right() if both else self._draw_facts(pen, room)
        words = QRectF(room.left(), room.top(), facts - room.left(), room.height())
        row = " · ".join(self._facts) if both else ""  # there the facts stand in the title's row
        beside = max(fit_lines(self.glass, row, room.size(), FACTS, BOLD).widths) + pen.mm(5) if row else 0.0
        if self._tight and self._second_line and (metrics.small or not self._big):
            self._draw_tight(pen, words)
            return
        sizes = (T.T6, T.T5, T.T4, T.T3) if self._big else (T.T5, T.T6, T.T4, T.T3)
        most = metrics.capital(sizes[0])
        steps = [size for size in sizes if metrics.capital(size) <= most]
        choices = (*((size, 1) for size in steps), (T.T4, 2), (T.T3, 2), (T.T2, 2), (T.T1, 2), (T.T1, 3))
        lines = [(self._help, REGULAR, "ink2")] if self._help and (self._keep or not self._notice) else []
        lines += [(self._notice, BOLD, "ink")] if self._notice else []
        gap = pen.mm((3.2 if metrics.small else 5.3) if self._big else 3.6)
        capital = pen.mm(metrics.capital(T.T1))
        usual = _Below(sizes=((T.T2, 1), (T.T1, 1), (T.T1, 2)), pitch=1.5, gap=gap, most=words.height())
        close = _Below(sizes=((T.T1, 1), (T.T1, 2)), pitch=1.35, gap=pen.mm(2), most=capital * 2.35 + 1)
        for below in (usual, close):
            boxes = [QSizeF(words.width(), below.most)] * len(lines)
            fitted = zip(lines, boxes, strict=True)
            high = [
                fit_lines(self.glass, t, box, below.sizes, w, pitch=below.pitch).height for (t, w, _), box in fitted
            ]
            taken = sum(high) + below.gap * len(lines) + (capital * 0.45 if lines else 0.0)
            box = QSizeF(words.width() - beside, words.height() - taken - pen.mm(1.5 if lines else 3.0))
            got = fit_lines(self.glass, self._title, box, choices, BOLD, pitch=1.4)
            if got.fits:
                break
        y = words.top() + (words.height() - got.height - taken) / 2 + (pen.mm(0.3) if lines else 0.0)
        pen.text(QRectF(words.left(), y, box.width(), box.height()), self._title, choices, BOLD, up="top", pitch=1.4)
        pen.text(QRectF(words.left(), y, words.width(), got.height), row, FACTS, BOLD, align="right", up="bottom")
        y += got.height + below.gap
        for (text, weight, fg), tall in zip(lines, high, strict=True):
            room = QRectF(words.left(), y, words.width(), below.most)
            pen.text(room, text, below.sizes, weight, fg=fg, up="top", pitch=below.pitch)
            y += tall + below.gap

    def _draw_tight(self, pen: Pen, room: QRectF) -> None:
        """Title and second line in the height of a title: beside it, else below, the title a size smaller for it."""
        if self._draw_beside(pen, room):
            return
        small = self.glass.metrics.small
        sizes: Choices = ((T.T3, 1), (T.T2, 1), (T.T1, 1)) if small else ((T.T5, 1), (T.T4, 1), (T.T3, 1))
        if small and self._big:
            sizes = ((T.T4, 1), *sizes)
        weight, fg = (BOLD, "ink") if self._notice else (REGULAR, "ink2")
        lines: Choices = ((T.T1, 1), (T.T1, 2)) if small else ((T.T2, 1), (T.T1, 1), (T.T1, 2))
        gap, under = pen.mm(1.9 if small else 2.7), pen.mm(self.glass.metrics.capital(T.T1) * 0.45)
        free = room.height() - under - pen.mm(1)
        box = QSizeF(room.width(), free * (0.4 if self._tall else 0.36))
        second = fit_lines(self.glass, self._second_line, box, lines, weight, pitch=1.35).height
        box.setHeight(free - gap - second)
        title = fit_lines(self.glass, self._title, box, sizes, BOLD).height
        top = room.top() + (room.height() - title - gap - second - under) / 2 + pen.mm(0.3)
        pen.text(QRectF(room.left(), top, room.width(), title), self._title, sizes, BOLD)
        lower = QRectF(room.left(), top + title + gap, room.width(), second)
        pen.text(lower, self._second_line, lines, weight, fg=fg, pitch=1.35)

    def _draw_beside(self, pen: Pen, room: QRectF) -> bool:
        """Both on one line, where it is long enough: the title left, the second line right."""
        if self._tall or not self._beside:
            return False
        weight, fg = (BOLD, "ink") if self._notice else (REGULAR, "ink2")
        for size in (T.T5, T.T4) if not self.glass.metrics.small else (T.T6, T.T4, T.T3):
            for under in (T.T2, T.T1):
                one = fit_lines(self.glass, self._title, room.size(), ((size, 1),), BOLD)
                left = QSizeF(room.width() - max(one.widths) - pen.mm(BESIDE_MM), room.height())
                other = fit_lines(self.glass, self._second_line, left, ((under, 1),), weight)
                if one.fits and other.fits:
                    top = room.top() + (room.height() - one.height) / 2
                    line = QRectF(room.left(), top, room.width(), one.height)
                    pen.text(line, self._title, size, BOLD)
                    line.setLeft(line.right() - left.width())
                    pen.text(line, self._second_line, under, weight, fg=fg, align="right", up="bottom")
                    return True
        return False

    @property
    def _tall(self) -> bool:
        """Does the help line take two lines? Then the area is higher, whether or not a notice stands in its place."""
        metrics = self.glass.metrics
        if self._roomy and metrics.small:
            return True
        wide = self.glass.mm(metrics.content_mm - 2 * metrics.edge_mm)
        if not self._help or not self._tight or not (metrics.small or not self._big):
            return False
        return not fit_lines(self.glass, self._help, QSizeF(wide, self.glass.mm(9)), ((T.T1, 1),), REGULAR).fits

    def _draw_facts(self, pen: Pen, room: QRectF) -> float:
        """The facts, right aligned; returns where the question must end."""
        if not self._facts:
            return room.right()
        capital, step = self.glass.metrics.capital(T.T2), 7.2
        if self._facts[1:]:
            step = min(step, (self.height_mm - capital - FACTS_EDGE_MM) / (len(self._facts) - 1))
        top = room.center().y() - pen.mm(capital + step * (len(self._facts) - 1)) / 2
        edge = room.right()
        for n, fact in enumerate(self._facts):
            line = QRectF(room.center().x(), top + pen.mm(n * step), room.width() / 2, pen.mm(capital))
            edge = min(edge, pen.text(line, fact, FACTS, BOLD, align="right").left())
        return edge - pen.mm(5)
