"""The keyboard-wedge scanner: types like a keyboard, only faster than a hand. Heard on every screen, without a field.

Keys are taken where the window system hands them to the window, before any widget. Those of a scan reach no widget:
its Enter or spaces press no button. Those of a hand are handed on in order, later by the pause at most, so a key that
was pressed just before a scan is not lost. Plain keys are kept from `QShortcut`s, which a scan would set off.
"""

import time
from collections.abc import Callable

from PySide6.QtCore import QCoreApplication, QEvent, QObject, Qt, QTimer, Signal
from PySide6.QtGui import QGuiApplication, QKeyEvent, QWindow
from shiboken6 import isValid

from kiosk.devices.pace import Heard, Pace

_PLAIN = Qt.KeyboardModifier.ShiftModifier | Qt.KeyboardModifier.KeypadModifier
_MODIFIERS = {
    Qt.Key.Key_Shift, Qt.Key.Key_Control, Qt.Key.Key_Alt, Qt.Key.Key_AltGr, Qt.Key.Key_Meta,
    Qt.Key.Key_CapsLock, Qt.Key.Key_NumLock,
}  # fmt: skip
_CONTROLS = {Qt.Key.Key_BracketRight: "\x1d", Qt.Key.Key_J: "\n", Qt.Key.Key_M: "\r"}
"""Control characters as some scanners send them: Ctrl+] is GS, the separator of GS1 codes."""

_Pressed = tuple[QWindow, QKeyEvent]


class Scanner(QObject):
    """Listens to all keys of the application. `gap_ms`, `least`, `tail_ms` are those of `Pace`: settings.

    A key's own time stamp counts; where the platform gives none, `clock` (seconds) does.
    """

    scanned = Signal(str)
    broke_off = Signal()

    def __init__(
        self,
        parent: QObject | None = None,
        *,
        gap_ms: float = 35,
        least: int = 4,
        tail_ms: float = 150,
        clock: Callable[[], float] = time.monotonic,
    ) -> None:
        super().__init__(parent)
        self._pace: Pace[_Pressed] = Pace(gap_ms=gap_ms, least=least, tail_ms=tail_ms)
        self._clock = clock
        self._at_ms = 0.0
        self._stamp, self._clock_ms = 0, 0.0
        self._down: set[int] = set()  # taken from the widgets, not yet let go of
        self._handing_on = False
        self._pause = QTimer(self, singleShot=True)
        self._pause.timeout.connect(self._on_pause)
        app = QCoreApplication.instance()
        assert isinstance(app, QGuiApplication)
        app.focusWindowChanged.connect(self.listen)
        app.focusObjectChanged.connect(self.listen)
        self.listen(app.focusWindow())
        self.listen(app.focusObject())

    def listen(self, to: QObject | None) -> None:
        """Listen to a window, or to what has its focus. Not to the application: every paint would pass through here."""
        if to is not None:
            to.installEventFilter(self)

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        """Take the keys that go to a window; True keeps them from it."""
        if self._handing_on or not isinstance(event, QKeyEvent):
            return False
        if event.type() == QEvent.Type.ShortcutOverride and _char(event):
            event.accept()
            return True
        if not isinstance(watched, QWindow):
            return False
        if event.type() == QEvent.Type.KeyPress:
            return self._pressed(watched, event)
        return event.type() == QEvent.Type.KeyRelease and self._released(watched, event)

    def _pressed(self, window: QWindow, event: QKeyEvent) -> bool:
        if event.key() in _MODIFIERS:
            return False
        pressed = (window, _copy(event))
        char = "" if event.isAutoRepeat() else _char(event)
        heard = self._pace.key(char, pressed, self._time(event)) if char else self._pace.other(pressed)
        if heard.scan is None and heard.broken is None and heard.typed == (pressed,):
            self._down.discard(event.key())
            self._pause.stop()
            return False  # nothing was held back: let it go its own way
        if pressed not in heard.typed:
            self._down.add(event.key())
        self._tell(heard)
        return True

    def _released(self, window: QWindow, event: QKeyEvent) -> bool:
        if event.key() not in self._down:
            return False
        if not event.isAutoRepeat():
            self._down.discard(event.key())
        if self._pace.waiting:
            self._pace.along((window, _copy(event)))
        return True

    def _time(self, event: QKeyEvent) -> float:
        """Milliseconds that only ever grow, by the events' own stamps where they have any."""
        stamp, clock_ms = event.timestamp(), self._clock() * 1000
        by_stamp = self._stamp and stamp >= self._stamp
        self._at_ms += stamp - self._stamp if by_stamp else max(0.0, clock_ms - self._clock_ms)
        self._stamp, self._clock_ms = stamp, clock_ms
        return self._at_ms

    def _on_pause(self) -> None:
        self._tell(self._pace.pause())

    def _tell(self, heard: Heard[_Pressed]) -> None:
        if self._pace.waiting:
            self._pause.start(round(self._pace.pause_ms))
        else:
            self._pause.stop()
        if heard.scan is not None:
            self.scanned.emit(heard.scan)
        if heard.broken is not None:
            self.broke_off.emit()
        for window, event in heard.typed:
            if event.type() == QEvent.Type.KeyPress:
                self._down.discard(event.key())
            if isValid(window):
                self._handing_on = True
                try:
                    QCoreApplication.sendEvent(window, event)
                finally:
                    self._handing_on = False


def _copy(event: QKeyEvent) -> QKeyEvent:
    """An event that outlives its delivery."""
    return QKeyEvent(event.type(), event.key(), event.modifiers(), event.text(), event.isAutoRepeat(), event.count())


def _char(event: QKeyEvent) -> str:
    """The character that a scanner means by this key, or ""."""
    modifiers = event.modifiers()
    if modifiers == Qt.KeyboardModifier.ControlModifier:
        return _CONTROLS.get(Qt.Key(event.key()), "")
    if modifiers & ~_PLAIN:
        return ""
    text = event.text()
    return text if len(text) == 1 and (text.isprintable() or text in "\x1d\r\n\t") else ""
