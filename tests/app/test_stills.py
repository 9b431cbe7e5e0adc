"""Pictures at the whole kiosk: frozen by touch or key, kept as they came, told to the log once the disk has them."""

import hashlib
import io
from collections.abc import Callable, Iterator
from concurrent.futures import Executor, Future
from contextlib import contextmanager
from dataclasses import replace
from pathlib import Path
from threading import Event
from typing import Any

import numpy as np
import pytest
from PIL import Image
from PIL.PngImagePlugin import PngInfo
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication
from pytestqt.qtbot import QtBot

from kiosk.app.still_pictures import array_of, carries_place
from kiosk.core import commands as c
from kiosk.core import events as e
from kiosk.core import views as v
from kiosk.core.place import Place
from kiosk.devices.foot_key import foot_key_from
from kiosk.devices.picture import State
from kiosk.devices.source_named import Sight, SightKind
from kiosk.store.outage import Outage
from kiosk.ui.screens.camera import Mode
from tests.app.seeing import Walk, picture
from tests.devices.videos import film, moving


@pytest.fixture
def drops(tmp_path: Path) -> Path:
    folder = tmp_path / "drops"
    folder.mkdir()
    return folder


@pytest.fixture
def walk(qapp: QApplication, qtbot: QtBot, tmp_path: Path, drops: Path) -> Iterator[Walk]:
    walk = Walk(qtbot, tmp_path, Sight(kind=SightKind.FOLDER, where=str(drops)))
    walk.qtbot.waitUntil(lambda: walk.eyes.source._look._begun, timeout=20_000)
    yield walk
    walk.close()


def kept(walk: Walk) -> list[e.StillKept]:
    return [k.event for _, k in walk.kiosk.store.records.kept("still_kept") if isinstance(k.event, e.StillKept)]


def cleared(walk: Walk) -> list[int]:
    """How many pictures made room, as it was told."""
    told = (kept.event for _, kept in walk.kiosk.store.records.kept(e.NAME_OF[e.PicturesCleared]))
    return [event.count for event in told if isinstance(event, e.PicturesCleared)]


@contextmanager
def held_back(walk: Walk) -> Iterator[None]:
    """Meanwhile the worker does nothing."""
    gate = Event()
    walk.kiosk._worker.submit(gate.wait, 60)
    try:
        yield
    finally:
        gate.set()


def refuses(fault: Exception) -> Callable[..., Any]:
    """Whatever is asked of it, it raises."""

    def run(*_: Any, **__: Any) -> Any:
        raise fault

    return run


def full_once(walk: Walk) -> Callable[[str, bytes], str]:
    """The disk is full at the first picture, and only then."""
    keeps, told = walk.kiosk.store.keep_picture, []

    def keep(name: str, data: bytes) -> str:
        if not told:
            told.append(name)
            raise Outage("disk_full")
        return keeps(name, data)

    return keep


class AtOnce(Executor):
    """A worker that is done before it answers."""

    def submit(self, run: Callable[..., Any], /, *args: Any, **more: Any) -> Future[Any]:
        future: Future[Any] = Future()
        future.set_result(run(*args, **more))
        return future


def test_a_file_from_the_folder_is_kept_with_its_bytes_unchanged_and_its_depth(walk: Walk, drops: Path) -> None:
    data = picture(3, kind="JPEG", quality=90)
    walk.open_camera()
    walk.drop(drops, "scope-0001.jpg", data)
    walk.touch("freeze")
    assert walk.mode() is Mode.FROZEN
    walk.touch("how deep")
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


def test_a_still_whose_page_was_left_before_the_disk_had_it_is_kept_where_it_was_frozen(
    walk: Walk, drops: Path
) -> None:
    walk.open_camera()
    walk.drop(drops, "e.png", picture(8))
    walk.touch("freeze")
    with held_back(walk):
        walk.touch("keep still")
        walk.shift.must(c.Turn())
        walk.shift.yes()
        assert not kept(walk)
    walk.settled()
    (event,) = kept(walk)
    assert (event.piece, event.lumen) == ("A1", "bore")


