"""Papers on their way; for one that was not printed, its number in large letters and what to copy by hand."""

from PySide6.QtCore import QRectF

from kiosk.core import views
from kiosk.ui.parts.drawn import Drawn
from kiosk.ui.parts.glass import Glass
from kiosk.ui.parts.pen import Pen
from kiosk.ui.parts.ring import draw_ring
from kiosk.ui.screens.doing import DoingScreen, stack
from kiosk.ui.theme import BOLD, EXTRA, REGULAR, T


class Paper(Drawn):
    """A paper: ring, name, number, how it stands."""

    def __init__(self, glass: Glass, paper: views.PaperState) -> None:
        super().__init__(glass)
        self._paper = paper
        self.setAccessibleName(f"{paper.name} {paper.number}: {paper.state}")

    def draw(self, pen: Pen) -> None:
        paper, small = self._paper, self.glass.metrics.small
        by_hand = bool(paper.lines)
        pen.plate(self.area(), "plate" if by_hand else "well", outside="field")
        bg = "plate" if by_hand else "well"
        pad = pen.mm(3.5 if small else 6)
        side = min(pen.mm(10.0 if small else 14.0), self.height() - 2 * pad)
        head = min(self.height(), side + 2 * pad)
        draw_ring(
            pen,
            QRectF(pad, (head - side) / 2, side, side),
            paper.ring,
            fg="ink" if paper.ring in ("clear", "now") else "",
            hole=bg,
            on=bg,
        )
        line = QRectF(2 * pad + side, 0, self.width() - 3 * pad - side, head)
        state = QRectF(line.left() + line.width() * 0.58, 0, line.width() * 0.42, head)
        fg = "found" if paper.ring == "found" else "ink2"
        pen.text(state, paper.state, ((T.T3, 1), (T.T2, 1), (T.T2, 2), (T.T1, 2)), BOLD, fg=fg, bg=bg, align="right")
        name = QRectF(line.left(), 0, line.width() * 0.56, head)
        label = paper.name if by_hand else f"{paper.name} {paper.number}"
        pen.text(name, label, ((T.T4, 1), (T.T3, 1), (T.T2, 1), (T.T2, 2)), BOLD, bg=bg)
        if by_hand:
            number = QRectF(pad, head, self.width() - 2 * pad, pen.mm(16))
            pen.text(number, paper.number, ((T.T8, 1),), EXTRA, bg=bg)
            room = QRectF(pad, number.bottom() + pen.mm(3.5 if small else 7), number.width(), 0)
            room.setBottom(self.height() - pen.mm(2))
            sizes = ((T.T4, 1), (T.T3, 1), (T.T3, 2), (T.T2, 2), (T.T1, 2), (T.T1, 3))
            stack(pen, room, paper.lines, sizes, REGULAR, bg=bg, gap_mm=2.5 if small else 4, pitch=1.5)


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
            self.place(Paper(self.glass, paper), edge + n * (across + gap), y, across, floor - y)
