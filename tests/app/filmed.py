"""A bench whose scope shows a film of a rendered tube, walked by touches and scans only."""

import subprocess
from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path
from typing import Any

from imageio_ffmpeg import get_ffmpeg_exe
from pytestqt.qtbot import QtBot

from kiosk.core import commands as c
from kiosk.core import views as v
from kiosk.core.glance import way
from kiosk.core.pace import pace_ms
from kiosk.devices.source_named import Sight, SightKind
from kiosk.rehearsal.fingers import Fingers
from kiosk.sight.rendered import Scene, still
from tests.core.department import PIN
from tests.devices.videos import Picture, film
from tests.faults.glass import GlassShift

FRAMES = 12
"""Pictures of one lap of the film; the scope trembles by under a degree, and its noise is another in each."""


def lap(scene: Scene) -> Iterator[Picture]:
    """One lap of a scope held still in a hand."""
    for n in range(FRAMES):
        yield still(replace(scene, seed=scene.seed + n, roll_deg=scene.roll_deg + 0.05 * (n % 6))).picture


def film_of(path: Path, scene: Scene, *, laps: int = 400) -> Path:
    """The film: one lap painted, shown so many times."""
    once = film(path.with_name(f"once_{path.name}"), lap(scene))
    call = [get_ffmpeg_exe(), "-v", "error", "-y", "-stream_loop", str(laps - 1), "-i", str(once), "-c", "copy"]
    subprocess.run([*call, str(path)], check=True)
    return path


class FilmedBench:
    """The kiosk of one bench with that film for its scope, and one hand at its glass. Nothing is sent past the glass
    but what a scanner reads."""

    def __init__(self, qtbot: QtBot, folder: Path, video: Path) -> None:
        self.qtbot = qtbot
        self.shift = GlassShift(folder=folder / "store", sight=Sight(kind=SightKind.FILE, where=str(video)))
        assert self.shift.kiosk is not None
        assert self.shift.clock is not None
        self.kiosk, self.clock = self.shift.kiosk, self.shift.clock
        self.kiosk.start(looks_for_quiet=False)
        self.fingers = Fingers(lambda: self.kiosk.window, self.clock)
        self.pictures: Path | None = None  # where pictures of the screens go

    @property
    def source(self) -> Any:
        assert self.kiosk.eyes is not None
        return self.kiosk.eyes.source

    @property
    def screen(self) -> Any:
        return self.kiosk.window.current

    def seen(self, name: str) -> None:
        """A picture of the screen, where one is wanted."""
        if self.pictures is not None:
            self.kiosk.window.grab().save(str(self.pictures / f"{name}.png"))

    def view(self) -> Any:
        self.fingers.settle()
        return self.kiosk.session.view()

    def scan(self, text: str) -> None:
        """Read a code with the scanner."""
        self.clock.advance(1_500)
        self.kiosk.scanned(text)
        self.fingers.settle()

    def touch(self, name: str) -> None:
        """Touch the key of that name."""
        self.fingers.tap(self.fingers.find(lambda key: key.objectName() == name, name))

    def sign_in(self, who: str) -> None:
        """Badge, PIN, and YES to each question of the start-up."""
        self.scan(who)
        self.pin()
        while isinstance(asked := self.view(), v.AskView):
            self.fingers.send(asked.yes.send)

    def pin(self) -> None:
        self.fingers.type(PIN)
        if isinstance(self.view(), v.PinView):
            self.fingers.named("done")

    def yes(self) -> None:
        """Look as long as the lumen needs, then YES; a scope that is due is cleaned before."""
        view, step = self.view(), self.shift.step
        if isinstance(view, v.StepsView):
            self.fingers.send(view.main.send)
            return
        assert isinstance(view, v.AskView), view
        assert step.check is not None
        lumen = way(self.shift.trip.pieces[step.piece].item, step.check.lumen)
        self.clock.advance(pace_ms(self.shift.desk.policy, lumen.length_mm if lumen else None) + 500)
        self.fingers.send(view.yes.send)

    def yes_until(self, name: str) -> None:
        """YES up to the check named `A1.bore.scope`."""
        while f"{self.shift.step.piece}.{self.shift.step.check.key if self.shift.step.check else ''}" != name:
            self.yes()

    def to_the_ticket(self) -> None:
        """The bench is wiped and the paper comes; it can be read."""
        way = {"bench", "gloves", "print", "readable"}
        assert self.shift.step.kind in way, f"the piece was not sent back: {self.shift.step}, {self.view()}"
        while self.shift.step.kind in way:
            view = self.view()
            match view:
                case v.StepsView():
                    self.fingers.send(view.main.send)
                case v.AskView():
                    self.fingers.send(view.yes.send)
                case _:
                    self.settled()

    def open(self, tray: str) -> None:
        """Scan the tray; everything is there."""
        self.scan(tray)
        while isinstance(shown := self.view(), v.OverviewView):
            self.fingers.send(next(key for key in shown.hand.right if key.kind == "main").send)
        assert isinstance(shown, v.CountView), shown
        self.fingers.named("count all")

    def live(self) -> None:
        """The camera page with pictures on it."""
        if not isinstance(self.view(), v.CameraView):
            self.fingers.send(c.Turn(page=c.Page.CAMERA))
        self.qtbot.waitUntil(
            lambda: self.screen.lens is not None and not self.screen.lens.image.isNull(), timeout=20_000
        )
        self.seen("live")

    def _shows(self) -> bool:
        return self.screen.lens is not None and not self.screen.lens.image.isNull()

    def settled(self) -> None:
        """Nothing is on its way to the disk or to the printer."""
        self.qtbot.waitUntil(lambda: not self.kiosk.busy(), timeout=20_000)
        for worker in (self.kiosk._worker, self.kiosk._looker):
            worker.submit(_nothing).result(30)
        self.fingers.settle()

    def close(self) -> None:
        self.kiosk.stop()
        self.kiosk.window.close()


def _nothing() -> None:
    pass
