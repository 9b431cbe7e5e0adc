"""Steps to do with the hands: one after the other with the present one large, or all as a list of equal weight."""

from PySide6.QtCore import QRectF, QTimer
from PySide6.QtGui import QHideEvent
from PySide6.QtWidgets import QWidget

from kiosk.core import views
from kiosk.ui.parts.drawn import Drawn
from kiosk.ui.parts.glass import Glass
from kiosk.ui.parts.icons import ICONS, draw_icon
from kiosk.ui.parts.keys import KeyButton
from kiosk.ui.parts.pen import Pen
from kiosk.ui.parts.ring import draw_ring
from kiosk.ui.parts.words import Words
from kiosk.ui.screens.doing import DoingScreen, RingLine, minutes, stack
from kiosk.ui.theme import BOLD, EXTRA, REGULAR, T

TICK_MS = 250
UNDER_MM = 0.8  # for what hangs below the last line of a step


class StepList(Drawn):
    """Numbered steps of equal weight."""

    def __init__(self, glass: Glass, steps: tuple[str, ...], first: int = 1, *, quiet: bool = False) -> None:
        super().__init__(glass)
        self._steps, self._first, self._quiet = steps, first, quiet
        self.setAccessibleName(" ".join(steps))

    def draw(self, pen: Pen) -> None:
        small = self.glass.metrics.small
        sizes = ((T.T4, 2), (T.T3, 2), (T.T2, 2), (T.T2, 3), (T.T1, 3)) if not self._quiet else ((T.T2, 1), (T.T1, 2))
        tall = min(self.height() / max(1, len(self._steps)), pen.mm(27 if not self._quiet else 12))
        side = min(pen.mm(12.5 if not small else 10.5), tall - pen.mm(1)) if not self._quiet else pen.mm(8)
        for n, step in enumerate(self._steps):
            y = n * tall
            ring = QRectF(0, y + (tall - side) / 2, side, side)
            if self._quiet:
                pen.text(ring, str(self._first + n), T.T2, BOLD, fg="ink2", align="center")
            else:
                draw_ring(pen, ring, "now", number=str(self._first + n))
            room = QRectF(side + pen.mm(5 if not small else 3.5), y, 0, tall - pen.mm(UNDER_MM))
            room.setRight(self.width())
            weight, fg = (REGULAR, "ink2") if self._quiet else (BOLD, "ink")
            pen.text(room, step, sizes, weight, fg=fg, pitch=1.55)


class Aside(Drawn):
    """What is worn, in pictures and words, and what to mind."""

    def __init__(self, glass: Glass, worn: tuple[str, ...], words: str, cautions: tuple[str, ...]) -> None:
        super().__init__(glass)
        self._worn, self._words, self._cautions = worn, words, cautions

    def draw(self, pen: Pen) -> None:
        small = self.glass.metrics.small
        pad, side = (3.0, 13.0) if small else (4.5, 19.0)
        pen.plate(self.area(), "well", outside="field")
        room = self.area().adjusted(pen.mm(pad), pen.mm(pad), -pen.mm(pad), -pen.mm(pad))
        worn = [name for name in self._worn if name in ICONS]
        if worn:
            step = min(pen.mm(side + 5), room.width() / len(worn))
            for n, name in enumerate(worn):
                box = QRectF(room.left() + n * step, room.top(), min(pen.mm(side), step - pen.mm(1)), pen.mm(side))
                draw_icon(pen.painter, name, box, pen.color("ink"), pen.color("well"))
            room.setTop(room.top() + pen.mm(side + (3 if small else 5)))
        if self._words:
            sizes = ((T.T2, 2), (T.T1, 3))
            y = stack(pen, room, (self._words,), sizes, BOLD, bg="well", gap_mm=4)
            room.setTop(y)
        if self._cautions:
            mark = QRectF(room.left(), room.top(), pen.mm(8), pen.mm(8))
            draw_icon(pen.painter, "warning", mark, pen.color("ink"), pen.color("well"))
            room.setLeft(mark.right() + pen.mm(3))
            stack(pen, room, self._cautions, ((T.T2, 4), (T.T1, 4), (T.T1, 5)), bg="well", gap_mm=3)


