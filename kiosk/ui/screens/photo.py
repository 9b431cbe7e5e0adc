"""A picture of what was seen, chosen from the picture folder, or the reason why there is none."""

import hashlib
from collections.abc import Callable, Sequence
from dataclasses import replace
from functools import lru_cache
from pathlib import Path

from PySide6.QtCore import QRectF, QSize, QSizeF, Qt, Signal
from PySide6.QtGui import QImage, QImageReader
from PySide6.QtWidgets import QWidget

from kiosk.core import views
from kiosk.ui.parts.glass import Glass
from kiosk.ui.parts.lens import draw_picture
from kiosk.ui.parts.pen import Pen
from kiosk.ui.parts.touch import TouchButton
from kiosk.ui.parts.words import Words
from kiosk.ui.screens.doing import DoingScreen
from kiosk.ui.screens.stop import Sentence
from kiosk.ui.theme import BOLD, T

A_PAGE = 3
NAME_LETTERS = 22  # a file name has no spaces to break at


def no_pictures() -> Sequence[Path]:
    """Until the window gives a source."""
    return ()


class PictureKey(TouchButton):
    """A picture in a neutral surround, never tinted, over the words that say what a touch does."""

    keeps_sides = True

    def __init__(self, glass: Glass, path: Path, words: str) -> None:
        super().__init__(glass, "picture", str(path))
        self._path, self._words = path, " ".join(words.split())
        self._image = QImage()
        self.setObjectName(f"picture {path.name}")
        self.setAccessibleName(f"{self._words} {path.name}")

    def load(self, box: QSizeF) -> None:
        """Read the picture no larger than its box in px; one that can not be read stays a plain tile."""
        self._image = read_picture(self._path, box)

    def draw(self, pen: Pen) -> None:
        fill, edge, words = ("ink", "ink", "on_fill") if self.pressed else ("plate", "line", "ink")
        pen.plate(self.area(), fill, edge if self.awake or self.pressed else "", outside="field")
        strip = pen.mm(9 if self.glass.metrics.small else 13)
        lens = self.area().adjusted(pen.mm(2), pen.mm(2), -pen.mm(2), -strip)
        pen.fill(lens, "lens")
        inside = lens.adjusted(pen.mm(1), pen.mm(1), -pen.mm(1), -pen.mm(1))
        if self._image.isNull():
            pen.fill(inside, "well")
            name = "\n".join(pieces(self._path.name, NAME_LETTERS))
            pen.text(
                inside.adjusted(pen.mm(1), 0, -pen.mm(1), 0),
                name,
                ((T.T2, 3), (T.T1, 6)),
                bg="well",
                align="center",
                pitch=1.5,
            )
        else:
            draw_picture(pen, self._image, inside)
        under = QRectF(pen.mm(2), self.height() - strip, self.width() - pen.mm(4), strip - pen.mm(0.5))
        pen.text(under, self._words, ((T.T3, 1), (T.T2, 1), (T.T1, 1)), BOLD, fg=words, bg=fill, align="center")


_KEEP = Qt.AspectRatioMode.KeepAspectRatio


def read_picture(path: Path, box: QSizeF) -> QImage:
    """The picture, no larger than `box` in px; a null image where it can not be read."""
    reader = QImageReader(str(path))
    reader.setAutoTransform(True)
    size = reader.size()
    if size.isValid():
        reader.setScaledSize(size.scaled(QSize(round(box.width()), round(box.height())), _KEEP))
    return reader.read() if reader.canRead() else QImage()


def as_kept(path: Path, sha256: str) -> bool:
    """Are the file's bytes those of this SHA-256? False too where it can not be read. Read again once it changed."""
    try:
        found = path.stat()
        return _sha256(path, found.st_mtime_ns, found.st_size) == sha256
    except OSError:
        return False


@lru_cache(maxsize=64)
def _sha256(path: Path, _changed_ns: int, _size: int) -> str:
    with path.open("rb") as file:
        return hashlib.file_digest(file, "sha256").hexdigest()


def pieces(name: str, size: int) -> list[str]:
    """A long name in lines; all of it."""
    return [name[at : at + size] for at in range(0, len(name), size)]


class PhotoScreen(DoingScreen):
    """Up to three pictures a page, newest first. One touch takes a picture; it can be taken anew afterwards."""

    picture_chosen = Signal(str)

    def __init__(self, glass: Glass, parent: QWidget | None = None) -> None:
        super().__init__(glass, parent)
        self._source: Callable[[], Sequence[Path]] = no_pictures
        self._view: views.PhotoView | None = None
        self._files: tuple[Path, ...] = ()
        self._first = 0
        self._made_of: tuple[tuple[Path, ...], int] = ((), 0)

    def set_source(self, pictures: Callable[[], Sequence[Path]]) -> None:
        """Where the pictures are listed, newest first."""
        self._source = pictures
        self._list()

    def show_view(self, view: views.PhotoView) -> None:
        """Show what is in the folder now."""
        if self._view is None or replace(view, notice="", head=self._view.head) != replace(self._view, notice=""):
            self._first = 0
        self._view = view
        self._list()

    def _list(self) -> None:
        view = self._view
        if view is None:
            return
        self._files = tuple(self._source())
        self._first = min(self._first, max(0, len(self._files) - 1)) // A_PAGE * A_PAGE
        page: list[views.Key] = []
        if self._first:
            page.append(views.Key(label="", icon="arrow_left", name="newer pictures"))
        if self._first + A_PAGE < len(self._files):
            page.append(views.Key(label="", icon="arrow_right", name="older pictures"))
        page.append(views.Key(label=view.refresh, name="list pictures"))
        other = self.another(view, replace(view.hand, right=(*view.hand.right, *page)), big=False)
        if other or self._made_of != (self._files, self._first):
            self._made_of = self._files, self._first
            self.clear_slot()
            self._fill(view)

    def _fill(self, view: views.PhotoView) -> None:
        width, height = self.slot_mm
        edge = self.glass.metrics.edge_mm
        gap = 5.0 if self.small else 8.0
        low = height - (2.5 if self.small else 6)
        tall = 18.0 if self.small else 24.0
        wide = (width - 2 * edge - 2 * gap) / 3
        for n, reason in enumerate(view.reasons):
            self.place(self.key(reason), edge + n * (wide + gap), low - tall, wide, tall)
        title = "\n".join((*(view.facts if self.small else ()), view.source_words))
        line = (12.0 if view.facts else 7.0) if self.small else 10.0
        bottom = low - tall - (4 if self.small else 7)
        shown = self._files[self._first : self._first + A_PAGE]
        if not shown:
            self.place_wide(Sentence(self.glass, view.none_yet), line, bottom - line)
        words = Words(self.glass, title, size=((T.T2, 1), (T.T1, 1), (T.T1, 2)), fg="ink2", pitch=1.4)
        self.place(words, edge, 0, width - 2 * edge, line)
        for n, path in enumerate(shown):
            key = PictureKey(self.glass, path, view.use)
            self.place(key, edge + n * (wide + gap), line + 0.5, wide, bottom - line - 0.5)
            key.load(QSizeF(key.size()))

    def _on_action(self, action: str, payload: object) -> None:
        if action == "picture" and isinstance(payload, str):
            self.picture_chosen.emit(payload)
        elif action in _TURNS:
            self._first += _TURNS[action]
            self._list()
        else:
            super()._on_action(action, payload)


_TURNS = {"newer pictures": -A_PAGE, "older pictures": A_PAGE, "list pictures": 0}
