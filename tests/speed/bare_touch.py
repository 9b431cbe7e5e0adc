"""The least that a touch costs: two bare pages of Qt, and four KiB written over themselves until they are durable."""

import os
import time

from PySide6.QtCore import QEventLoop, Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication, QLabel, QPushButton, QStackedWidget, QVBoxLayout, QWidget

BARE = "bare two-page stack painted, 4 KiB fdatasync"


def paint() -> None:
    """Paint what waits to be painted."""
    QApplication.processEvents(QEventLoop.ProcessEventsFlag.ExcludeUserInputEvents)


class BareStack(QStackedWidget):
    """Two pages with a button and a label each: the least that can be called a touch screen."""

    def __init__(self) -> None:
        super().__init__()
        self.resize(1920, 1080)
        for name in ("one", "two"):
            page = QWidget()
            layout = QVBoxLayout(page)
            layout.addWidget(QLabel(f"Page {name}"))
            button = QPushButton("Go on")
            button.clicked.connect(self.turn)
            layout.addWidget(button)
            self.addWidget(page)

    def turn(self) -> None:
        """Show the other page."""
        self.setCurrentIndex(1 - self.currentIndex())


def bare_touch(stack: BareStack, file: int) -> float:
    """Seconds from letting go of the button to the other page painted, 4 KiB made durable meanwhile."""
    button = stack.currentWidget().findChild(QPushButton)
    assert isinstance(button, QPushButton)
    QTest.mousePress(button, Qt.MouseButton.LeftButton)
    start = time.perf_counter()
    os.pwrite(file, b"x" * 4096, 0)
    os.fdatasync(file)
    QTest.mouseRelease(button, Qt.MouseButton.LeftButton)
    paint()
    return time.perf_counter() - start