class StepsScreen(DoingScreen):
    """Steps, and the key that says that they are done; where something must stay wet, the key opens with the time."""

    def __init__(self, glass: Glass, parent: QWidget | None = None) -> None:
        super().__init__(glass, parent)
        self._view: views.StepsView | None = None
        self.main: KeyButton | None = None
        self.left: Words | None = None
        self._ticks = QTimer(self, interval=TICK_MS)
        self._ticks.timeout.connect(self.tick)

    def show_view(self, view: views.StepsView) -> None:
        """Show the steps. They are walked one by one where the view tells of a step or of a time."""
        self._view = view
        if self.another(view):
            walk = bool(view.now or view.timer_words)
            self._fill(view, walk=walk)
        self.tick()

    def left_ms(self) -> int:
        """Time until the main key opens."""
        view = self._view
        if view is None or not view.timer_ms:
            return 0
        return max(0, view.since_ms + view.timer_ms - self.wall_ms())

    def tick(self) -> None:
        """Write the time to go, or open the key."""
        if self._view is None or self.main is None or self.left is None:
            return
        left = self.left_ms()
        self.main.setVisible(left == 0)
        self.left.setVisible(left > 0)
        if left:
            self.left.set_text(self._view.timer_words.replace("{left}", minutes(left)))
            self._ticks.start()
        else:
            self._ticks.stop()

    def hideEvent(self, event: QHideEvent) -> None:
        super().hideEvent(event)
        self._ticks.stop()

    def _fill(self, view: views.StepsView, *, walk: bool) -> None:
        width, height = self.slot_mm
        edge = self.glass.metrics.edge_mm
        low = height - (3 if self.small else 6)
        column = 80.0 if self.small else 120.0
        right = width - edge - column
        wide = right - edge - (5 if self.small else 10)
        top = self._walk(view, edge, wide, low) if walk else 2.0 if self.small else 4.0
        told = bool(view.worn or view.worn_words or view.cautions)
        under = told and self.small and not walk and len(view.others) > 1  # no room over the keys
        if not walk:
            self.place(StepList(self.glass, view.steps), edge, top, wide, low - top - (18 if under else 0))
        tall = (28.0 if self.small else 40.0) - (12 if view.others and view.cautions and not self.small else 0)
        self.main = self.key(view.main, size=T.T3 if self.small else T.T4)
        self.place(self.main, right, low - tall, column, tall)
        self.left = Words(self.glass, size=((T.T4, 2), (T.T3, 2), (T.T2, 3)), weight=BOLD, align="center")
        self.place(self.left, right, low - tall, column, tall)
        y = low - tall
        lying = self._lying(view, walk=walk)
        for other in () if lying else view.others:
            y -= 18 + self.glass.metrics.gap_mm
            self.place(self.key(other), right, y, column, 18)
        for n, other in enumerate(view.others if lying else ()):
            each = (wide - (len(view.others) - 1) * 4) / len(view.others)
            self.place(self.key(other), edge + n * (each + 4), low - 18, each, 18)
        if told:
            aside = Aside(self.glass, view.worn, view.worn_words, view.cautions)
            if under:
                self.place(aside, edge, low - 16, wide, 16)
            else:
                self.place(aside, right, top, column, y - (3 if self.small else 6) - top)

    def _lying(self, view: views.StepsView, *, walk: bool) -> bool:
        """Do the other keys lie under the present step? Over the main key there is no room for them."""
        return self.small and walk and (len(view.others) > 1 or bool(view.others and view.cautions))

    def _walk(self, view: views.StepsView, edge: float, wide: float, low: float) -> float:
        """Rings on the line, the present step large, what is to come; returns where the other column begins."""
        rings: tuple[views.Ring, ...] = tuple(
            "clear" if n < view.now else "now" if n == view.now else "todo" for n in range(len(view.steps))
        )
        band = 18.0 if self.small else 30.0
        line = RingLine(self.glass, rings, ink=True, now=str(view.now + 1), step_mm=34 if self.small else 52)
        self.place_wide(line, 0, band)
        top = band + (3 if self.small else 6)
        coming = view.steps[view.now + 1 :]
        lying = self._lying(view, walk=True)
        coming = () if lying else coming[:1] if self.small else coming
        rest = 20.0 if lying else len(coming) * (12.0 if self.small else 11.0)
        sizes = ((T.T5, 3), (T.T4, 3), (T.T3, 4)) if self.small else ((T.T6, 2), (T.T5, 3), (T.T4, 4))
        now = Words(self.glass, view.steps[view.now], size=sizes, weight=EXTRA, pitch=1.6)
        self.place(now, edge, top, wide, low - top - rest - 2)
        if coming:
            self.place(StepList(self.glass, coming, view.now + 2, quiet=True), edge, low - rest, wide, rest)
        return top
