"""The trip has ended: rings in order on the center line, the numbers, where the papers are."""

from PySide6.QtCore import QSizeF

from kiosk.core import views
from kiosk.ui.parts.words import Words
from kiosk.ui.screens.doing import OVER_CAPITALS_MM, DoingScreen, Lines, RingLine, stacked
from kiosk.ui.theme import BOLD, T

SIZES = ((T.T3, 1), (T.T2, 1), (T.T1, 1), (T.T1, 2))


class DoneScreen(DoingScreen):
    """What was done, and the way on."""

    def show_view(self, view: views.DoneView) -> None:
        """Show the end of a trip."""
        if not self.another(view):
            return
        width, height = self.slot_mm
        edge = self.glass.metrics.edge_mm
        main = (64.0, 22.0) if self.small else (110.0, 40.0)
        low = height - (3 if self.small else 6)
        wide = width - 2 * edge - main[0] - 6
        gap_mm = 2.6 if self.small else 5.0
        band, top = self._above(view, QSizeF(wide, low), gap_mm)
        self.place_wide(RingLine(self.glass, view.rings), 0, band)
        self.place(self.key(view.main, size=T.T3), width - edge - main[0], low - main[1], *main)
        saying = ((T.T4, 1), (T.T3, 1), (T.T2, 1)) if self.small else ((T.T5, 1), (T.T4, 1))
        self.place(Words(self.glass, view.saying, size=saying, weight=BOLD), edge, band + 1.5, width - 2 * edge, 10)
        lines = Lines(self.glass).show_lines(view.lines, SIZES, fg="ink2", gap_mm=gap_mm)
        self.place(lines, edge, top, wide, height - 0.5 - top)

    def _above(self, view: views.DoneView, room: QSizeF, gap_mm: float) -> tuple[float, float]:
        """Height of the rings' line and where the lines begin: the rings give way to what is to be read."""
        usual = self.glass.metrics.band_mm - (5 if self.small else 0)
        for band in (usual, *((20.0, 15.0) if self.small else (34.0,))):
            top = band + (13 if self.small else 19)
            box = QSizeF(room.width(), room.height() + 2 - top - OVER_CAPITALS_MM) * self.glass.mm(1)
            if stacked(self.glass, box, view.lines, SIZES, gap_mm=gap_mm)[2]:
                break
        return band, top
