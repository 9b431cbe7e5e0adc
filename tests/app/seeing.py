"""A bench with a source of pictures, walked by touches: stills dropped into its folder, or a film of a tube."""

import io
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from PIL import Image
from PySide6.QtWidgets import QApplication
from pytestqt.qtbot import QtBot

from kiosk.app.kiosk import Kiosk
from kiosk.core import commands as c
from kiosk.core import events as e
from kiosk.devices.picture import State
from kiosk.devices.source_named import Sight, SightKind
from kiosk.rehearsal.fingers import Fingers
from kiosk.sight.rendered import Scene, still
from kiosk.ui.parts.keys import KeyButton
from kiosk.ui.screens.camera import CameraScreen, Mode
from kiosk.ui.window import Window
from tests.core.department import EAR
from tests.faults.glass import GlassShift


def picture(seed: int, *, exposure: float = 1.0, kind: str = "PNG", defocus_px: float = 0.0, **more: Any) -> bytes:
    """A rendered still of a lumen as a scope's program saves it."""
    made = still(Scene(seed=seed, width=640, height=360, exposure=exposure, defocus_px=defocus_px))
    held = io.BytesIO()
    Image.fromarray(made.picture).save(held, kind, **more)
    return held.getvalue()


class Walk:
    """The kiosk of one bench at the scope check of A1's bore, and a hand at its glass."""

    def __init__(self, qtbot: QtBot, folder: Path, sight: Sight) -> None:
        self.qtbot = qtbot
        self.shift = GlassShift(folder=folder / "store", sight=sight)
        self.kiosk.start(looks_for_quiet=False)
        assert self.shift.clock is not None
        self.fingers = Fingers(self._window, self.shift.clock)
        self.shift.sign_in()
        self.eyes.start()
        self.shift.open(EAR)
        self.shift.count()
        self.shift.yes_until("A1.bore.scope")

    @property
    def kiosk(self) -> Kiosk:
        kiosk = self.shift.kiosk
        assert kiosk is not None
        return kiosk

    @property
    def eyes(self) -> Any:
        assert self.kiosk.eyes is not None
        return self.kiosk.eyes

    @property
    def page(self) -> CameraScreen:
        """The camera page, which is shown."""
        assert isinstance(self.kiosk.window.current, CameraScreen)
        return self.kiosk.window.current

    def mode(self) -> Mode:
        """What the camera page shows now."""
        return self.page.mode

    @property
    def said(self) -> str:
        """The key of the quiet sentence, or ""."""
        notice = self.kiosk.session.notice
        return notice[0] if notice else ""

    def _window(self) -> Window:
        return self.kiosk.window

    def touch(self, name: str) -> None:
        """Touch the key of that name."""
        self.fingers.tap(self.fingers.find(lambda key: isinstance(key, KeyButton) and key.objectName() == name, name))

    def open_camera(self) -> None:
        """Touch Picture."""
        self.fingers.send(c.Turn(page=c.Page.CAMERA))

    def until(self, state: State) -> None:
        """Wait for the source."""
        self.qtbot.waitUntil(lambda: self.eyes.source.state is state, timeout=20_000)

    def drop(self, folder: Path, name: str, data: bytes) -> None:
        """Another program saves a picture, whole at once; wait until the source has it."""
        before = self.eyes.source.still()
        part = folder / f"{name}.part"
        part.write_bytes(data)
        part.rename(folder / name)
        self.qtbot.waitUntil(lambda: self.eyes.source.still() is not before, timeout=20_000)

    def settled(self) -> None:
        """Wait until nothing is on its way to the disk and the worker has measured."""
        self.qtbot.waitUntil(lambda: not self.kiosk.busy(), timeout=20_000)
        self.kiosk._worker.submit(_nothing).result(20)
        self.kiosk._looker.submit(_nothing).result(20)
        self.fingers.settle()

    def close(self) -> None:
        self.kiosk.stop()
        self.kiosk.window.close()


def _nothing() -> None:
    pass


@pytest.fixture
def drops(tmp_path: Path) -> Path:
    """The folder that a scope's program saves to."""
    folder = tmp_path / "drops"
    folder.mkdir()
    return folder


@pytest.fixture
def walk(qapp: QApplication, qtbot: QtBot, tmp_path: Path, drops: Path) -> Iterator[Walk]:
    """A walk beside that folder, which has been looked at once: what is dropped from now on is new."""
    walk = Walk(qtbot, tmp_path, Sight(kind=SightKind.FOLDER, where=str(drops)))
    walk.qtbot.waitUntil(lambda: walk.eyes.source._look._begun, timeout=20_000)
    yield walk
    walk.close()


def kept(walk: Walk) -> list[e.StillKept]:
    """The stills that the log tells of."""
    return [k.event for _, k in walk.kiosk.store.records.kept("still_kept") if isinstance(k.event, e.StillKept)]
