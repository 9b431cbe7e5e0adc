"""The scanner on real windows: keys go in where the window system puts them, widgets see only a hand's."""

from typing import Any

import pytest
from PySide6.QtCore import Qt, Slot
from PySide6.QtGui import QKeyEvent, QKeySequence, QShortcut, QWindow
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QLineEdit, QPushButton, QVBoxLayout, QWidget
from pytestqt.qtbot import QtBot

from kiosk.devices.scanner import Scanner

HAND = 90  # ms after each key, well over the 35 of a scanner


class Screen(QWidget):
    """A button that a key could press, and a field that a key could fill."""

    def __init__(self, gap_ms: float = 35) -> None:
        super().__init__()
        self.button, self.field = QPushButton("YES"), QLineEdit()
        layout = QVBoxLayout(self)
        layout.addWidget(self.button)
        layout.addWidget(self.field)
        self.taps = 0
        self.shortcuts = 0
        self.keys: list[str] = []
        self.scans: list[str] = []
        self.releases = 0
        self.button.clicked.connect(self._tapped)
        shortcut = QShortcut(QKeySequence("4"), self)
        shortcut.activated.connect(self._shortcut)
        self.scanner = Scanner(self, gap_ms=gap_ms)
        self.scanner.scanned.connect(self._scanned)

    @Slot()
    def _tapped(self) -> None:
        self.taps += 1

    @Slot()
    def _shortcut(self) -> None:
        self.shortcuts += 1

    @Slot(str)
    def _scanned(self, text: str) -> None:
        self.scans.append(text)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        self.keys.append(event.text() or f"<{event.key()}>")

    def keyReleaseEvent(self, _: QKeyEvent) -> None:
        self.releases += 1


def shown(screen: Screen, qtbot: QtBot) -> Screen:
    qtbot.addWidget(screen)
    screen.show()
    screen.activateWindow()
    qtbot.waitUntil(screen.isActiveWindow)
    screen.setFocus()
    return screen


@pytest.fixture
def screen(qtbot: QtBot) -> Screen:
    return shown(Screen(), qtbot)


def window(screen: QWidget) -> QWindow:
    handle = screen.windowHandle()
    assert handle is not None
    return handle


def click(screen: QWidget, char: str) -> None:
    key: Any = char  # Qt's own overload for a character is missing in the types
    QTest.keyClick(window(screen), key)


def scan(screen: QWidget, text: str) -> None:
    """As a scanner does: each key down and up, no time between."""
    for char in text:
        if char == "\x1d":
            QTest.keyClick(window(screen), Qt.Key.Key_BracketRight, Qt.KeyboardModifier.ControlModifier)
        elif char in "\r\t":
            QTest.keyClick(window(screen), Qt.Key.Key_Return if char == "\r" else Qt.Key.Key_Tab)
        else:
            click(screen, char)


def type_slowly(screen: QWidget, text: str) -> None:
    for char in text:
        click(screen, char)
        QTest.qWait(HAND)


def test_a_scan_is_heard_with_no_field_in_focus_and_reaches_no_widget(screen: Screen, qtbot: QtBot) -> None:
    scan(screen, "TR-0734\r")
    QTest.qWait(HAND)
    assert screen.scans == ["TR-0734"]
    assert screen.keys == []
    assert screen.releases == 0


def test_a_scan_without_enter_is_heard_after_the_pause(screen: Screen, qtbot: QtBot) -> None:
    scan(screen, "TR-0734")
    assert screen.scans == []
    qtbot.waitUntil(lambda: screen.scans == ["TR-0734"])


@pytest.mark.parametrize("text", ["    \r", "A B C\r", "TR-0734\r", "TR-0734\t", " TR 0734 "])
def test_spaces_and_enter_of_a_scan_press_no_focused_button(screen: Screen, qtbot: QtBot, text: str) -> None:
    screen.button.setFocus()
    screen.button.setDefault(True)
    scan(screen, text)
    QTest.qWait(HAND)
    assert screen.scans == [text.rstrip("\r\t")]
    assert screen.taps == 0
    assert screen.button.hasFocus(), "Tab moved the focus"


def test_a_hand_still_presses_a_focused_button_with_the_space_key(screen: Screen, qtbot: QtBot) -> None:
    screen.button.setFocus()
    QTest.keyClick(window(screen), Qt.Key.Key_Space)
    qtbot.waitUntil(lambda: screen.taps == 1)
    assert screen.scans == []


def test_a_scan_leaves_a_focused_field_as_it_was(screen: Screen, qtbot: QtBot) -> None:
    screen.field.setFocus()
    scan(screen, "TR-0734\r")
    QTest.qWait(HAND)
    assert screen.field.text() == ""
    assert screen.scans == ["TR-0734"]


