"""From touch to the next screen painted, durable commit included; and from start to the first screen that takes a scan.

Both stand as ratios to a bare Qt program measured in the same run. Nothing passes or fails on time.
"""

import os
import shutil
import subprocess
import sys
import time
from pathlib import Path

import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest

from kiosk.app.stage import Stage
from kiosk.core.views import AskView
from kiosk.places import RESOURCES
from kiosk.rehearsal.player import Player
from kiosk.rehearsal.scenario import read_scenario
from kiosk.rehearsal.world import build
from tests.speed.bare_touch import BARE, BareStack, bare_touch, paint
from tests.speed.conftest import Tell
from tests.speed.figures import EVENTS, Figure
from tests.speed.five_years import ANSWERS, Department

pytestmark = pytest.mark.slow


def _our_touch(player: Player) -> float:
    view = player.view()
    assert isinstance(view, AskView)
    button = player.fingers.find(lambda b: b.payload == view.yes.send, "YES")
    spot = button.tap_area().center().toPoint()
    QTest.mousePress(button, Qt.MouseButton.LeftButton, pos=spot)
    player.clock.advance(90)
    start = time.perf_counter()
    QTest.mouseRelease(button, Qt.MouseButton.LeftButton, pos=spot)
    paint()
    return time.perf_counter() - start


def _touches(ground: Path, out: Path) -> tuple[list[float], list[float]]:
    """Milliseconds of a YES to the next screen, and of the bare stack's turn, in turn, on the store in `ground`."""
    scenario = read_scenario(RESOURCES / "demo" / "first_look.yaml")
    player = Player(scenario, build(scenario), Stage, out=ground, size=(1920, 1080), pictures=False)
    for action in scenario.when[:3]:
        player.step_up(action)
        getattr(player, f"do_{action['do']}")(action)
    stack = BareStack()
    stack.show()
    file = os.open(out / "bare", os.O_CREAT | os.O_RDWR)
    ours: list[float] = []
    bare: list[float] = []
    for _ in range(3):
        bare_touch(stack, file)
    while len(ours) < 12:
        bare.append(1000 * bare_touch(stack, file))
        if not isinstance(player.view(), AskView):
            player.walk(lambda view, step: isinstance(view, AskView) and step.kind == "check", "speed")
        before = player.view()
        player.clock.advance(60_000)  # a person looks; the clock turns, and what follows a YES is painted meanwhile
        player.stage.kiosk.window.clock_timer.timeout.emit()
        QTest.qWait(250)
        ours.append(1000 * _our_touch(player))
        assert player.view() != before
    os.close(file)
    player.close()
    return ours, bare


@pytest.mark.usefixtures("qapp")
def test_a_touch_and_the_next_screen_against_a_bare_stack(tmp_path: Path, tell: Tell) -> None:
    ours, bare = _touches(tmp_path, tmp_path)
    tell(Figure(row=1, what="touch to the next screen painted", against=BARE, ours=ours, base=bare, goal=1.5))


@pytest.mark.usefixtures("qapp")
@pytest.mark.timeout(3600)
def test_a_touch_on_the_store_of_five_years_against_a_bare_stack(
    department: Department, tmp_path: Path, tell: Tell
) -> None:
    """A bench that works beside five years of facts: each YES goes into their tables and every index of theirs."""
    ground = department.with_an_empty_log().parent
    ours, bare = _touches(ground, tmp_path)
    count = "SELECT count(*) FROM fact_answer WHERE day > '2031-05-01'"
    assert department.opened().records.ask(count)[0][0] >= len(ours)
    what = f"touch to the next screen painted, facts of {ANSWERS:,} checks beside it"
    tell(Figure(what=what, against=BARE, ours=ours, base=bare, goal=3))


EMPTY = """
import sys, time
from PySide6.QtWidgets import QApplication, QWidget
class Empty(QWidget):
    def paintEvent(self, event):
        print(time.time())
        QApplication.quit()
app = QApplication([])
window = Empty()
window.resize(1920, 1080)
window.show()
app.exec()
"""

OURS = """
import gc, sys, time
gc.disable()  # as the command does before it loads anything
sys.modules["numpy"] = None  # sqlite-utils loads it where it finds it; the run-time set has none, the test set has
from PySide6.QtCore import QTimer
from PySide6.QtWidgets import QApplication
import kiosk.app.opening as opening
from kiosk.app.kiosk import Kiosk
from kiosk.cli import main
class Timed(Kiosk):
    def start(self):
        super().start()
        QTimer.singleShot(0, self.until_painted)
    def until_painted(self):
        QApplication.processEvents()
        print(time.time())
        QApplication.quit()
opening.Kiosk = Timed
sys.exit(main(["--demo", "--store", sys.argv[1], "--window", "1920x1080", "--bench", "1"]))
"""


def _seconds(compiled: Path, code: str, *arguments: str) -> float:
    """From the process's start to its first frame. `compiled`: where Python keeps what it compiled, as installed."""
    env = {**os.environ, "QT_QPA_PLATFORM": "offscreen", "PYTHONPYCACHEPREFIX": str(compiled)}
    env.pop("PYTHONDONTWRITEBYTECODE", None)
    start = time.time()
    command = [sys.executable, "-c", code, *arguments]
    run = subprocess.run(command, check=True, capture_output=True, text=True, env=env)
    return float(run.stdout) - start


@pytest.mark.timeout(3600)
def test_the_start_against_an_empty_window(long: Path, tmp_path: Path, tell: Tell) -> None:
    store = tmp_path / "store"
    for folder in (long, long.with_name("store.keys")):
        shutil.copytree(folder, tmp_path / folder.name)
    compiled = tmp_path / "compiled"
    _seconds(compiled, EMPTY)
    _seconds(compiled, OURS, str(store))  # the first start loads the demo department, and compiles
    ours, empty = [], []
    for _ in range(7):
        empty.append(_seconds(compiled, EMPTY))
        ours.append(_seconds(compiled, OURS, str(store)))
    what, against = f"start to the first screen, {EVENTS:,} events", "empty PySide6 window, first frame"
    tell(Figure(row=2, what=what, against=against, ours=ours, base=empty, unit="s", goal=1.8))
