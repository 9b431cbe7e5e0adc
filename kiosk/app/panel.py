"""The panel the kiosk stands on: where a monitor comes back with another size, the kiosk begins anew on it."""

from PySide6.QtCore import QObject, QSize, QTimer, Signal, Slot
from PySide6.QtGui import QGuiApplication, QScreen

SETTLES_MS = 1_000
"""A monitor that wakes may give several sizes in turn: the one that stays so long counts (a choice)."""


class Panel(QObject):
    """`other`: the primary screen has another size than `taken`, and keeps it."""

    other = Signal()

    def __init__(self, app: QGuiApplication, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._app, self.taken = app, app.primaryScreen().size()
        self._settles = QTimer(self, singleShot=True, interval=SETTLES_MS)
        self._settles.timeout.connect(self._settle)
        self._followed: QScreen | None = None
        app.primaryScreenChanged.connect(self._follow)
        self._follow()

    def take(self) -> QSize:
        """The size as it is now, px; from here on another one is told."""
        self.taken = self._app.primaryScreen().size()
        return self.taken

    @Slot()
    def _follow(self) -> None:
        screen: QScreen | None = self._app.primaryScreen()
        if screen is None or screen is self._followed:  # between two monitors there may be none
            return
        self._followed = screen
        screen.geometryChanged.connect(self._settles.start)
        self._settles.start()

    @Slot()
    def _settle(self) -> None:
        screen: QScreen | None = self._app.primaryScreen()
        if screen is not None and screen.size() != self.taken:
            self.other.emit()
