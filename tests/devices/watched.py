"""Keeps what a source of pictures gave and said."""

import numpy as np
from PySide6.QtCore import QObject, Slot
from PySide6.QtGui import QImage

from kiosk.devices.picture import Frame, LiveSource, State
from tests.devices.videos import Picture


class Watched(QObject):
    """Listens to one source."""

    def __init__(self, source: LiveSource) -> None:
        super().__init__()
        self.source = source
        self.frames: list[Frame] = []
        self.states: list[State] = []
        source.framed.connect(self._came)
        source.state_changed.connect(self._said)

    @Slot(object)
    def _came(self, frame: Frame) -> None:
        self.frames.append(frame)

    @Slot(object)
    def _said(self, state: State) -> None:
        self.states.append(state)


def in_order(told: list[State], *wanted: State) -> bool:
    """Do these come in what was told, in this order? On a busy machine a feed may stand still in between as well."""
    left = iter(told)
    return all(each in left for each in wanted)


def pixels(image: QImage) -> Picture:
    """Rows x columns x RGB."""
    plain = image.convertToFormat(QImage.Format.Format_RGB888)
    flat = np.frombuffer(plain.constBits(), np.uint8).reshape(plain.height(), plain.bytesPerLine())
    return flat[:, : plain.width() * 3].reshape(plain.height(), plain.width(), 3).copy()


def image_of(picture: Picture) -> QImage:
    """A QImage of its own."""
    height, width = picture.shape[:2]
    return QImage(picture.tobytes(), width, height, 3 * width, QImage.Format.Format_RGB888).copy()
