"""How the program ends where a supervisor has left the bench."""

from collections.abc import Sequence

from PySide6.QtCore import QTimer
from PySide6.QtWidgets import QApplication

from kiosk.core.events import StationLeft
from kiosk.core.stamp import Kept


class Leaving:
    """Ends the event loop when a supervisor has left the bench; `to` says where to."""

    def __init__(self, app: QApplication) -> None:
        self._app, self.to = app, ""

    def follow(self, kepts: Sequence[Kept]) -> None:
        """What was kept may be a supervisor's leave."""
        for kept in kepts:
            if isinstance(kept.event, StationLeft):
                self.to = kept.event.to
                QTimer.singleShot(0, self._app, self._end)

    def _end(self) -> None:
        self._app.exit(0)
