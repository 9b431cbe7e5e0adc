"""A page of big keys with words."""

from PySide6.QtCore import QSizeF

from kiosk.core import views
from kiosk.ui.screens.doing import OVER_CAPITALS_MM, UNDER_CAPITALS, DoingScreen, Lines, stacked
from kiosk.ui.theme import T

COLUMNS = 3
SIZES = ((T.T4, 1), (T.T3, 1), (T.T2, 1), (T.T1, 1), (T.T1, 2), (T.T1, 3))


class MenuScreen(DoingScreen):
    """Lines to read, then the keys, from the left."""

    def show_view(self, view: views.MenuView) -> None:
        """Show the keys."""
        if not self.another(view):
            return
        width, height = self.slot_mm
        edge, gap = self.glass.metrics.edge_mm, 4.0 if self.small else 8.0
        places = view.places or tuple(range(len(view.keys)))
        rows = max(1, view.rows, -(-(max(places, default=0) + 1) // COLUMNS))
        least = rows * 18 + (rows - 1) * gap
        wide = (width - 2 * edge - (COLUMNS - 1) * gap) / COLUMNS
        foot, gap_mm = (3.0, 2.4) if self.small else (6.0, 5.0)
        beside = foot + (3 if self.small else 8)  # what the lines do not have of the room over the keys
        read = self._lines_mm(view, width - 2 * edge, height - least - beside, gap_mm)
        spare = height - least - max(16 if self.small else 28, read + beside)
        tall = min(18 + max(0.0, spare) / rows, 26 if self.small else 34)
        block = rows * tall + (rows - 1) * gap
        top = height - block - foot
        lines = Lines(self.glass).show_lines(view.lines, SIZES, gap_mm=gap_mm)
        self.place(lines, edge, 2 if self.small else 4, width - 2 * edge, top - (3 if self.small else 8))
        for n, each in zip(places, view.keys, strict=True):
            if view.goes_on and each is view.keys[-1]:  # what goes on is low on the right
                n = rows * COLUMNS - 1
            x, y = edge + n % COLUMNS * (wide + gap), top + n // COLUMNS * (tall + gap)
            self.place(self.key(each, size=T.T2 if self.small else T.T3), x, y, wide, tall)

    def _lines_mm(self, view: views.MenuView, wide: float, most: float, gap_mm: float) -> float:
        """The height that the lines need, in the largest size that the keys leave room for."""
        if not view.lines:
            return 0.0
        box = QSizeF(wide, most) * self.glass.mm(1)
        _, heights, _ = stacked(self.glass, box, view.lines, SIZES[2:], gap_mm=gap_mm)
        under = self.glass.metrics.capital(T.T1) * UNDER_CAPITALS
        return sum(heights) / self.glass.mm(1) + gap_mm * (len(heights) - 1) + under + OVER_CAPITALS_MM + 0.3
