"""Memory of the whole program: at the scan screen against an empty window, and after many trays against after a few.

Resident memory as the kernel counts it (VmRSS in /proc/self/status), each in a process of its own.
"""

import os
import subprocess
import sys
from pathlib import Path

import pytest

from tests.faults.running import many
from tests.speed.conftest import Tell
from tests.speed.figures import Figure

pytestmark = [pytest.mark.slow, pytest.mark.timeout(3600)]

FEW = 2
TRAYS = many("TRAYS", 8)
"""Trays played in a row: 48 are eight hours at six an hour."""

_RESIDENT = """
def resident():
    line = next(line for line in open("/proc/self/status") if line.startswith("VmRSS"))
    return int(line.split()[1]) / 1024
"""
EMPTY = (
    _RESIDENT
    + """
from PySide6.QtWidgets import QApplication, QWidget
app = QApplication([])
window = QWidget()
window.resize(1920, 1080)
window.show()
app.processEvents()
window.grab()
print(resident())
"""
)
PLAYED = (
    _RESIDENT
    + """
import gc, sys, tempfile
sys.modules["numpy"] = None  # the run-time set has none that a bench without a camera loads
from pathlib import Path
from PySide6.QtCore import QCoreApplication, QEvent
from PySide6.QtWidgets import QApplication
from kiosk.app.stage import Stage
from kiosk.places import RESOURCES
from kiosk.rehearsal.player import Player
from kiosk.rehearsal.scenario import read_scenario
from kiosk.rehearsal.world import build
app = QApplication([])
few, most = map(int, sys.argv[1:])
scenario = read_scenario(RESOURCES / "demo" / "first_look.yaml")
with tempfile.TemporaryDirectory() as ground:
    player = Player(scenario, build(scenario), Stage, out=Path(ground), size=(1920, 1080), pictures=False)
    player.step_up(scenario.when[0])
    player.do_sign_in(scenario.when[0])
    player.stage.kiosk.window.grab()
    print(resident(), flush=True)
    tray = [action for action in scenario.when if action.get("t") != "09:10"][-6:]
    assert tray[0]["do"] == "scan_tray"
    for n in range(1, most + 1):
        for action in tray:
            action = {name: value for name, value in action.items() if name != "t"}
            player.step_up(action)
            getattr(player, f"do_{action['do']}")(action)
        QCoreApplication.sendPostedEvents(None, QEvent.Type.DeferredDelete)  # as a turning event loop does
        if n in (few, most):
            gc.collect()
            print(resident(), flush=True)
    player.close()
"""
)


def _megabytes(code: str, *arguments: object) -> list[float]:
    env = {**os.environ, "QT_QPA_PLATFORM": "offscreen", "PYTHONPATH": str(Path(__file__).parents[2])}
    command = [sys.executable, "-c", code, *map(str, arguments)]
    run = subprocess.run(command, check=True, capture_output=True, text=True, env=env)
    return [float(line) for line in run.stdout.split()]


def test_memory_at_the_scan_screen_and_after_many_trays(tell: Tell) -> None:
    (empty,) = _megabytes(EMPTY)
    at_first, after_few, after_many = _megabytes(PLAYED, FEW, TRAYS)
    what, against = "memory at the scan screen", "empty PySide6 window"
    tell(Figure(row=16, what=what, against=against, ours=[at_first], base=[empty], unit="MB", goal=1.6))
    what, against = f"memory after {TRAYS} trays played in a row", f"the same after {FEW}"
    tell(Figure(row=17, what=what, against=against, ours=[after_many], base=[after_few], unit="MB", goal=1.02))
