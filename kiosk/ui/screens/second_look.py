"""What the second person is asked: the tube, the picture, five words in one row. Nothing of the first answer."""

from collections.abc import Callable
from pathlib import Path

from PySide6.QtCore import QSizeF
from PySide6.QtGui import QImage
from PySide6.QtWidgets import QWidget

from kiosk.core import views
from kiosk.ui.parts.band import LumenBand
from kiosk.ui.parts.drawn import Drawn
from kiosk.ui.parts.glass import Glass
from kiosk.ui.parts.lens import draw_picture
from kiosk.ui.parts.pen import Pen
from kiosk.ui.screens.doing import DoingScreen, Lines
from kiosk.ui.screens.photo import read_picture
from kiosk.ui.theme import BOLD, T


class Still(Drawn):
    """A kept picture in its neutral surround, never tinted."""

    keeps_sides = True

    def __init__(self, glass: Glass, image: QImage, words: str) -> None:
        super().__init__(glass)
        self._image = image
        self.setAccessibleName(words)

    def draw(self, pen: Pen) -> None:
        pen.fill(self.area(), "lens")
        draw_picture(pen, self._image, self.area().adjusted(pen.mm(1), pen.mm(1), -pen.mm(1), -pen.mm(1)))


class SecondLookScreen(DoingScreen):
    """The second person's page."""

    def __init__(self, glass: Glass, parent: QWidget | None = None) -> None:
        super().__init__(glass, parent)
        self._kept: Callable[[str], Path] = Path

    def set_kept(self, kept: Callable[[str], Path]) -> None:
        """Where a kept picture lies, by its name."""
        self._kept = kept

    def show_view(self, view: views.SecondLookView) -> None:
        """Show what is to be looked at."""
        if not self.another(view, big=False):
            return
        width, height = self.slot_mm
        edge, gap = self.glass.metrics.edge_mm, 5.0 if self.small else 6.0
        high = 28.0 if self.small else 36.0
        band = LumenBand(self.glass)
        self.place_wide(band, 0, high)
        band.show_band(view.band)
        low = height - (2.5 if self.small else 6)
        tall = 24.0 if self.small else 30.0
        wide = (width - 2 * edge - (len(view.keys) - 1) * gap) / len(view.keys)
        for n, key in enumerate(view.keys):
            self.place(self.key(key), edge + n * (wide + gap), low - tall, wide, tall)
        top, bottom = high + (2.5 if self.small else 6), low - tall - (2.5 if self.small else 6)
        self._show_picture(view, edge, top, width - 2 * edge, bottom - top)

    def _show_picture(self, view: views.SecondLookView, x: float, y: float, wide: float, high: float) -> None:
        """The place in words, and the picture beside it as large as there is room."""
        share = 0.5
        image = self._image(view.picture, QSizeF(self.glass.mm(wide * share), self.glass.mm(high)))
        lines = (view.place,) if not image.isNull() else (view.place, view.none)
        room = wide * (1 - share) - 6 if not image.isNull() else wide
        words = Lines(self.glass).show_lines(lines, ((T.T4, 2), (T.T3, 3), (T.T2, 4)), weight=BOLD, gap_mm=4)
        self.place(words, x, y + 1, room, high - 1)
        if not image.isNull():
            self.place(Still(self.glass, image, view.place), x + wide * (1 - share), y, wide * share, high)

    def _image(self, name: str, box: QSizeF) -> QImage:
        return read_picture(self._kept(name), box) if name else QImage()
