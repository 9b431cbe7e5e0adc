"""Pictures of parts as they were last painted, so that a part that looks the same again is not painted again."""

from collections import OrderedDict
from collections.abc import Hashable

from PySide6.QtGui import QPixmap

MOST_PIXELS = 16_000_000
"""What the gallery may hold (64 MB): some eight full screens of 1920x1080."""


class Gallery:
    """The pictures painted last, by everything they depend on."""

    def __init__(self, most_pixels: int = MOST_PIXELS) -> None:
        self._most, self._held = most_pixels, 0
        self._pictures: OrderedDict[Hashable, QPixmap] = OrderedDict()

    def find(self, key: Hashable) -> QPixmap | None:
        """The picture painted for this key, if it is still here."""
        picture = self._pictures.get(key)
        if picture is not None:
            self._pictures.move_to_end(key)
        return picture

    def keep(self, key: Hashable, picture: QPixmap) -> None:
        """Keep a picture; the ones not looked at for longest make room."""
        self._pictures[key] = picture
        self._held += picture.width() * picture.height()
        while self._held > self._most and len(self._pictures) > 1:
            _, gone = self._pictures.popitem(last=False)
            self._held -= gone.width() * gone.height()
