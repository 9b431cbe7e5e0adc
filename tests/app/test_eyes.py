"""The running bench with a camera in the scanner's stead: a tag held before it opens the tray, and that once."""

import subprocess
import sys
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from PySide6.QtWidgets import QApplication
from pytestqt.qtbot import QtBot

from kiosk.app.eyes import Eyes
from kiosk.app.stage import Stage
from kiosk.devices.clock import SystemClock
from kiosk.devices.picture import State
from kiosk.devices.source_named import sight_from
from kiosk.rehearsal.player import Player
from kiosk.rehearsal.scenario import read_scenario
from kiosk.rehearsal.world import build
from tests.devices.tags import bare, tag
from tests.devices.videos import film, shown_until

SCENARIO = Path(__file__).parent.parent / "scenarios" / "S01.yaml"


@pytest.fixture
def player(qapp: QApplication, tmp_path: Path) -> Iterator[Player]:
    scenario = read_scenario(SCENARIO)
    player = Player(scenario, build(scenario), Stage, out=tmp_path, size=(1280, 800), pictures=False)
    yield player
    player.close()


def test_a_tray_is_opened_by_its_tag_before_the_camera_and_not_a_second_time(
    qtbot: QtBot, player: Player, tmp_path: Path
) -> None:
    kiosk: Any = player.stage.kiosk
    video = film(tmp_path / "bench.mp4", [*[bare()] * 10, *[tag("TR-0417")] * 60])
    eyes = kiosk.eyes = Eyes(sight_from(str(video)), SystemClock().steady_ms, kiosk._worker)
    eyes.scanned.connect(kiosk.scanned)
    kiosk.repaint()
    assert eyes.source.state is State.NONE  # nobody has signed in: nothing is scanned yet
    player.who = "T1"
    player.do_sign_in({})
    qtbot.waitUntil(lambda: shown_until(eyes.source, lambda: kiosk.session.bench.trip is not None), timeout=60_000)
    assert kiosk.session.bench.trip.tray.code == "TR-0417"
    qtbot.waitUntil(lambda: eyes.source.state is State.ENDED, timeout=20_000)
    assert [trip.tray.code for trip in kiosk.session.bench.trips.values()] == ["TR-0417"]
    assert kiosk.session.notice is None


def test_the_kiosk_starts_without_qt_multimedia() -> None:
    code = (
        "import sys; import kiosk.app.opening, kiosk.app.eyes, kiosk.app.stage, kiosk.devices.stream, "
        "kiosk.devices.camera, kiosk.devices.picture_folder\n"
        "print([name for name in sys.modules if 'QtMultimedia' in name])"
    )
    told = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert told.stdout.strip() == "[]"
