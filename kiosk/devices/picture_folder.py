"""Pictures that another program drops into a folder: each a still, its bytes as they came."""

from collections.abc import Callable
from concurrent.futures import Executor, Future
from contextlib import suppress
from pathlib import Path

from PySide6.QtCore import QBuffer, QFileSystemWatcher, QObject, QTimer, Slot
from PySide6.QtGui import QImage, QImageReader

from kiosk.devices.folder_look import FolderLook, Looked
from kiosk.devices.picture import LiveSource, State

POLL_MS = 1_000
"""A network share tells of no change by itself (a choice)."""
SETTLE_MS = 150
"""After a change the folder is looked into again so soon, and once more for a file that was still growing."""

DONE_EVERY_MS = 25


class FolderSource(LiveSource):
    """The newest whole picture that came into `folder` since the start. Looked into on `worker`, never on the screen's
    thread. A still of a folder does not freeze: the watch over live feeds has no say here."""

    def __init__(
        self, folder: Path, clock: Callable[[], int], worker: Executor, *, parent: QObject | None = None
    ) -> None:
        super().__init__(clock, parent=parent)
        self.folder, self._worker = folder, worker
        self._look = FolderLook(folder)
        self._watcher: QFileSystemWatcher | None = None
        self._looking: Future[Looked] | None = None
        self._done = QTimer(self, interval=DONE_EVERY_MS)
        self._done.timeout.connect(self._take)
        self._poll = QTimer(self, interval=POLL_MS)
        self._poll.timeout.connect(self.look_into)
        self._soon = QTimer(self, singleShot=True, interval=SETTLE_MS)
        self._soon.timeout.connect(self.look_into)

    def begin(self) -> None:
        """Note what lies there, and listen."""
        self._look = FolderLook(self.folder)
        self._watcher = QFileSystemWatcher(self)
        self._watcher.directoryChanged.connect(self._on_change)
        self._poll.start()
        self.look_into()

    def end(self) -> None:
        """Listen no more."""
        self._poll.stop()
        self._soon.stop()
        self._done.stop()
        self._looking = None
        if self._watcher is not None:
            self._watcher.deleteLater()
            self._watcher = None

    @Slot()
    def look(self) -> None:
        """Stills do not freeze."""

    @Slot()
    def look_into(self) -> None:
        """Look into the folder, on the worker; not twice at once."""
        if self._looking is not None or not self.running:
            return
        with suppress(RuntimeError):  # the worker is being shut down
            self._looking = self._worker.submit(self._look.look, self.clock())
            self._done.start()

    @Slot()
    def _on_change(self) -> None:
        self._soon.start()

    @Slot()
    def _take(self) -> None:
        """What the look found, once it is done. Asked for from here: nothing of Qt is held by the worker."""
        if self._looking is None or not self._looking.done():
            return
        found, self._looking = self._looking.result(), None
        self._done.stop()
        if not found.there:
            self.say(State.GONE)
            return
        if self.state is State.GONE:
            self.waits()
        if self._watcher is not None and not self._watcher.directories():
            self._watcher.addPath(str(self.folder))
        for name in found.unreadable:
            self.say(State.UNREADABLE, name)
        for name, data in found.pictures:
            image = _upright(data)
            if image.isNull():
                self.say(State.UNREADABLE, name)
            else:
                self.anew()
                self.show(image, original=data, name=name)


def _upright(data: bytes) -> QImage:
    """The picture as its file says that it stands (EXIF orientation), as it is then shown, measured and printed; a
    null image where it is none."""
    buffer = QBuffer()
    buffer.setData(data)
    buffer.open(QBuffer.OpenModeFlag.ReadOnly)
    reader = QImageReader(buffer)
    reader.setAutoTransform(True)
    return reader.read()
