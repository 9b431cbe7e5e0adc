"""The scope's picture in its neutral surround: as it comes, never tinted and never made better."""

from typing import Any, Protocol

from PySide6.QtCore import QRectF
from PySide6.QtGui import QImage
from PySide6.QtWidgets import QWidget

from kiosk.ui.parts.drawn import Drawn
from kiosk.ui.parts.glass import Glass
from kiosk.ui.parts.pen import Pen
from kiosk.ui.theme import BOLD, T


class LensSource(Protocol):
    """What a screen knows of a source of pictures (`kiosk.devices.picture`). `state` reads as its name: live, gone."""

    framed: Any
    state_changed: Any

    @property
    def state(self) -> str: ...
    @property
    def about(self) -> str: ...
    def still(self) -> Any: ...


class Lens(Drawn):
    """A picture whole, in the middle, on the surround; or one sentence where there is none."""

    keeps_sides = True

    lies_on = "lens"

    def __init__(self, glass: Glass, parent: QWidget | None = None) -> None:
        super().__init__(glass, parent)
        self._image, self._words = QImage(), ""

    @property
    def image(self) -> QImage:
        """What is shown, as it came; a null image where a sentence stands."""
        return self._image

    def show_image(self, image: QImage) -> None:
        """Show a picture."""
        self._image, self._words = image, ""
        self.update()

    def show_words(self, words: str) -> None:
        """Say why there is no picture. None is shown then: an old one could be taken for the tube before the lens."""
        if words != self._words or not self._image.isNull():
            self._image, self._words = QImage(), words
            self.setAccessibleName(words)
            self.update()

    def draw(self, pen: Pen) -> None:
        pen.fill(self.area(), "lens")
        inside = self.area().adjusted(pen.mm(1), pen.mm(1), -pen.mm(1), -pen.mm(1))
        if not self._image.isNull():
            draw_picture(pen, self._image, inside)
            return
        words = inside.adjusted(pen.mm(5), 0, -pen.mm(5), 0)
        sizes = ((T.T4, 1), (T.T3, 1), (T.T3, 2), (T.T2, 3), (T.T2, 5), (T.T1, 6))
        pen.text(words, self._words, sizes, BOLD, fg="onrail", bg="lens", align="center", pitch=1.5)


def draw_picture(pen: Pen, image: QImage, inside: QRectF) -> None:
    """The picture whole, in the middle of `inside`."""
    wide, tall = image.width(), image.height()
    scale = min(inside.width() / wide, inside.height() / tall)
    width, height = wide * scale, tall * scale
    middle = inside.center()
    pen.painter.drawImage(QRectF(middle.x() - width / 2, middle.y() - height / 2, width, height), image)
