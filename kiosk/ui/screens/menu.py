"""A page of big keys with words."""

from kiosk.core import views
from kiosk.ui.screens.doing import DoingScreen, Lines
from kiosk.ui.theme import T

COLUMNS = 3


class MenuScreen(DoingScreen):
    """Lines to read, then the keys, from the left."""

    def show_view(self, view: views.MenuView) -> None:
        """Show the keys."""
        if not self.another(view):
            return
        width, height = self.slot_mm
        edge, gap = self.glass.metrics.edge_mm, 4.0 if self.small else 8.0
        rows = max(1, -(-len(view.keys) // COLUMNS))
        least = rows * 18 + (rows - 1) * gap
        wide = (width - 2 * edge - (COLUMNS - 1) * gap) / COLUMNS
        spare = height - least - (16 if self.small else 28)
        tall = min(18 + max(0.0, spare) / rows, 26 if self.small else 34)
        block = rows * tall + (rows - 1) * gap
        top = height - block - (3 if self.small else 6)
        lines = Lines(self.glass).show_lines(
            view.lines, ((T.T4, 1), (T.T3, 1), (T.T2, 1), (T.T1, 1), (T.T1, 2)), gap_mm=2.4 if self.small else 5
        )
        self.place(lines, edge, 2 if self.small else 4, width - 2 * edge, top - (3 if self.small else 8))
        last = len(view.keys) - 1
        for n, each in enumerate(view.keys):
            if n == last and each.kind == "main":  # what goes on is low on the right
                n = rows * COLUMNS - 1
            x, y = edge + n % COLUMNS * (wide + gap), top + n // COLUMNS * (tall + gap)
            self.place(self.key(each, size=T.T2 if self.small else T.T3), x, y, wide, tall)
