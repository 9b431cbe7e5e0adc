"""Small pictures of kept stills, in a cache folder of their own: made when shown, never in the log, never sent."""

from collections.abc import Callable
from concurrent.futures import Executor
from contextlib import suppress
from pathlib import Path

from PySide6.QtCore import QObject, QSize, Qt, Signal
from PySide6.QtGui import QImage, QImageReader

SIZE = QSize(320, 240)
"""Within so many pixels (a choice: larger than they are ever shown)."""
MOST = 500
"""Small pictures that stay in the folder (a choice); the oldest go first, and are made again when shown."""
_KEEP = Qt.AspectRatioMode.KeepAspectRatio


class Thumbnails(QObject):
    """`originals` tells where a kept picture lies by its name; `shown` is called when a wanted one was made."""

    _made = Signal()

    def __init__(
        self, folder: Path, originals: Callable[[str], Path], worker: Executor, shown: Callable[[], None]
    ) -> None:
        super().__init__()
        self._folder, self._originals, self._worker, self._shown = folder, originals, worker, shown
        self._asked: set[str] = set()
        self._made.connect(self._on_made)

    def find(self, name: str) -> Path | None:
        """Where the small picture lies; None: it is being made, or its original is gone."""
        path = self._path(name)
        if path.is_file():
            return path
        if name not in self._asked:
            self._asked.add(name)
            with suppress(RuntimeError):  # the worker is being shut down
                self._worker.submit(self._make, name)
        return None

    def make_of(self, name: str, image: QImage) -> None:
        """On the worker: make it of a picture at hand. A folder that takes none costs the small picture only."""
        small = image.scaled(SIZE, _KEEP, Qt.TransformationMode.SmoothTransformation)
        with suppress(OSError):
            self._folder.mkdir(exist_ok=True)
            part = self._folder / f".{name}.part"
            if small.save(str(part), "JPG", 85):  # type: ignore[call-overload]
                part.replace(self._path(name))
            self._tidy()

    def _make(self, name: str) -> None:
        reader = QImageReader(str(self._originals(name)))
        reader.setAutoTransform(True)
        size = reader.size()
        if size.isValid():
            reader.setScaledSize(size.scaled(SIZE, _KEEP))
        image = reader.read()
        if not image.isNull():
            self.make_of(name, image)
            with suppress(RuntimeError):  # the bench may have ended meanwhile
                self._made.emit()

    def _on_made(self) -> None:
        self._shown()

    def _tidy(self) -> None:
        files = sorted(self._folder.glob("*.jpg"), key=_age, reverse=True)
        for old in files[MOST:]:
            old.unlink(missing_ok=True)
            self._asked.discard(old.stem)  # it is made again when it is shown

    def _path(self, name: str) -> Path:
        return self._folder / f"{name}.jpg"


def _age(path: Path) -> int:
    return path.stat().st_mtime_ns
