"""Papers on their way; for one that was not printed, its number in large letters and what to copy by hand."""

from PySide6.QtCore import QRectF

from kiosk.core import views
from kiosk.ui.parts.drawn import Drawn
from kiosk.ui.parts.glass import Glass
from kiosk.ui.parts.icons import draw_icon
from kiosk.ui.parts.lines import Choices, fit_lines
from kiosk.ui.parts.pen import Pen, Side
from kiosk.ui.parts.ring import draw_ring
from kiosk.ui.screens.doing import DoingScreen, stack
from kiosk.ui.theme import BOLD, EXTRA, REGULAR, T

ABREAST_MM = 62.0
"""A narrower paper, one of three on the smallest screen, says how it stands below its name, not beside it."""


class Paper(Drawn):
    """A paper: ring or triangle, name, number, how it stands. `alone`: what to copy stands beside the number."""

    def __init__(self, glass: Glass, paper: views.PaperState, *, alone: bool = False) -> None:
        super().__init__(glass)
        self._paper, self._alone = paper, alone
        self.setAccessibleName(f"{paper.name} {paper.number}: {paper.state}")

    def draw(self, pen: Pen) -> None:
        paper, small = self._paper, self.glass.metrics.small
        by_hand = bool(paper.lines)
        bg = "plate" if by_hand else "well"
        pen.plate(self.area(), bg, outside="field")
        pad = pen.mm(3.0 if small else 6)
        wide = by_hand and self._alone
        whole = self.area().adjusted(pad, 0, -pad, 0)
        left = QRectF(whole.left(), 0, whole.width() * (0.5 if wide else 1), whole.height())
        head = self._draw_head(pen, left, bg, by_hand=by_hand)
        if not by_hand:
            return
        number = QRectF(left.left(), head, left.width(), pen.mm(15.5))
        numbers: Choices = tuple((size, 1) for size in (T.T8, T.T7, T.T6, T.T5, T.T4))
        pen.text(number, paper.number, numbers, EXTRA, bg=bg)
        room = QRectF(left.left(), number.bottom() + pen.mm(2 if small else 6), left.width(), 0)
        if wide:
            room = QRectF(left.right() + pad, pen.mm(4 if small else 7), whole.right() - left.right() - pad, 0)
        room.setBottom(self.height() - pen.mm(1))
        sizes = ((T.T4, 1), (T.T4, 2), (T.T3, 2), (T.T2, 2), (T.T1, 2), (T.T1, 3))
        stack(pen, room, paper.lines, sizes, REGULAR, bg=bg, gap_mm=1.8 if small else 3.4, pitch=1.35)

    def _draw_head(self, pen: Pen, room: QRectF, bg: str, *, by_hand: bool) -> float:
        """Ring, name and state in a line; returns the y below it in px."""
        paper, small = self._paper, self.glass.metrics.small
        side = pen.mm(9.0 if small else 14.0)
        tall = min(room.height(), side + pen.mm(4.5 if small else 12))
        mark = QRectF(room.left(), (tall - side) / 2, side, side)
        if paper.ring == "found":  # a paper that did not come out is no soil: the triangle warns
            draw_icon(pen.painter, "warning", mark, pen.color("ink"), pen.color(bg))
        else:
            draw_ring(pen, mark, paper.ring, fg="ink" if paper.ring in ("clear", "now") else "", hole=bg, on=bg)
        start = room.left() + side + pen.mm(3 if small else 6)
        line = QRectF(start, 0, room.right() - start, tall)
        label = paper.name if by_hand else f"{paper.name} {paper.number}"
        if by_hand and room.width() < pen.mm(ABREAST_MM):
            above, below = QRectF(line), QRectF(line)
            above.setBottom(tall / 2)
            below.setTop(tall / 2)
            one_line: Choices = ((T.T2, 1), (T.T1, 1))
            pen.text(above, label, one_line, BOLD, bg=bg)
            self._draw_state(pen, below.adjusted(pen.mm(2), 0, 0, 0), one_line, bg, align="left")
            return tall
        sizes: Choices = ((T.T4, 1), (T.T3, 1), (T.T2, 1), (T.T2, 2), (T.T1, 2))
        name = QRectF(line.left(), 0, line.width() * 0.56, tall)
        stands = pen.text(name, label, sizes, BOLD, bg=bg, pitch=1.4)
        state = QRectF(stands.right() + pen.mm(4), 0, line.right() - stands.right() - pen.mm(4), tall)
        sizes = ((T.T3, 1), (T.T2, 1), (T.T2, 2), (T.T1, 2))
        self._draw_state(pen, state, sizes, bg, align="right")
        return tall

    def _draw_state(self, pen: Pen, room: QRectF, sizes: Choices, bg: str, *, align: Side) -> None:
        """How it stands; of a paper that did not come out on yellow."""
        paper = self._paper
        if paper.ring != "found":
            pen.text(room, paper.state, sizes, BOLD, fg="ink2", bg=bg, align=align, pitch=1.4)
            return
        pad = pen.mm(1.4 if self.glass.metrics.small else 2)
        if align == "right":
            room = room.adjusted(0, 0, -pad, 0)
        got = fit_lines(self.glass, paper.state, room.size(), sizes, BOLD, pitch=1.4)
        wide = max(got.widths)
        left = room.right() - wide if align == "right" else room.left()
        chip = QRectF(left - pad, room.center().y() - got.height / 2 - pad, wide + 2 * pad, got.height + 2 * pad)
        pen.plate(chip, "notice", outside=bg)
        pen.text(room, paper.state, sizes, BOLD, fg="on_notice", bg="notice", align=align, pitch=1.4)


class PrintScreen(DoingScreen):
    """Papers as rows; those to copy by hand take the room that is left, side by side."""

    def show_view(self, view: views.PrintView) -> None:
        """Show how the papers stand."""
        if self.another(view, big=False):
            self._fill(view)

    def _fill(self, view: views.PrintView) -> None:
        width, height = self.slot_mm
        edge, gap = self.glass.metrics.edge_mm, self.glass.metrics.gap_mm - 1
        low = height - (2.5 if self.small else 6)
        tall = 20.0 if self.small else 30.0
        wide = 62.0 if self.small else 96.0
        x = width - edge
        keys = (*((view.main,) if view.main else ()), *view.others)
        for key in keys:
            x -= wide
            self.place(self.key(key, size=T.T3 if key.kind == "main" else T.T2), x, low - tall, wide, tall)
            x -= gap
        floor = low - tall - gap if keys else low
        rows = [paper for paper in view.papers if not paper.lines]
        y, row = 1.0, 15.0 if self.small else 22.0
        for paper in rows:
            self.place(Paper(self.glass, paper), edge, y, width - 2 * edge, row)
            y += row + 3
        copied = [paper for paper in view.papers if paper.lines]
        across = (width - 2 * edge - gap * (len(copied) - 1)) / max(1, len(copied))
        for n, paper in enumerate(copied):
            self.place(
                Paper(self.glass, paper, alone=len(copied) == 1), edge + n * (across + gap), y, across, floor - y
            )
