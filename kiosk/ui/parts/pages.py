"""Pages of rows instead of scrolling: two big keys and "Page 1 of 2" between them."""

from PySide6.QtCore import Signal
from PySide6.QtGui import QResizeEvent
from PySide6.QtWidgets import QWidget

from kiosk.core import views
from kiosk.ui.parts.glass import Glass
from kiosk.ui.parts.keys import KeyButton
from kiosk.ui.parts.touch import TouchGround
from kiosk.ui.parts.words import Words
from kiosk.ui.theme import T

KEY_MM, WORDS_MM = 44.0, 40.0


class Pager(TouchGround):
    """Previous key, words, next key, from left to right over its whole width; a key that leads nowhere is not there."""

    tapped_action = Signal(str, object)

    def __init__(self, glass: Glass, *, ground: str = "field", parent: QWidget | None = None) -> None:
        super().__init__(glass, parent)
        self._ground = ground
        self._words = Words(glass, size=((T.T2, 1), (T.T1, 2)), fg="ink2", bg=ground, align="center", parent=self)
        self.keys: list[KeyButton] = []

    def show_page(self, words: str, previous: views.Key, following: views.Key, *, first: bool, last: bool) -> None:
        """Show where one is; `first` and `last` take away the key that would lead nowhere."""
        self._words.set_text(words)
        for key in self.keys:
            key.hide()
            key.deleteLater()
        self.keys = [KeyButton.of(self.glass, key, ground=self._ground) for key in (previous, following)]
        self.keys[1].icon_right = True
        for key, gone in zip(self.keys, (first, last), strict=True):
            key.setParent(self)
            key.repeats = True  # two touches in a row are meant
            key.tapped_action.connect(self.tapped_action)
            key.setVisible(not gone)
        self._arrange()

    def resizeEvent(self, event: QResizeEvent) -> None:
        super().resizeEvent(event)
        self._arrange()

    def _arrange(self) -> None:
        wide = min(round(self.glass.mm(KEY_MM)), (self.width() - round(self.glass.mm(28))) // 2)
        self._words.setGeometry(wide, 0, self.width() - 2 * wide, self.height())
        for key, x in zip(self.keys, (0, self.width() - wide), strict=False):
            key.setGeometry(x, 0, wide, self.height())
