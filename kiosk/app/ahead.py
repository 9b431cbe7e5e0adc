"""What is done on the worker before it is asked for: the store's file looked over, the past counted, modules loaded."""

import logging
from concurrent.futures import ThreadPoolExecutor
from importlib import import_module

from PySide6.QtCore import QObject, QTimer, Signal

from kiosk.core.session import Session
from kiosk.core.shift import shift_of
from kiosk.core.stamp import local_time
from kiosk.devices.clock import Clock
from kiosk.store.bench_store import BenchStore, Outage
from kiosk.ui.window import Window

log = logging.getLogger(__name__)

AFTER_MS = 300
"""What the next touches need is loaded so long after the first screen is there."""

MODULES = ("kiosk.core.composing", "kiosk.paper.render", "kiosk.codes.read")


class Ahead(QObject):
    """Loads once, a moment after `start`. `damaged`: the store's file does not hold."""

    damaged = Signal()

    def __init__(
        self, *, store: BenchStore, session: Session, clock: Clock, window: Window, worker: ThreadPoolExecutor
    ) -> None:
        super().__init__()
        self._store, self._session, self._clock, self._window = store, session, clock, window
        self._worker = worker
        self._timer = QTimer(self, singleShot=True, interval=AFTER_MS)
        self._timer.timeout.connect(self._load)

    def start(self) -> None:
        """With the first screen up: load what the next touches need, off their path."""
        self._timer.start()

    def stop(self) -> None:
        """What was not begun is not loaded any more."""
        self._timer.stop()

    def _load(self) -> None:
        self._worker.submit(self._check_store)
        self._worker.submit(self._count)
        for module in MODULES:
            self._worker.submit(import_module, module)
        self._window.make_ahead()

    def _check_store(self) -> None:
        """On the worker: look over the whole file of the store."""
        try:
            said = self._store.check_file()
        except Outage as fault:
            said = str(fault)
        if said != "ok":
            log.error("the store's file is damaged: %s", said)
            self.damaged.emit()

    def _count(self) -> None:
        """On the worker: fold the past once, so that no shift of it is waited for at the desk."""
        now = self._clock.now()
        shift = shift_of(local_time(now.at_ms, now.offset_min), self._session.desk.policy.shifts)
        if shift[0]:
            try:
                self._store.records.book(shift, self._session.desk.policy, now.at_ms)
            except Outage as fault:
                log.info("the past is not counted ahead: %s", fault)
