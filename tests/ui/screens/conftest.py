"""What the screens' own tests share: clocks that a test moves, a panel, pictures in a folder."""

from pathlib import Path

import pytest
from PySide6.QtGui import QColor, QImage, QPointingDevice
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication

from kiosk.ui.parts.glass import Glass
from kiosk.ui.theme import BENCH
from tests.ui.samples import Clock, glass_of
from tests.ui.screens.rails import SINCE, Wall


@pytest.fixture
def clock() -> Clock:
    return Clock()


@pytest.fixture
def glass(qapp: QApplication, clock: Clock) -> Glass:
    return glass_of("15.6 in", BENCH, clock)


@pytest.fixture(scope="session")
def panel() -> QPointingDevice:
    return QTest.createTouchDevice()


@pytest.fixture
def wall() -> Wall:
    return Wall(SINCE + 102_000)


@pytest.fixture
def pictures(tmp_path: Path) -> list[Path]:
    """Pictures of several shapes; the second is no picture at all, and has a long name."""
    paths = []
    for n, (wide, tall) in enumerate([(640, 480), (1280, 720), (480, 800), (320, 240)]):
        image = QImage(wide, tall, QImage.Format.Format_RGB32)
        image.fill(QColor.fromHsv(60 * n, 90, 190))
        paths.append(tmp_path / f"scope_{n}.png")
        assert image.save(str(paths[-1]))
    broken = tmp_path / "scope 2024-11-03 14-22-07 left_in_the_middle_of_a_copy.png"
    broken.write_bytes(b"no picture")
    return [paths[0], broken, *paths[1:]]
