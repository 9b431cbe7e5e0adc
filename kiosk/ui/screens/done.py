"""The trip has ended: rings in order on the center line, the numbers, where the papers are."""

from kiosk.core import views
from kiosk.ui.parts.words import Words
from kiosk.ui.screens.doing import DoingScreen, Lines, RingLine
from kiosk.ui.theme import BOLD, T


class DoneScreen(DoingScreen):
    """What was done, and the way on."""

    def show_view(self, view: views.DoneView) -> None:
        """Show the end of a trip."""
        if not self.another(view):
            return
        width, height = self.slot_mm
        edge, band = self.glass.metrics.edge_mm, self.glass.metrics.band_mm
        band -= 5 if self.small else 0
        self.place_wide(RingLine(self.glass, view.rings), 0, band)
        main = (78.0, 24.0) if self.small else (110.0, 40.0)
        low = height - (3 if self.small else 6)
        self.place(self.key(view.main, size=T.T3), width - edge - main[0], low - main[1], *main)
        top = band + (4 if self.small else 7)
        sizes = ((T.T4, 1), (T.T3, 1), (T.T2, 1)) if self.small else ((T.T5, 1), (T.T4, 1))
        self.place(Words(self.glass, view.saying, size=sizes, weight=BOLD), edge, top - 2, width - 2 * edge, 11)
        top += 11 if self.small else 14
        wide = width - 2 * edge - main[0] - 8
        lines = Lines(self.glass).show_lines(
            view.lines, ((T.T3, 1), (T.T2, 1), (T.T2, 2), (T.T1, 2)), fg="ink2", gap_mm=3.2 if self.small else 5
        )
        self.place(lines, edge, top, wide, low - top)
