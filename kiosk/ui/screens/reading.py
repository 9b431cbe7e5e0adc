"""A picture of the reading practice with its three answers, and a picture to look at together."""

from collections.abc import Callable
from pathlib import Path

from PySide6.QtCore import QSizeF
from PySide6.QtGui import QImage
from PySide6.QtWidgets import QWidget

from kiosk.core import views
from kiosk.ui.parts.answers import AnswerRow, low_mm
from kiosk.ui.parts.glass import Glass
from kiosk.ui.parts.pages import Pager
from kiosk.ui.screens.doing import DoingScreen, Lines
from kiosk.ui.screens.photo import as_kept, read_picture
from kiosk.ui.screens.second_look import Still
from kiosk.ui.screens.stop import Sentence
from kiosk.ui.theme import BOLD, T


class KeptPictures(DoingScreen):
    """A screen that shows kept pictures, found by their names."""

    def __init__(self, glass: Glass, parent: QWidget | None = None) -> None:
        super().__init__(glass, parent)
        self._kept: Callable[[str], Path] = Path

    def set_kept(self, kept: Callable[[str], Path]) -> None:
        """Where a kept picture lies, by its name."""
        self._kept = kept

    def image(self, name: str, sha256: str, wide: float, high: float) -> QImage:
        """The picture no larger than so many mm; a null image where it does not lie here, or is not what was kept."""
        box = QSizeF(self.glass.mm(wide), self.glass.mm(high))
        return read_picture(self._kept(name), box) if name and as_kept(self._kept(name), sha256) else QImage()

    def is_other(self, name: str, sha256: str) -> bool:
        """Does a file of this name lie here that is not what was kept?"""
        return bool(name) and self._kept(name).is_file() and not as_kept(self._kept(name), sha256)


class ReadingScreen(KeptPictures):
    """One picture as large as there is room, the answers at the places where they always stand."""

    def __init__(self, glass: Glass, parent: QWidget | None = None) -> None:
        super().__init__(glass, parent)
        self.answers: AnswerRow | None = None

    def show_view(self, view: views.ReadingView) -> None:
        """Show the picture that is asked. Where it does not lie here nothing can be answered."""
        if not self.another(view, big=False):
            return
        metrics = self.glass.metrics
        width, height = self.slot_mm
        edge, answers = metrics.edge_mm, low_mm(self.glass)
        low = height - answers - (1.5 if self.small else 4.0)
        high = low - (2.5 if self.small else 4.0)
        image = self.image(view.picture, view.sha256, width - 2 * edge, high)
        self.answers = None
        if image.isNull():
            self.place_wide(Sentence(self.glass, view.none), 1, high)
            return
        self.place(Still(self.glass, image, view.help), edge, 0.5, width - 2 * edge, high)
        self.answers = AnswerRow(self.glass, view.no, view.yes, view.unsure, low=True)
        self.answers.answered.connect(self._on_answer)
        self.place(self.answers, 0, low, metrics.content_mm, answers)

    def _on_answer(self, _answer: str, send: object) -> None:
        self.send(send)


class PictureScreen(KeptPictures):
    """A picture, the lines about it beside it, and the keys for the picture before and after."""

    def show_view(self, view: views.PictureView) -> None:
        """Show a picture."""
        if not self.another(view, big=False):
            return
        width, height = self.slot_mm
        edge, gap = self.glass.metrics.edge_mm, 4.0 if self.small else 7.0
        foot = 21.0 if self.small else 26.0
        room = height - (foot if view.pages > 1 or view.main else 3.0)
        wide = (width - 2 * edge) * 0.62
        image = self.image(view.picture, view.sha256, wide, room - 1)
        left = edge + wide + gap
        none = view.changed if self.is_other(view.picture, view.sha256) else view.none
        lines = view.lines if not image.isNull() else (*view.lines, none)
        if not image.isNull():
            self.place(Still(self.glass, image, view.lines[0]), edge, 0.5, wide, room - 1)
        else:
            left = edge
        words = Lines(self.glass).show_lines(lines, ((T.T4, 2), (T.T3, 3), (T.T2, 4)), weight=BOLD, gap_mm=4)
        self.place(words, left, 1.5, width - edge - left, room - 2)
        low = height - foot + 1.5
        tall = 18.0
        key = 52.0 if view.main else 0.0
        if view.main:
            self.place(self.key(view.main), width - edge - key, low, key, tall)
        if view.pages > 1:
            pager = Pager(self.glass)
            first, last = view.page == 0, view.page == view.pages - 1
            pager.show_page(view.page_words, view.previous, view.next, first=first, last=last)
            self.place(pager, edge, low, width - 2 * edge - key - (gap if key else 0), tall)
