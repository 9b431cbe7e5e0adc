"""What looks at pictures hangs, as a network share that went away: keeping and printing go on, and the bench ends."""

import os
import threading
from concurrent.futures import Future
from pathlib import Path
from typing import Any

import pytest
from PIL import Image
from PySide6.QtWidgets import QApplication
from pytestqt.qtbot import QtBot

from kiosk.core import commands as c
from kiosk.core.place import Place
from kiosk.core.views import ScanView
from kiosk.devices.picture import State
from kiosk.devices.source_named import Sight, SightKind
from tests.app.seeing import Walk, drops, picture, walk

__all__ = ["drops", "walk"]


def test_a_share_that_hangs_holds_up_no_label_and_no_picture_and_not_the_end(
    qapp: QApplication, qtbot: QtBot, tmp_path: Path, drops: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    walk, gate, hangs = Walk(qtbot, tmp_path, Sight(kind=SightKind.FOLDER, where=str(drops))), *_gates()
    source: Any = walk.eyes.source
    qtbot.waitUntil(lambda: source._look._begun and source._looking is None, timeout=20_000)

    def look(_now_ms: int) -> None:
        hangs.set()
        gate.wait(60)

    monkeypatch.setattr(type(source._look), "look", lambda _self, now_ms: look(now_ms))
    try:
        source.look_into()
        qtbot.waitUntil(hangs.is_set, timeout=20_000)
        done: Future[int] = walk.kiosk._worker.submit(os.getpid)  # papers, stills and backups are made here
        assert done.result(20) == os.getpid()
        walk.close()
        assert not gate.is_set()
    finally:
        gate.set()


def _gates() -> tuple[threading.Event, threading.Event]:
    return threading.Event(), threading.Event()


@pytest.mark.parametrize("name", ["../throughlight.db", "/etc/hostname", "", ".", "a" * 5_000 + ".png", "pipe.png"])
def test_a_picture_heard_of_under_a_name_that_is_a_path_or_a_pipe_is_no_file(walk: Walk, name: str) -> None:
    folder = walk.kiosk.store.store.folder / "pictures"
    folder.mkdir(exist_ok=True)
    os.mkfifo(folder / "pipe.png")
    path = walk.kiosk.still(name)
    assert path.parent == folder
    assert not path.exists()


def test_the_chosen_picture_of_a_finding_that_names_a_place_is_refused_as_a_still_is(walk: Walk) -> None:
    place = Image.Exif()
    place.get_ifd(0x8825)[1] = "N"  # GPSLatitudeRef (EXIF 2.32, from memory)
    place.get_ifd(0x8825)[2] = (48.0, 8.0, 0.0)
    incoming = walk.kiosk.shelves.incoming
    incoming.mkdir(parents=True, exist_ok=True)
    (incoming / "there.jpg").write_bytes(picture(6, kind="JPEG", exif=place))
    (incoming / "nowhere.jpg").write_bytes(picture(6, kind="JPEG"))
    walk.shift.must(
        c.Answer(piece="A1", key="bore.scope", yes=False),
        c.ReportFinding(code="red_mark", place=Place(lumen="bore", at_mm=50)),
    )
    walk.shift.must(c.Turn(page=c.Page.PHOTO))
    walk.kiosk.picture_chosen(str(incoming / "there.jpg"))
    assert walk.said == "refused.still_place"
    assert not walk.shift.trip.findings[-1].photo
    walk.kiosk.picture_chosen(str(incoming / "nowhere.jpg"))
    assert walk.shift.trip.findings[-1].photo


def test_a_source_that_was_let_go_of_is_not_taken_hold_of_by_a_page_that_is_shown_late(walk: Walk) -> None:
    walk.eyes.stop()
    page = walk.kiosk.session.view()
    assert not isinstance(page, ScanView)
    walk.shift.must(c.Turn(page=c.Page.CAMERA))
    walk.eyes.follow(walk.kiosk.session.view())
    assert not walk.eyes._begin.isActive()
    walk.eyes.start()
    assert walk.eyes.source.state is State.NONE
