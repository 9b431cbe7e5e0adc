"""The running bench's source of pictures: taken hold of when a scan is first waited for, read for codes meanwhile."""

import logging
from collections.abc import Callable
from concurrent.futures import Executor

from PySide6.QtCore import QObject, QTimer, Signal, Slot

from kiosk.core import views
from kiosk.core.views import View
from kiosk.devices.code_reader import CodeReader
from kiosk.devices.picture import PictureSource, State
from kiosk.devices.source_named import Sight, open_source

log = logging.getLogger(__name__)

AFTER_MS = 400
"""So long after the page that first wants pictures is shown: loading takes longer than a page may."""

SCANS = (views.ScanView, views.SignInView, views.NumberView)
"""Pages that wait for a scan. While a lumen is looked into, a label that comes before the lens means nothing."""


class Eyes(QObject):
    """`source` is for the pages that show it; `scanned` is what its pictures say in a scanner's stead."""

    scanned = Signal(str)

    def __init__(self, sight: Sight, clock: Callable[[], int], worker: Executor) -> None:
        super().__init__()
        self.source: PictureSource = open_source(sight, clock, worker)
        self._reader = CodeReader(clock, worker, self)
        self.source.framed.connect(self._reader.see)
        self.source.state_changed.connect(self._on_state)
        self._reader.scanned.connect(self.scanned)
        self._begin = QTimer(self, singleShot=True, interval=AFTER_MS)
        self._begin.timeout.connect(self.start)
        self._stopped = False

    def follow(self, view: View) -> None:
        """Another view is shown. The first page to scan a tray, or to take a picture, takes hold of the source."""
        self._reader.listen(isinstance(view, SCANS))
        if isinstance(view, views.ScanView | views.CameraView | views.TargetView) and not self._stopped:
            self._begin.start()

    @Slot()
    def start(self) -> None:
        """Take hold of the source; once is enough, and never again after `stop`."""
        if not self._stopped:
            self.source.start()

    def stop(self) -> None:
        """Let go of everything."""
        self._stopped = True
        self._begin.stop()
        self._reader.stop()
        self.source.stop()

    @Slot(object)
    def _on_state(self, state: State) -> None:
        log.info("pictures: %s", state.value)