def test_a_still_that_is_lost_after_its_page_was_left_is_said_on_whatever_page(
    walk: Walk, drops: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    walk.open_camera()
    walk.drop(drops, "g.png", picture(8))
    walk.touch("freeze")
    monkeypatch.setattr(walk.kiosk.store, "keep_picture", refuses(Outage("disk")), raising=False)
    with held_back(walk):
        walk.touch("keep still")
        assert walk.mode() is Mode.KEEPING
        view = walk.page._view
        assert view is not None
        assert walk.page._hand(view).left == (), "no key leads away before the disk has it"
        walk.shift.must(c.Turn())
    walk.settled()
    view = walk.kiosk.session.view()
    assert isinstance(view, v.AskView)
    assert view.notice == f"The picture of Bent tube · only lumen was not kept: {Outage('disk')}"


def test_of_two_stills_on_their_way_each_is_settled_for_itself(walk: Walk, drops: Path) -> None:
    walk.open_camera()
    walk.drop(drops, "h.png", picture(10))
    walk.touch("freeze")
    with held_back(walk):
        walk.touch("keep still")
        first = walk.page._still
        walk.shift.must(c.Turn())
        walk.open_camera()
        walk.kiosk.window.still_settled(first, kept=False)
        walk.shift.clock.advance(1_000)  # type: ignore[union-attr]
    walk.settled()
    assert walk.mode() is Mode.LIVE
    assert len(kept(walk)) == 1


def test_on_a_full_disk_pictures_that_nothing_names_make_room_and_the_lead_is_told(
    walk: Walk, drops: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    walk.open_camera()
    walk.drop(drops, "i.png", picture(11))
    walk.touch("freeze")
    walk.touch("keep still")
    walk.settled()
    (first,) = kept(walk)
    unnamed = walk.kiosk.store.picture("nobody-names-it.png")
    unnamed.write_bytes(bytes(100))
    monkeypatch.setattr(walk.kiosk.store, "keep_picture", full_once(walk), raising=False)
    walk.drop(drops, "j.png", picture(12))
    walk.touch("freeze")
    walk.touch("keep still")
    walk.settled()
    assert len(kept(walk)) == 2
    assert not unnamed.exists()
    assert walk.kiosk.still(first.file).is_file()
    assert cleared(walk) == [1]
    assert walk.mode() is Mode.LIVE, "the page stays"


def test_room_that_was_made_in_vain_is_told_too(walk: Walk, drops: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    folder = walk.kiosk.store.picture("nobody-names-it.png").parent
    folder.mkdir(exist_ok=True)
    (folder / "nobody-names-it.png").write_bytes(bytes(100))
    monkeypatch.setattr(walk.kiosk.store, "keep_picture", refuses(Outage("disk_full")), raising=False)
    walk.open_camera()
    walk.drop(drops, "k.png", picture(13))
    walk.touch("freeze")
    walk.touch("keep still")
    walk.settled()
    assert not (folder / "nobody-names-it.png").exists()
    assert cleared(walk) == [1]
    assert not kept(walk)
    assert (walk.mode(), walk.said) == (Mode.FROZEN, "refused.still_not_kept")


def test_a_still_on_its_way_to_the_log_makes_no_room_for_another(
    walk: Walk, drops: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    walk.open_camera()
    walk.drop(drops, "l.png", picture(14))
    walk.touch("freeze")
    monkeypatch.setattr(walk.kiosk.store, "keep_picture", full_once(walk), raising=False)
    with held_back(walk):
        walk.touch("keep still")
        view, still = walk.page._view, walk.page._still
        assert view is not None
        walk.shift.clock.advance(1_000)  # type: ignore[union-attr]
        walk.kiosk.stills.keep(replace(still, original=picture(15)), view.of)
    walk.settled()
    assert len(kept(walk)) == 2
    for event in kept(walk):
        assert hashlib.sha256(walk.kiosk.still(event.file).read_bytes()).hexdigest() == event.sha256


@pytest.mark.expect_log("a still could not be measured")
def test_a_still_that_can_not_be_measured_for_whatever_reason_is_kept(
    walk: Walk, drops: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("kiosk.app.stills.measured", refuses(MemoryError()))
    walk.open_camera()
    walk.drop(drops, "m.png", picture(16))
    walk.touch("freeze")
    walk.touch("keep still")
    walk.settled()
    (event,) = kept(walk)
    assert event.quality is None


@pytest.mark.expect_log("a still could not be written")
def test_a_fault_that_nobody_foresaw_leaves_no_page_waiting(
    walk: Walk, drops: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(walk.kiosk.store, "keep_picture", refuses(KeyError("odd")), raising=False)
    walk.open_camera()
    walk.drop(drops, "n.png", picture(17))
    walk.touch("freeze")
    walk.touch("keep still")
    walk.settled()
    assert (walk.mode(), walk.said) == (Mode.FROZEN, "refused.still_not_kept")


def test_a_worker_that_is_done_at_once_is_heard_all_the_same(
    walk: Walk, drops: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    walk.open_camera()
    walk.drop(drops, "o.png", picture(18))
    monkeypatch.setattr(walk.kiosk.stills, "_worker", AtOnce())
    walk.touch("freeze")
    walk.touch("keep still")
    walk.settled()
    assert len(kept(walk)) == 1
    assert walk.mode() is Mode.LIVE


def test_of_a_still_that_was_given_up_nothing_is_said_over_the_live_picture(walk: Walk, drops: Path) -> None:
    walk.open_camera()
    walk.drop(drops, "p.png", picture(19, exposure=0.06))
    with held_back(walk):
        walk.touch("freeze")
        walk.touch("try again")
    walk.settled()
    assert (walk.mode(), walk.said) == (Mode.LIVE, "")


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
