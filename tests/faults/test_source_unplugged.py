"""The source of pictures unplugged at every step: what was frozen is kept, nothing else is, and work goes on."""

from pathlib import Path

import pytest
from PySide6.QtWidgets import QApplication
from pytestqt.qtbot import QtBot

from kiosk.core import commands as c
from kiosk.devices.picture import State
from kiosk.devices.source_named import Sight, SightKind
from kiosk.ui.screens.camera import Mode
from tests.app.seeing import Walk, drops, kept, picture, walk

__all__ = ["drops", "walk"]


def pull(walk: Walk, drops: Path) -> None:
    """Its share is gone."""
    drops.rename(drops.with_name("pulled"))
    walk.until(State.GONE)


STEPS = ("open", "live", "frozen", "place", "keeping", "kept", "reason")


@pytest.mark.parametrize("step", STEPS)
def test_unplugged_at_this_step_nothing_is_lost_and_the_tray_is_packed(walk: Walk, drops: Path, step: str) -> None:
    data = picture(3)
    frozen = step in {"frozen", "place", "keeping", "kept"}
    walk.open_camera()
    if step == "open":
        pull(walk, drops)
    else:
        walk.drop(drops, "a.png", data)
    if step == "live":
        pull(walk, drops)
    walk.touch("freeze")
    if step in {"open", "live"}:
        assert walk.mode() is Mode.LIVE, "an old picture is never frozen"
        assert walk.said == "refused.still_source"
    if step == "frozen":
        pull(walk, drops)
    if step == "place":
        walk.touch("how deep")
        walk.touch("type the depth")
        pull(walk, drops)
        walk.touch("digit 4")
        walk.touch("done")
    if step in {"frozen", "place", "keeping"}:
        walk.touch("keep still")
        if step == "keeping":
            drops.rename(drops.with_name("pulled"))
    if step == "kept":
        walk.touch("keep still")
        walk.settled()
        pull(walk, drops)
    walk.settled()
    if step == "reason":
        walk.touch("try again")
        pull(walk, drops)
        walk.touch("no picture")
        walk.touch("no photo no_scope")
        assert walk.shift.trip.no_stills == {"A1.bore": "no_scope"}
    found = kept(walk)
    assert len(found) == int(frozen)
    for event in found:
        assert walk.kiosk.still(event.file).read_bytes() == data
        assert event.at_mm == (40 if step == "place" else None)
    walk.shift.must(c.Turn())
    walk.shift.yes_to_all()
    walk.shift.pack()
    assert walk.shift.trip.packed_ms is not None


def test_plugged_in_again_the_next_picture_is_taken_without_a_restart(walk: Walk, drops: Path) -> None:
    walk.open_camera()
    pull(walk, drops)
    drops.mkdir()
    walk.until(State.STARTING)
    walk.drop(drops, "b.png", picture(4))
    walk.touch("freeze")
    walk.touch("keep still")
    walk.settled()
    assert len(kept(walk)) == 1


def test_the_program_ended_while_the_disk_writes_and_the_still_is_in_the_log_or_nowhere(
    qapp: QApplication, qtbot: QtBot, tmp_path: Path, drops: Path
) -> None:
    """Stopped right after Keep: what the worker wrote is told before the store is closed."""
    walk = Walk(qtbot, tmp_path, Sight(kind=SightKind.FOLDER, where=str(drops)))
    walk.qtbot.waitUntil(lambda: walk.eyes.source._look._begun, timeout=20_000)
    walk.open_camera()
    walk.drop(drops, "c.png", picture(5))
    walk.touch("freeze")
    walk.touch("keep still")
    walk.close()
    again = Walk.__new__(Walk)
    again.shift = type(walk.shift)(folder=tmp_path / "store")
    (event,) = kept(again)
    assert again.kiosk.still(event.file).read_bytes() == (drops / "c.png").read_bytes()
    again.kiosk.stop()
