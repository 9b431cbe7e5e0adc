"""Python's garbage collection, kept to the main thread: a Qt object must never be taken down by the paper worker."""

import gc

from PySide6.QtCore import QObject, QTimer

EVERY_MS = 1000


class Tidy(QObject):
    """From `start` to `stop`, cycles are collected by a timer of the main thread and by nothing else."""

    def __init__(self, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._timer = QTimer(self, interval=EVERY_MS)
        self._timer.timeout.connect(collect_due)

    def start(self) -> None:
        """Take over from Python."""
        gc.disable()
        self._timer.start()

    def stop(self) -> None:
        """Collect once more and give back to Python."""
        self._timer.stop()
        gc.collect()
        gc.enable()


def collect_due() -> None:
    """Collect the oldest generation that is due."""
    for generation, (count, limit) in reversed(list(enumerate(zip(gc.get_count(), gc.get_threshold(), strict=True)))):
        if count > limit:
            gc.collect(generation)
            return
