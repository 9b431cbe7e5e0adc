"""Pictures at the whole kiosk: frozen by touch or key, kept as they came, told to the log once the disk has them."""

import hashlib
import io
from pathlib import Path
from typing import Any

import numpy as np
import pytest
from PIL import Image
from PIL.PngImagePlugin import PngInfo
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication
from pytestqt.qtbot import QtBot

from kiosk.app.picture_place import carries_place
from kiosk.app.still_pictures import array_of
from kiosk.core import commands as c
from kiosk.core import views as v
from kiosk.core.place import Place
from kiosk.devices.foot_key import foot_key_from
from kiosk.devices.picture import State
from kiosk.devices.source_named import Sight, SightKind
from kiosk.store.outage import Outage
from kiosk.ui.screens.camera import Mode
from tests.app.seeing import Walk, drops, kept, picture, walk
from tests.devices.videos import film, moving

__all__ = ["drops", "walk"]


def test_a_file_from_the_folder_is_kept_with_its_bytes_unchanged_and_its_depth(walk: Walk, drops: Path) -> None:
    data = picture(3, kind="JPEG", quality=90)
    walk.open_camera()
    walk.drop(drops, "scope-0001.jpg", data)
    walk.touch("freeze")
    assert walk.mode() is Mode.FROZEN
    walk.touch("how deep")
    walk.touch("type the depth")
    walk.touch("digit 3")
    walk.touch("done")
    walk.touch("keep still")
    assert walk.mode() is Mode.KEEPING
    assert walk.said != "notice.still_kept", "the screen says nothing before the disk has it"
    walk.settled()
    (event,) = kept(walk)
    file = walk.kiosk.still(event.file)
    assert file.read_bytes() == data
    assert (event.sha256, event.size) == (hashlib.sha256(data).hexdigest(), len(data))
    assert (event.piece, event.lumen, event.at_mm, event.source) == ("A1", "bore", 30, "folder")
    assert (event.width, event.height) == (640, 360)
    assert event.quality is not None
    assert walk.said == "notice.still_kept"
    assert walk.mode() is Mode.LIVE
    assert walk.page._view is not None
    assert [still.say for still in walk.page._view.stills] == ["3 cm from ENTRY"]
    small = walk.kiosk.stills.thumbs.find(event.file)
    assert small is not None
    assert small.parent != file.parent
    assert walk.kiosk.session.view() == walk.page._view


def test_a_frame_of_a_film_is_kept_as_a_png_of_what_was_shown(qapp: QApplication, qtbot: QtBot, tmp_path: Path) -> None:
    video = film(tmp_path / "lumen.mp4", moving(400))
    walk = Walk(qtbot, tmp_path, Sight(kind=SightKind.FILE, where=str(video)))
    walk.open_camera()
    walk.until(State.LIVE)
    walk.kiosk.window.path.scope_key = foot_key_from("F14")
    walk.shift.clock.advance(1_000)  # type: ignore[union-attr]
    QTest.keyClick(walk.kiosk.window, Qt.Key.Key_F14)
    assert walk.mode() is Mode.FROZEN
    assert walk.page.lens is not None
    shown = walk.page.lens.image
    walk.touch("keep still")
    walk.settled()
    (event,) = kept(walk)
    with Image.open(walk.kiosk.still(event.file)) as opened:
        assert opened.format == "PNG"
        pixels = np.asarray(opened.convert("RGB"))
    assert np.array_equal(pixels, array_of(shown))
    assert event.at_mm is None
    walk.close()


def test_the_foot_key_freezes_and_never_keeps(walk: Walk, drops: Path) -> None:
    walk.kiosk.window.path.foot_key = foot_key_from("F13")
    walk.open_camera()
    walk.drop(drops, "a.png", picture(4))
    for _ in range(3):
        QTest.keyClick(walk.kiosk.window, Qt.Key.Key_F13)
        walk.shift.clock.advance(1_000)  # type: ignore[union-attr]
    walk.settled()
    assert walk.mode() is Mode.FROZEN
    assert not kept(walk)


@pytest.mark.parametrize(
    ("more", "said"),
    [
        ({"exposure": 0.06}, "notice.still_too_dark"),
        ({"exposure": 40.0}, "notice.still_too_bright"),
        ({"defocus_px": 8.0}, "notice.still_not_sharp"),
        ({}, ""),
    ],
    ids=["dark", "bright", "blurred", "good"],
)
def test_one_quiet_sentence_about_a_still_that_can_hardly_be_read_and_it_may_be_kept_all_the_same(
    walk: Walk, drops: Path, more: dict[str, Any], said: str
) -> None:
    walk.open_camera()
    walk.drop(drops, "b.png", picture(5, **more))
    walk.touch("freeze")
    walk.settled()
    assert walk.said == said
    walk.touch("keep still")
    walk.settled()
    assert len(kept(walk)) == 1


