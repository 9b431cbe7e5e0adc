"""Charts on plates: up to four, each leading to its own page, or one alone with what it can not say under it."""

from PySide6.QtCore import QRectF
from PySide6.QtWidgets import QWidget

from kiosk.core import views
from kiosk.ui.parts.charts import paint_drawing
from kiosk.ui.parts.drawn import Drawn
from kiosk.ui.parts.glass import Glass
from kiosk.ui.parts.pen import Pen
from kiosk.ui.parts.touch import TouchButton
from kiosk.ui.screens.doing import DoingScreen, Lines
from kiosk.ui.theme import BOLD, REGULAR, T

PAD_MM, TITLE_MM = 5.0, 8.0
FOOT_MM, KEY_MM = 22.0, 18.0
GAP_MM = 4.0
LEFT_SHARE = 0.58  # of the width: charts with an axis want more room than bars
LINES_MM, LINE_MM = 32.0, 6.0  # under a chart that stands alone; more where there are more than three lines


def _paint(pen: Pen, area: QRectF, panel: views.Panel, bg: str) -> None:
    pad = pen.mm(PAD_MM)
    room = area.adjusted(pad, pen.mm(4), -pad, -pen.mm(3))
    if panel.title:
        title = QRectF(room.left(), room.top(), room.width(), pen.mm(TITLE_MM - 2))
        stands = pen.text(title, panel.title, ((T.T3, 1), (T.T2, 1), (T.T1, 1)), BOLD, bg=bg, up="top", shorten=True)
        note = QRectF(stands.right() + pad, room.top(), room.right() - stands.right() - pad, pen.mm(TITLE_MM - 2))
        if panel.note and note.width() > pen.mm(20):
            pen.text(note, panel.note, T.T1, fg="ink2", bg=bg, up="top", align="right", shorten=True)
        room.setTop(room.top() + pen.mm(TITLE_MM))
    elif panel.note:
        foot = QRectF(room.left(), room.bottom() - pen.mm(4), room.width(), pen.mm(4))
        pen.text(foot, panel.note, T.T1, fg="ink2", bg=bg, align="right")
        room.setBottom(room.bottom() - pen.mm(6))
    if panel.drawing is None:
        pen.text(room, panel.nothing, ((T.T2, 3), (T.T1, 4)), REGULAR, bg=bg, align="center")
    else:
        paint_drawing(pen, room, panel.drawing, bg)


class OpenPanel(TouchButton):
    """A chart that leads to its page: it has an edge."""

    keeps_sides = True

    role = "row"

    def __init__(self, glass: Glass, panel: views.Panel, parent: QWidget | None = None) -> None:
        super().__init__(glass, panel.name or "send", panel.send, parent=parent)
        self._panel = panel
        self.setObjectName(panel.name)
        self.setAccessibleName(panel.title)

    def draw(self, pen: Pen) -> None:
        fill = "well" if self.pressed else "plate"
        pen.plate(self.area(), fill, "line" if self.awake else "", outside="field")
        _paint(pen, self.area(), self._panel, fill)


class ReadPanel(Drawn):
    """A chart to read."""

    keeps_sides = True

    def __init__(self, glass: Glass, panel: views.Panel, parent: QWidget | None = None) -> None:
        super().__init__(glass, parent)
        self._panel = panel
        self.setAccessibleName(panel.title)

    def draw(self, pen: Pen) -> None:
        pen.plate(self.area(), "plate", outside="field")
        _paint(pen, self.area(), self._panel, "plate")


class PanelsScreen(DoingScreen):
    """The charts, and the keys at the foot."""

    def show_view(self, view: views.PanelsView) -> None:
        """Show them."""
        if not self.another(view, big=False):
            return
        width, height = self.slot_mm
        edge = self.glass.metrics.edge_mm
        tall = height - FOOT_MM - 3
        if len(view.panels) == 1:
            self._alone(view, width - 2 * edge, tall)
        else:
            self._together(view, width - 2 * edge, tall)
        self._foot(view, width, height - FOOT_MM + 2)

    def _alone(self, view: views.PanelsView, wide: float, tall: float) -> None:
        edge = self.glass.metrics.edge_mm
        under = LINES_MM + LINE_MM * max(0, len(view.lines) - 3) if view.lines else 0.0
        self.place(ReadPanel(self.glass, view.panels[0]), edge, 1, wide, tall - under)
        if view.lines:
            lines = Lines(self.glass).show_lines(view.lines, ((T.T2, 1), (T.T1, 1), (T.T1, 2)), gap_mm=2.0)
            self.place(lines, edge, tall - under + 2.5, wide, under - 3)

    def _together(self, view: views.PanelsView, wide: float, tall: float) -> None:
        edge = self.glass.metrics.edge_mm
        rows = -(-len(view.panels) // 2)
        left = (wide - GAP_MM) * (0.5 if self.small else LEFT_SHARE)
        high = (tall - (rows - 1) * GAP_MM) / rows
        for n, panel in enumerate(view.panels):
            x, w = (edge, left) if n % 2 == 0 else (edge + left + GAP_MM, wide - GAP_MM - left)
            self.place(OpenPanel(self.glass, panel), x, 1 + n // 2 * (high + GAP_MM), w, high)

    def _foot(self, view: views.PanelsView, width: float, top: float) -> None:
        edge, gap = self.glass.metrics.edge_mm, self.glass.metrics.gap_mm
        keys = (*((view.main,) if view.main else ()), *view.others)
        wide = min(62.0, (width - 2 * edge - (len(keys) - 1) * gap) / max(1, len(keys)))
        right = width - edge
        for key in keys:
            self.place(self.key(key), right - wide, top, wide, KEY_MM)
            right -= wide + gap
