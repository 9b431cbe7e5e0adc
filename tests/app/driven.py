"""The whole program in a process of its own, off screen: opened as a call opens it, driven, and heard line by line."""

import json
import os
import subprocess
import sys
from collections.abc import Mapping, Sequence
from contextlib import closing
from pathlib import Path
from typing import Any

from kiosk.app.departments import demo_catalogue, for_practice
from kiosk.app.station_file import FILE, keep_station
from kiosk.core.set_up import Ask
from kiosk.core.station import Station
from kiosk.devices.clock import SystemClock
from kiosk.store.bench_store import BenchStore

ROOT = Path(__file__).resolve().parents[2]
SIZE = (1280, 800)
STATION = Station(
    language="en", bench=1, px_per_mm=5.89, panel=f"{SIZE[0]}x{SIZE[1]}", answered=tuple(ask.value for ask in Ask)
)

CODE = """
import json, os, sys, time
from pathlib import Path
from PySide6.QtCore import QSize, QTimer
from PySide6.QtWidgets import QApplication
{guard}
import kiosk.app.opening as opening
from kiosk.app.anew import MARK
from kiosk.app.kiosk import Kiosk
from kiosk.app.panel import Panel
from kiosk.app.setting_up import SettingUp
from kiosk.core import commands as c

folder, what = Path(sys.argv[1]), sys.argv[2]
panels, drives = [], []

class Taken(Panel):
    def __init__(self, app):
        super().__init__(app)
        panels.append(self)

def tell(**row):
    print(json.dumps(row), flush=True)

class Driven(Kiosk):
    def start(self, **rest):
        super().start(**rest)
        QTimer.singleShot(0, self.drive)

    def stands(self):
        QApplication.processEvents()
        view = self.session.view()
        trip = self.session.bench.trip
        tell(at=time.time(), who=self.session.bench.who, view=type(view).__name__, title=view.title,
             trip=trip.id if trip else "", kept=sorted(self.session.bench.trips), anew=MARK in os.environ)

    def work(self):
        self.send(c.EnterPin(person="P-29" if what in ("close", "set_up") else "P-21", pin="1111"))
        while self.step() == "startup":
            self.send(self.session.view().yes.send)
        self.scanned("TR-0741")

    def drive(self):
        self.stands()
        drives.append(self)
        if what == "panel" and len(drives) == 2:
            QApplication.exit(0)
            return
        if MARK in os.environ:
            self.work()
            self.stands()
        if what == "start" or MARK in os.environ:
            QApplication.exit(0)
            return
        self.work()
        self.stands()
        if what == "panel":  # Qt's own signal and size; that the panel was another one before is the test's
            panels[0].taken = QSize(800, 600)
            panels[0]._followed.geometryChanged.emit(panels[0]._followed.geometry())
            return
        if what == "bug":
            raise RuntimeError("a bug of the test")
        if what in ("close", "set_up"):
            self.send(c.LeaveStation(to=what))
        else:
            QApplication.exit(0)

class Seen(SettingUp):
    def start(self):
        super().start()
        tell(page=str(self.ask), at=time.time())
        QTimer.singleShot(0, self.leave)

    def leave(self):
        QApplication.exit(0)

opening.Kiosk, opening.SettingUp, opening.Panel = Driven, Seen, Taken
status = opening.open_kiosk(
    folder=folder, demo=False, practice=False, size=None if what == "panel" else (1280, 800), px_per_mm=None,
    bench_number=None, queue=None, side="clean", beside=(), hub="", plain=False, first_aid=None, backups=None,
    policy={{}}, kit={{}},
)
{after}
sys.exit(status)
"""


def code(guard: str = "", after: str = "") -> str:
    """The program's text, with lines before the product is loaded and after it has ended."""
    return CODE.format(guard=guard, after=after)


def prepare(folder: Path) -> None:
    """A store of the demo department, set up, in which everybody's number is that of the practice."""
    keep_station(folder / FILE, STATION)
    with closing(BenchStore(folder, "B1")) as store:
        store.keep_catalogue(for_practice(demo_catalogue(1)), at_ms=SystemClock().now().at_ms)


def run(
    folder: Path,
    what: str,
    *,
    text: str = "",
    status: int = 0,
    before: Sequence[str] = (),
    environment: Mapping[str, str] | None = None,
) -> list[dict[str, Any]]:
    """Run it, and what it told. `what`: start, walk, bug, panel, close, set_up.

    `before`: words that stand before the call.
    """
    env = environment or {**os.environ, "PYTHONPATH": str(ROOT), "QT_QPA_PLATFORM": "offscreen"}
    command = [*before, *([] if before else [sys.executable]), "-c", text or code(), str(folder), what]
    done = subprocess.run(command, check=False, capture_output=True, text=True, env=dict(env), cwd="/", timeout=110)
    assert done.returncode == status, done.stdout + done.stderr
    return [json.loads(line) for line in done.stdout.splitlines() if line.startswith("{")]
