"""Barcodes by the camera, where no scanner is left: what a scanner would type, once for each time a code is shown."""

from collections.abc import Callable
from concurrent.futures import Executor, Future
from contextlib import suppress

from PySide6.QtCore import QObject, QTimer, Signal, Slot
from PySide6.QtGui import QImage

from kiosk.devices.picture import Frame

EVERY_MS = 250
"""At most so often a frame is read (a choice: six of them, each turned further, cover the circle in 1.5 s)."""
AGAIN_MS = 4_000
"""A code is told again only after it was out of sight for so long (a choice)."""
DONE_EVERY_MS = 20


class CodeReader(QObject):
    """Reads frames on `worker`, one at a time, while it `listens`. `clock`: the steady clock, ms.

    `scanned`: as `kiosk.devices.scanner.Scanner` says it.
    """

    scanned = Signal(str)

    def __init__(self, clock: Callable[[], int], worker: Executor, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._clock, self._worker = clock, worker
        self._listens = False
        self._turn = 0
        self._began: int | None = None
        self._seen: dict[str, int] = {}  # code -> when it was last in sight
        self._reading: Future[tuple[str, ...]] | None = None
        self._done = QTimer(self, interval=DONE_EVERY_MS)
        self._done.timeout.connect(self._take)

    @property
    def listens(self) -> bool:
        """Are frames read?"""
        return self._listens

    def listen(self, listens: bool) -> None:
        """Read frames from now on, or no more; what is being read then is not told."""
        self._listens = listens

    @Slot(object)
    def see(self, frame: Frame) -> None:
        """A frame came: read it, unless the one before is still being read or was read just now."""
        now = self._clock()
        if not self._listens or self._reading is not None or (self._began is not None and now - self._began < EVERY_MS):
            return
        with suppress(RuntimeError):  # the worker is being shut down
            self._reading = self._worker.submit(read_picture, frame.image, self._turn)
            self._began = now
            self._turn += 1
            self._done.start()

    def stop(self) -> None:
        """Tell nothing any more."""
        self._listens = False
        self._done.stop()
        self._reading = None

    @Slot()
    def _take(self) -> None:
        if self._reading is None or not self._reading.done():
            return
        texts, self._reading = self._reading.result(), None
        self._done.stop()
        if not self._listens:
            return
        now = self._clock()
        new = [text for text in texts if now - self._seen.get(text, now - AGAIN_MS) >= AGAIN_MS]
        self._seen = {text: at for text, at in self._seen.items() if now - at < AGAIN_MS}
        self._seen.update(dict.fromkeys(texts, now))
        if len(new) == 1:  # of two codes at once nobody knows which is meant
            self.scanned.emit(new[0])


def read_picture(image: QImage, turn: int) -> tuple[str, ...]:
    """On the worker: the codes in a picture. Two may lie in it; none is no fault."""
    from PIL import Image

    from kiosk.codes.read import texts_in

    gray = image.convertToFormat(QImage.Format.Format_Grayscale8)
    size = (gray.width(), gray.height())
    picture = Image.frombuffer("L", size, bytes(gray.constBits()), "raw", "L", gray.bytesPerLine(), 1)
    return texts_in(picture, turn=turn)
