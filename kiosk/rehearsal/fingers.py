"""A hand at the screen: real taps on real widgets, found by what they send; and the scanner in the other hand."""

from collections.abc import Callable

from PySide6.QtCore import QPoint, Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication, QWidget

from kiosk.core.commands import Send
from kiosk.devices.clock import HandClock
from kiosk.ui.parts.touch import TouchButton
from kiosk.ui.window import Window

BETWEEN_MS = 1500  # from one touch to the next
HELD_MS = 90  # finger on the glass


Around = Callable[[object, Callable[[], None]], None]
"""(what the key sends, the touch) -> None: does the touch, and may look at what comes of it."""


def _just_do(_: object, touch: Callable[[], None]) -> None:
    touch()


class NoSuchKey(Exception):
    """There is nothing on the screen to touch for this."""


class Fingers:
    """Touches the window as a gloved hand does, one touch after the other, with time passing between."""

    def __init__(
        self, window: Callable[[], Window], clock: HandClock, *, slow_ms: int = 0, around: Around | None = None
    ) -> None:
        self.window, self.clock, self.slow_ms = window, clock, slow_ms
        self.around = around or _just_do
        self.taps = 0

    def settle(self) -> None:
        """Let Qt do what it has queued."""
        for _ in range(3):
            QApplication.processEvents()
        if self.slow_ms:
            QTest.qWait(self.slow_ms)

    def tap(self, widget: QWidget, at: QPoint | None = None) -> None:
        """One touch, down and up inside the widget."""
        self.clock.advance(BETWEEN_MS)
        at = at or _middle(widget)

        def touch() -> None:
            QTest.mousePress(widget, Qt.MouseButton.LeftButton, Qt.KeyboardModifier.NoModifier, at)
            self.clock.advance(HELD_MS)
            QTest.mouseRelease(widget, Qt.MouseButton.LeftButton, Qt.KeyboardModifier.NoModifier, at)
            QApplication.processEvents()

        self.around(getattr(widget, "payload", None), touch)
        self.taps += 1
        self.settle()

    def buttons(self) -> list[TouchButton]:
        """Everything on the screen that can be touched now."""
        here = self.window().current
        if here is None:
            return []
        return [b for b in here.findChildren(TouchButton) if b.isVisibleTo(here) and not b.asleep]

    def find(self, wanted: Callable[[TouchButton], bool], what: str) -> TouchButton:
        """The button for which `wanted` holds. Raises NoSuchKey."""
        found = next((button for button in self.buttons() if wanted(button)), None)
        if found is None:
            there = ", ".join(sorted({f"{b.action}:{b.payload}" for b in self.buttons()}))
            raise NoSuchKey(f"no key for {what}; there are: {there[:600]}")
        return found

    def send(self, send: Send | None) -> None:
        """Touch the key that sends this."""
        if send is None:
            raise NoSuchKey("this page opens nothing there")
        self.tap(self.find(lambda button: button.payload == send, str(send)))

    def named(self, action: str) -> None:
        """Touch the key with this action."""
        self.tap(self.find(lambda button: button.action == action, action))

    def type(self, text: str) -> None:
        """Touch the digits or letters of `text` one by one; a sign that has no key comes from a keyboard."""
        for letter in text:
            if not any(_types(button, letter) for button in self.buttons()):
                QTest.keyClicks(self.window(), letter)
                continue
            self.tap(self.find(lambda button, want=letter: _types(button, want), f"the letter {letter!r}"))  # type: ignore[misc]


def _types(button: TouchButton, letter: str) -> bool:
    return len(button.action) == 1 and button.action.lower() == letter.lower()


def _middle(widget: QWidget) -> QPoint:
    area = widget.tap_area() if isinstance(widget, TouchButton) else None
    return area.center().toPoint() if area is not None else widget.rect().center()
