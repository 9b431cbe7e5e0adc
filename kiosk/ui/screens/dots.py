"""Four dots, touched one after the other: how far beside its aim a gloved finger lands on this panel."""

from dataclasses import replace
from math import hypot
from typing import Any

from PySide6.QtCore import QPointF, QRectF
from PySide6.QtWidgets import QWidget

from kiosk.core import views
from kiosk.ui.parts.glass import Glass
from kiosk.ui.parts.pen import Pen
from kiosk.ui.parts.touch import TouchButton
from kiosk.ui.parts.tube import center_line
from kiosk.ui.screens.doing import DoingScreen
from kiosk.ui.theme import BOLD, T

PLACES = ((0.14, 0.2), (0.86, 0.2), (0.14, 0.8), (0.86, 0.8))
"""Where the dots stand, as shares of the room: near its corners, where a finger comes from another side each."""
NEAR_MM = 14.0
"""A touch further from the dot than this was none at it (a choice, no source)."""
RING_MM, DOT_MM = 14.0, 1.6


class DotGround(TouchButton):
    """All of the room is the target: a touch is measured wherever it lands."""

    role = "band"

    def __init__(self, glass: Glass, count: tuple[str, ...], parent: QWidget | None = None) -> None:
        super().__init__(glass, parent=parent)
        self._count = count
        self.offsets: list[tuple[float, float]] = []
        self.setObjectName("dots")
        self.setAccessibleName(count[0])

    def dot(self) -> QPointF:
        """The middle of the dot to be touched, in px."""
        x, y = PLACES[min(len(self.offsets), len(PLACES) - 1)]
        return QPointF(self.width() * x, self.height() * y)

    def fire(self, at: QPointF) -> None:
        """Measure a touch; one that was none at the dot changes nothing."""
        off, fine = at - self.dot(), self.glass.metrics.true_px_per_mm
        if len(self.offsets) < len(PLACES) and hypot(off.x(), off.y()) / fine <= NEAR_MM:
            self.offsets.append((off.x() / fine, off.y() / fine))
            self.setAccessibleName(self._count[min(len(self.offsets), len(self._count) - 1)])
            self.update()
            super().fire(at)

    def draw(self, pen: Pen) -> None:
        pen.fill(self.area(), "plate")
        center_line(pen, 0, self.width(), self.height() / 2)
        words = QRectF(0, 0, self.width() * 0.5, pen.mm(20))
        words.moveCenter(QPointF(self.width() / 2, self.height() / 2))
        text = self._count[min(len(self.offsets), len(self._count) - 1)]
        pen.fill(words.adjusted(words.width() * 0.2, 0, -words.width() * 0.2, 0), "plate")
        pen.text(words, text, ((T.T5, 1), (T.T4, 1), (T.T3, 1)), BOLD, bg="plate", align="center")
        for n, (x, y) in enumerate(PLACES):
            middle = QPointF(self.width() * x, self.height() * y)
            if n < len(self.offsets):
                pen.solid("hair")
                pen.painter.drawEllipse(middle, pen.mm(DOT_MM), pen.mm(DOT_MM))
            elif n == len(self.offsets):
                pen.stroke("ink", 1.2)
                pen.painter.drawEllipse(middle, pen.mm(RING_MM) / 2, pen.mm(RING_MM) / 2)
                for across, down in ((1, 0), (-1, 0), (0, 1), (0, -1)):
                    near, far = pen.mm(RING_MM * 0.32), pen.mm(RING_MM * 0.8)
                    start = middle + QPointF(across * near, down * near)
                    end = middle + QPointF(across * far, down * far)
                    pen.line(start.x(), start.y(), end.x(), end.y())
                pen.solid("ink")
                pen.painter.drawEllipse(middle, pen.mm(DOT_MM), pen.mm(DOT_MM))


class DotsScreen(DoingScreen):
    """Sends what the view's `done` says with the four offsets in mm, right and down, in its `value`."""

    def __init__(self, glass: Glass, parent: QWidget | None = None) -> None:
        super().__init__(glass, parent)
        self.ground: DotGround | None = None
        self._done: Any = None

    def show_view(self, view: views.DotsView) -> None:
        """Show the first dot."""
        self._done = view.done.send
        if not self.another(view):
            return
        width, height = self.slot_mm
        edge = self.glass.metrics.edge_mm
        self.ground = DotGround(self.glass, view.count)
        self.ground.tapped.connect(self._on_dot)
        self.place(self.ground, edge, 0, width - 2 * edge, height - (4 if self.small else 6))

    def begin(self) -> None:
        """Shown again, the dots begin anew."""
        super().begin()
        if self.ground is not None:
            self.ground.offsets.clear()
            self.ground.update()

    def _on_dot(self) -> None:
        ground = self.ground
        if ground is not None and len(ground.offsets) == len(PLACES):
            self.send(replace(self._done, value=" ".join(f"{x:.2f} {y:.2f}" for x, y in ground.offsets)))