def test_a_file_that_says_where_on_the_map_it_was_taken_is_refused_in_one_sentence(walk: Walk, drops: Path) -> None:
    place = Image.Exif()
    place.get_ifd(0x8825)[1] = "N"  # GPSLatitudeRef (EXIF 2.32, from memory)
    place.get_ifd(0x8825)[2] = (48.0, 8.0, 0.0)
    walk.open_camera()
    walk.drop(drops, "c.jpg", picture(6, kind="JPEG", exif=place))
    walk.touch("freeze")
    walk.touch("keep still")
    walk.settled()
    assert walk.said == "refused.still_place"
    assert not kept(walk)
    assert not list((walk.kiosk.store.store.folder).glob("pictures/*"))
    assert walk.mode() is Mode.FROZEN


def test_what_the_disk_does_not_take_stays_frozen_and_is_kept_at_the_next_touch(
    walk: Walk, drops: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    keeps = walk.kiosk.store.keep_picture

    def away(name: str, data: bytes) -> str:
        raise Outage("disk")

    walk.open_camera()
    walk.drop(drops, "d.png", picture(7))
    walk.touch("freeze")
    monkeypatch.setattr(walk.kiosk.store, "keep_picture", away, raising=False)
    walk.touch("keep still")
    walk.settled()
    assert walk.said == "refused.still_not_kept"
    assert walk.mode() is Mode.FROZEN
    assert not kept(walk)
    monkeypatch.setattr(walk.kiosk.store, "keep_picture", keeps, raising=False)
    walk.touch("keep still")
    walk.settled()
    assert len(kept(walk)) == 1


def test_the_picture_of_a_finding_is_taken_on_the_same_page(walk: Walk, drops: Path) -> None:
    walk.shift.must(
        c.Answer(piece="A1", key="bore.scope", yes=False),
        c.ReportFinding(code="red_mark", place=Place(lumen="bore", at_mm=50)),
    )
    walk.shift.must(c.Turn(page=c.Page.PHOTO))
    walk.open_camera()
    walk.drop(drops, "f.png", picture(9))
    walk.touch("freeze")
    walk.touch("keep still")
    walk.settled()
    (event,) = kept(walk)
    found = walk.shift.trip.findings[-1]
    assert (event.finding, event.at_mm, found.photo) == (found.n, 50, event.file)


def test_a_reason_for_no_picture_is_kept(walk: Walk) -> None:
    walk.open_camera()
    walk.touch("no picture")
    walk.touch("no photo no_scope")
    assert walk.shift.trip.no_stills == {"A1.bore": "no_scope"}


def test_without_a_source_no_key_leads_to_pictures(walk: Walk) -> None:
    walk.kiosk.session.sight = ""
    view = walk.kiosk.session.view()
    assert isinstance(view, v.AskView)
    assert "picture page" not in {key.name for key in view.hand.right}


@pytest.mark.parametrize("where", ["exif jpeg", "exif png", "xmp png", "none"])
def test_a_place_is_found_wherever_a_program_may_have_put_it(where: str) -> None:
    """EXIF's GPS part (tag 0x8825) in JPEG and PNG, and XMP's exif:GPSLatitude; names and tags from memory."""
    place, held, text = Image.Exif(), io.BytesIO(), PngInfo()
    place.get_ifd(0x8825)[2] = (48.0, 8.0, 0.0)
    text.add_itxt("XML:com.adobe.xmp", '<x exif:GPSLatitude="48,8.0N"/>', zip=True)
    table: dict[str, dict[str, Any]] = {
        "exif jpeg": {"exif": place},
        "exif png": {"exif": place.tobytes()},
        "xmp png": {"pnginfo": text},
        "none": {},
    }
    Image.new("RGB", (32, 32)).save(held, "JPEG" if "jpeg" in where else "PNG", **table[where])
    assert carries_place(held.getvalue()) is (where != "none")


@pytest.mark.parametrize("data", [b"", b"no picture", b"\x89PNG\r\n\x1a\n" + bytes(40)])
def test_bytes_that_are_no_picture_carry_no_place_and_stop_nothing(data: bytes) -> None:
    assert carries_place(data) is False
