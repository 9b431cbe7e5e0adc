"""A monitor that comes back with another size: the kiosk begins anew on it, with all that was kept."""

import json
import os
from pathlib import Path

import pytest
from PySide6.QtCore import QSize
from PySide6.QtTest import QSignalSpy
from PySide6.QtWidgets import QApplication
from pytestqt.qtbot import QtBot

from kiosk.app.panel import SETTLES_MS, Panel
from tests.app.driven import ROOT, SIZE, prepare, run


def test_a_panel_that_has_its_old_size_again_changes_nothing(qapp: QApplication, qtbot: QtBot) -> None:
    panel = Panel(qapp)
    screen = qapp.primaryScreen()
    with qtbot.assertNotEmitted(panel.other, wait=2 * SETTLES_MS):
        screen.geometryChanged.emit(screen.geometry())
    assert panel.take() == screen.size()


def test_a_panel_of_another_size_is_told_once_it_stays_so(qapp: QApplication, qtbot: QtBot) -> None:
    panel = Panel(qapp)
    screen = qapp.primaryScreen()
    panel.taken = QSize(800, 600) if screen.size() != QSize(800, 600) else QSize(640, 480)
    told = QSignalSpy(panel.other)
    with qtbot.waitSignal(panel.other, timeout=5 * SETTLES_MS):
        for _ in range(3):  # a monitor that wakes gives several
            screen.geometryChanged.emit(screen.geometry())
    assert told.count() == 1


@pytest.mark.slow
def test_on_another_panel_the_kiosk_stands_anew_with_its_tray(tmp_path: Path) -> None:
    """The whole program, full screen; the size of a screen without a display server can not be changed from outside."""
    prepare(tmp_path / "store")
    screens = tmp_path / "screens.json"
    one = {"name": "panel", "x": 0, "y": 0, "width": SIZE[0], "height": SIZE[1]}
    screens.write_text(json.dumps({"screens": [one]}))
    own = {**os.environ, "PYTHONPATH": str(ROOT), "QT_QPA_PLATFORM": f"offscreen:configfile={screens}"}
    first, walked, again = run(tmp_path / "store", "panel", environment=own)
    assert not first["trip"]
    assert walked["trip"]
    assert walked["trip"] in again["kept"]
    assert not again["anew"], "in the same process"
