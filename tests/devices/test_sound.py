"""A machine without sound is silent and says nothing about it; Qt Multimedia is loaded by the first sound only."""

import subprocess
import sys

import pytest
from PySide6.QtMultimedia import QMediaDevices
from pytestqt.qtbot import QtBot

from kiosk.devices.multimedia import quietly
from kiosk.devices.sound import LEVELS, Sounds
from kiosk.places import RESOURCES


def _no_outputs() -> bool:
    with quietly():
        return not QMediaDevices.audioOutputs()


def test_a_machine_without_sound_is_silent_and_keeps_on_being_asked(
    qtbot: QtBot, capfd: pytest.CaptureFixture[str], log_lines: list[str]
) -> None:
    if not _no_outputs():
        pytest.skip("this machine has a loudspeaker")
    sounds = Sounds(RESOURCES / "sounds")
    for _ in range(3):
        sounds.play("yes", "normal")
        qtbot.wait(30)
    assert sounds.silent
    assert log_lines == []
    assert capfd.readouterr().err == ""


def test_silent_loads_nothing_and_the_first_sound_loads_after_the_paint() -> None:
    code = """
import sys
from pathlib import Path
from PySide6.QtWidgets import QApplication
from kiosk.devices.sound import Sounds
app = QApplication([])
sounds = Sounds(Path(sys.argv[1]))
def loaded(): return "PySide6.QtMultimedia" in sys.modules
told = []
sounds.play("yes", "silent"); app.processEvents(); told.append(loaded())
sounds.play("yes", "low"); told.append(loaded())
app.processEvents(); told.append(loaded())
print(told)
"""
    call = [sys.executable, "-c", code, str(RESOURCES / "sounds")]
    told = subprocess.run(call, capture_output=True, text=True, check=True)
    assert told.stdout.strip() == "[False, False, True]"
    assert told.stderr == ""


def test_low_is_softer_than_normal_and_silent_is_nothing() -> None:
    assert 0 == LEVELS["silent"] < LEVELS["low"] < LEVELS["normal"] == 1
