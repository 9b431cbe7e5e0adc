"""A bench whose camera is stood in for: real QVideoFrames go the way a camera's go, as fast or as slow as is asked.

What a real camera's driver takes is not in it.
"""

from collections.abc import Callable, Sequence
from pathlib import Path
from typing import Any

from PySide6.QtCore import QObject, Qt, QTimer, Signal
from PySide6.QtGui import QImage
from PySide6.QtMultimedia import QVideoFrame

from kiosk.core import commands as c
from kiosk.devices.source_named import Sight, SightKind
from kiosk.rehearsal.fingers import Fingers
from kiosk.sight.rendered import Scene, still
from kiosk.ui.screens.camera import CameraScreen
from tests.core.department import EAR
from tests.faults.glass import GlassShift


class Port(QObject):
    """The one port, with its camera in it."""

    changed = Signal()

    def __init__(self) -> None:
        super().__init__()
        self.came: Callable[[Any], None] = print

    def there(self) -> Sequence[tuple[str, str]]:
        return [("1", "Scope camera")]

    def open(self, _camera: str, came: Callable[[Any], None], _broke: Callable[[str], None]) -> Callable[[], None]:
        self.came = came
        return _nothing


def _nothing() -> None:
    pass


def frames(width: int, height: int, count: int = 6) -> list[QImage]:
    """So many pictures of a tube, each with noise of its own."""
    made = []
    for seed in range(count):
        picture = still(Scene(seed=seed, width=width, height=height)).picture
        image = QImage(picture.tobytes(), width, height, 3 * width, QImage.Format.Format_RGB888)
        made.append(image.convertToFormat(QImage.Format.Format_RGBA8888))
    return made


class LiveBench:
    """The kiosk at the camera page of A1's bore."""

    def __init__(self, folder: Path, width: int = 1280, height: int = 720) -> None:
        self.port, self.images, self.sent = Port(), frames(width, height), 0
        self.shift = GlassShift(folder=folder / "store", sight=Sight(kind=SightKind.CAMERA))
        assert self.shift.kiosk is not None
        assert self.shift.clock is not None
        self.kiosk, self.clock = self.shift.kiosk, self.shift.clock
        assert self.kiosk.eyes is not None
        source: Any = self.kiosk.eyes.source
        source._ports = self.port
        self.kiosk.start(looks_for_quiet=False)
        self.fingers = Fingers(lambda: self.kiosk.window, self.clock)
        self.shift.sign_in()
        self.kiosk.eyes.start()
        self.shift.open(EAR)
        self.shift.count()
        self.shift.yes_until("A1.bore.scope")
        self.frame()
        self.shift.must(c.Turn(page=c.Page.CAMERA))
        self.frame()
        self.timer = QTimer(timerType=Qt.TimerType.PreciseTimer)
        self.timer.timeout.connect(self.frame)

    @property
    def page(self) -> CameraScreen:
        page = self.kiosk.window.current
        assert isinstance(page, CameraScreen)
        return page

    def frame(self) -> None:
        """The next picture comes from the camera."""
        self.sent += 1
        self.clock.advance(33)
        image = self.images[self.sent % len(self.images)].copy()
        image.setPixel(0, 0, 0xFF000000 | self.sent)  # no two frames are the same file
        self.port.came(QVideoFrame(image))

    def touch(self, name: str) -> None:
        """Touch the key of that name."""
        self.fingers.tap(self.fingers.find(lambda key: key.objectName() == name, name))

    def close(self) -> None:
        self.timer.stop()
        self.kiosk.stop()
        self.kiosk.window.close()
