"""One thing asked of a worker: its answer comes on the bench's own thread, and an older one comes to nothing."""

from collections.abc import Callable
from concurrent.futures import Executor, Future
from contextlib import suppress
from typing import Any

from PySide6.QtCore import QObject, Qt, Signal, Slot


class Errand(QObject):
    """`came` carries what the newest work gave. Work says its faults in what it gives and raises none."""

    came = Signal(object)
    _done = Signal()

    def __init__(self, worker: Executor, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._worker = worker
        self._running: Future[Any] | None = None
        self._done.connect(self._take, Qt.ConnectionType.QueuedConnection)  # never before `_running` has it

    @property
    def busy(self) -> bool:
        """Is an answer on its way?"""
        return self._running is not None

    def send(self, work: Callable[..., Any], *args: object) -> None:
        """Have the worker do this; what was asked before is not heard any more."""
        with suppress(RuntimeError):  # the worker is being shut down
            self._running = self._worker.submit(work, *args)
            self._running.add_done_callback(self._poke)

    def _poke(self, _future: object) -> None:
        with suppress(RuntimeError):  # the bench may have ended meanwhile
            self._done.emit()

    @Slot()
    def _take(self) -> None:
        running = self._running
        if running is None or not running.done():
            return
        self._running = None
        if not running.cancelled():  # else the bench ends
            self.came.emit(running.result())
