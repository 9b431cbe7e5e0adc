"""A finger for the tests: taps on a screen in the open window, with a clock that goes on between them."""

from typing import Any

from PySide6.QtCore import QPoint, Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QWidget
from pytestqt.qtbot import QtBot

from kiosk.core import views
from kiosk.ui.parts.keys import KeyButton
from kiosk.ui.screens.number import NumberScreen
from tests.ui.screens.invented import Clock, glass_of

PRESS_MS, APART_MS = 60, 800


class Hand:
    """Taps on a screen in the open window, with a clock that goes on between them; keeps what was sent."""

    def __init__(self, qtbot: QtBot, kind: type[Any], view: views.View, size: str = "15.6 in") -> None:
        self.clock = Clock()
        self.glass = glass_of(size, self.clock)
        self.screen: Any = kind(self.glass)
        qtbot.addWidget(self.screen)
        self.sent: list[object] = []
        self.typed: list[tuple[str, str]] = []
        self.screen.sent.connect(self.sent.append)
        if kind is NumberScreen:
            self.screen.typed.connect(self.keep_typed)
        self.screen.show_view(view)
        self.screen.show()
        self.clock.ms += 400

    def tap(self, widget: QWidget, at: QPoint | None = None, *, apart_ms: int = APART_MS) -> None:
        """Press and let go at the middle of a widget, or at a point of it."""
        assert widget.isVisible()
        at = at or widget.rect().center()
        self.clock.ms += apart_ms
        QTest.mousePress(widget, Qt.MouseButton.LeftButton, Qt.KeyboardModifier.NoModifier, at)
        self.clock.ms += PRESS_MS
        QTest.mouseRelease(widget, Qt.MouseButton.LeftButton, Qt.KeyboardModifier.NoModifier, at)

    def keep_typed(self, purpose: str, text: str) -> None:
        self.typed.append((purpose, text))

    def key(self, name: str) -> KeyButton:
        """The visible key of a name or a label."""
        keys: list[KeyButton] = self.screen.findChildren(KeyButton)
        return next(key for key in keys if name in (key.objectName(), key.label) and key.isVisible())

    def press(self, name: str, *, apart_ms: int = APART_MS) -> None:
        self.tap(self.key(name), apart_ms=apart_ms)
