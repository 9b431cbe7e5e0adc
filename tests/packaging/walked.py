"""A tray walked on a stage of the test's own, with every touch and scan noted: what a hand elsewhere does after it."""

import shutil
import time
from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import Any

from PySide6.QtCore import QEvent, QObject
from PySide6.QtGui import QMouseEvent
from PySide6.QtWidgets import QApplication, QWidget
from sqlite_utils import Database

from kiosk.app.kiosk import Kiosk
from kiosk.app.stage import Stage
from kiosk.rehearsal.play import play
from kiosk.rehearsal.scenario import read_scenario
from kiosk.rehearsal.world import PIN
from kiosk.store.database import FILE
from kiosk.ui.parts.touch import TouchButton
from tests.packaging.finger import Finger, Wedge

SIZE = (1920, 1080)


@dataclass(frozen=True, slots=True, kw_only=True)
class Deed:
    """A touch at a place of the screen, in pixels, or a scan. `at_ms`: on the stage's clock."""

    at_ms: int
    touch: tuple[int, int] | None = None
    scan: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Walked:
    """What the hand did, and the names of the events that came of it, in order."""

    deeds: list[Deed]
    events: list[str]
    missed: list[dict[str, Any]]


DEEDS: list[Deed] = []
"""What was done on the stage that plays: a play makes its stage itself."""


class Noting(Stage):
    """A stage that notes what is done on it."""

    def _start(self) -> Kiosk:
        kiosk = super()._start()
        hear = kiosk.scanned

        def scanned(raw: str, *, typed: bool = False) -> None:
            if not typed:
                DEEDS.append(Deed(at_ms=self.clock.now().at_ms, scan=raw))
            hear(raw, typed=typed)

        kiosk.scanned = scanned  # type: ignore[method-assign]
        app = QApplication.instance()
        assert app is not None
        app.installEventFilter(self)
        return kiosk

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        if isinstance(watched, TouchButton) and event.type() == QEvent.Type.MouseButtonPress:
            assert isinstance(event, QMouseEvent)
            at = QWidget.mapTo(watched, self.kiosk.window, event.position().toPoint())
            DEEDS.append(Deed(at_ms=self.clock.now().at_ms, touch=(at.x(), at.y())))
        return False

    def close(self) -> None:
        app = QApplication.instance()
        assert app is not None
        app.removeEventFilter(self)
        super().close()


def walk(scenario: Path, out: Path) -> Walked:
    """Walk the tray of a written scenario once, under the folder `out`."""
    DEEDS.clear()
    result = play(read_scenario(scenario), Noting, out, size=SIZE)
    return Walked(deeds=list(DEEDS), events=names_in(out / "store"), missed=list(result.missed))


def with_pin(deeds: list[Deed], pin: str) -> list[Deed]:
    """The same, with another PIN typed after the first scan: the pad's columns and rows are those of 2, 4, 6 and 8."""
    assert PIN == "2468"
    badge, *typed = deeds[:5]
    two, four, six, eight = (deed.touch or (0, 0) for deed in typed)
    columns, rows = (four[0], two[0], six[0]), (two[1], four[1], eight[1], 2 * eight[1] - four[1])
    places = {str(n): (columns[(n - 1) % 3], rows[(n - 1) // 3]) for n in range(1, 10)} | {"0": (columns[1], rows[3])}
    every_ms = deeds[2].at_ms - deeds[1].at_ms
    digits = [Deed(at_ms=badge.at_ms + every_ms * n, touch=places[digit]) for n, digit in enumerate(pin, 1)]
    late_ms = digits[-1].at_ms - typed[-1].at_ms
    return [badge, *digits, *(replace(deed, at_ms=deed.at_ms + late_ms) for deed in deeds[5:])]


def do(deeds: Sequence[Deed], finger: Finger, wedge: Wedge, *, before_tray: Callable[[], None] | None = None) -> None:
    """Do these deeds, as far apart as they were on the stage. `before_tray` is called before a tray is scanned."""
    for before, deed in zip([deeds[0], *deeds], deeds, strict=False):
        time.sleep((deed.at_ms - before.at_ms) / 1000)
        if deed.touch:
            x, y = deed.touch
            finger.touch(x / SIZE[0], y / SIZE[1])
        else:
            if before_tray and deed.scan.startswith("TR-"):
                before_tray()
            wedge.scan(deed.scan)


def names_in(store: Path) -> list[str]:
    """The names of the events that a store holds, in order, but for a hash that is made anew at a first PIN.

    The files are copied first: nobody else's store is opened.
    """
    with TemporaryDirectory() as folder:
        for path in store.glob(f"{FILE}*"):
            shutil.copy(path, folder)
        database = Database(Path(folder) / FILE)
        names = [str(row["typ"]) for row in database.query("SELECT typ FROM event ORDER BY seq")]
        database.conn.close()
    return [name for name in names if name != "pin_hashed_anew"]