def test_slow_typing_fills_a_field_whole_and_in_order(screen: Screen, qtbot: QtBot) -> None:
    screen.field.setFocus()
    type_slowly(screen, "k-0007X")
    assert screen.field.text() == "k-0007X"
    assert screen.scans == []


def test_a_hands_key_just_before_a_scan_is_typed_and_the_scan_is_whole(screen: Screen, qtbot: QtBot) -> None:
    screen.field.setFocus()
    click(screen, "7")
    QTest.qWait(50)
    scan(screen, "TR-0734\r")
    QTest.qWait(HAND)
    assert (screen.field.text(), screen.scans) == ("7", ["TR-0734"])


def test_two_quick_keys_of_a_hand_are_typed_with_their_releases(screen: Screen, qtbot: QtBot) -> None:
    scan(screen, "ab")
    QTest.qWait(HAND)
    assert screen.keys == ["a", "b"]
    assert screen.releases == 2


def test_group_separators_and_capitals_of_a_scan_are_kept(screen: Screen, qtbot: QtBot) -> None:
    scan(screen, "]C110Ab\x1d21c\r")
    assert screen.scans == ["]C110Ab\x1d21c"]


def test_keys_that_no_scanner_sends_pass_at_once(screen: Screen, qtbot: QtBot) -> None:
    for key in (Qt.Key.Key_Left, Qt.Key.Key_F1, Qt.Key.Key_Escape, Qt.Key.Key_Backspace):
        QTest.keyClick(window(screen), key)
    assert len(screen.keys) == 4
    QTest.keyClick(window(screen), Qt.Key.Key_C, Qt.KeyboardModifier.ControlModifier)
    assert screen.keys[-1] == "c"
    assert screen.scans == []


def test_a_scan_sets_off_no_shortcut(screen: Screen, qtbot: QtBot) -> None:
    scan(screen, "TR-4444\r")
    QTest.qWait(HAND)
    assert screen.shortcuts == 0
    assert screen.scans == ["TR-4444"]


def test_a_second_window_is_heard_too(screen: Screen, qtbot: QtBot) -> None:
    other = QWidget()
    qtbot.addWidget(other)
    other.show()
    other.activateWindow()
    qtbot.waitUntil(other.isActiveWindow)
    scan(other, "W-2201\r")
    assert screen.scans == ["W-2201"]


def test_a_key_held_back_for_a_window_that_is_gone_upsets_nothing(screen: Screen, qtbot: QtBot) -> None:
    other = QWidget()
    other.show()
    other.activateWindow()
    qtbot.waitUntil(other.isActiveWindow)
    click(other, "7")
    other.close()
    other.deleteLater()
    QTest.qWait(2 * HAND)
    assert screen.scans == []


def test_a_pace_set_for_a_slow_scanner_hears_it(qtbot: QtBot) -> None:
    screen = shown(Screen(gap_ms=200), qtbot)
    type_slowly(screen, "W-2201")
    QTest.keyClick(window(screen), Qt.Key.Key_Return)
    assert screen.scans == ["W-2201"]


class Stamped:
    """Keys with time stamps of our own, given straight to the scanner as the window system would."""

    def __init__(self, scanner: Scanner, to: QWindow) -> None:
        self.scanner, self.to = scanner, to

    def key(self, char: str, at: int) -> bool:
        event = QKeyEvent(QKeyEvent.Type.KeyPress, ord(char.upper()), Qt.KeyboardModifier.NoModifier, char)
        event.setTimestamp(at)
        return self.scanner.eventFilter(self.to, event)


def test_the_keys_own_stamps_count_not_when_a_busy_screen_came_to_them(screen: Screen, qtbot: QtBot) -> None:
    stamped = Stamped(screen.scanner, window(screen))
    for n, char in enumerate("W-2201"):
        assert stamped.key(char, 1000 + 8 * n)
        if n == 2:
            QTest.qSleep(120)  # the screen is busy: no events, then all at once
    assert stamped.key("\r", 1060)
    assert screen.scans == ["W-2201"]


def test_without_stamps_the_clock_counts(screen: Screen, qtbot: QtBot) -> None:
    now = [5.0]
    scanner = Scanner(screen, clock=lambda: now[0])
    scanner.scanned.connect(screen._scanned)
    stamped = Stamped(scanner, window(screen))
    for char in "SC-1":
        stamped.key(char, 0)
        now[0] += 0.008
    stamped.key("\r", 0)
    assert screen.scans == ["SC-1"]
    for char in "SC-1":
        now[0] += 0.1
        stamped.key(char, 0)
    assert screen.scans == ["SC-1"]
    scanner.deleteLater()
