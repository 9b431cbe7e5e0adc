"""A folder that another program drops pictures into: whole files only, unchanged, and nothing there stops the bench."""

import os
import zlib
from collections.abc import Iterator
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path

import pytest
from PySide6.QtCore import QBuffer, QByteArray, QIODevice
from pytestqt.qtbot import QtBot

from kiosk.devices.clock import SystemClock
from kiosk.devices.folder_look import MOST_BYTES, WHOLE_AFTER_MS, FolderLook, Looked, is_whole
from kiosk.devices.picture import State
from kiosk.devices.picture_folder import FolderSource
from tests.devices.videos import moving, tube
from tests.devices.watched import Watched, image_of


def _file(kind: str = "PNG", number: int = 0) -> bytes:
    data = QByteArray()
    buffer = QBuffer(data)
    buffer.open(QIODevice.OpenModeFlag.WriteOnly)
    assert image_of(moving(1, first=number)[0]).save(buffer, kind)  # type: ignore[call-overload]
    return bytes(data.data())


@pytest.fixture
def worker() -> Iterator[ThreadPoolExecutor]:
    with ThreadPoolExecutor(max_workers=1) as one:
        yield one


def _starts(qtbot: QtBot, source: FolderSource) -> None:
    """Start it, and wait until the worker has noted what lies there: only what comes later is a picture."""
    source.start()
    qtbot.waitUntil(lambda: source._look._begun and source._looking is None, timeout=10_000)


def _begun(folder: Path) -> FolderLook:
    look = FolderLook(folder)
    assert look.look(0) == Looked(there=True)
    return look


@pytest.mark.parametrize("kind", ["PNG", "JPEG"])
def test_a_picture_dropped_in_is_the_still_and_its_bytes_are_unchanged(
    qtbot: QtBot, tmp_path: Path, worker: ThreadPoolExecutor, kind: str
) -> None:
    (tmp_path / "before.png").write_bytes(_file())
    source = FolderSource(tmp_path, SystemClock().steady_ms, worker)
    seen = Watched(source)
    _starts(qtbot, source)
    assert (source.state, source.still()) == (State.STARTING, None)  # what lay there is of another piece
    data = _file(kind, 5)
    (tmp_path / f"scope_0001.{kind.lower()}").write_bytes(data)
    qtbot.waitUntil(lambda: source.still() is not None, timeout=10_000)
    still = source.still()
    assert still is not None
    assert still.original == data
    assert still.name == f"scope_0001.{kind.lower()}"
    assert (still.frame.image.width(), still.frame.number) == (320, 1)
    assert seen.states == [State.STARTING, State.LIVE]
    source.stop()


def test_a_picture_is_not_taken_before_it_is_written_to_its_end(tmp_path: Path) -> None:
    look, data = _begun(tmp_path), _file("JPEG")
    for part in (len(data) // 3, len(data) - 40):
        (tmp_path / "a.jpg").write_bytes(data[:part])
        os.utime(tmp_path / "a.jpg", ns=(part, part))
        assert look.look(100).pictures == ()
        assert look.look(300).pictures == ()  # it keeps still, and does not read whole
    (tmp_path / "a.jpg").write_bytes(data)
    look.look(500)
    assert look.look(700) == Looked(there=True, pictures=(("a.jpg", data),))
    assert look.look(900) == Looked(there=True)


def test_a_file_that_stays_half_is_named_once(tmp_path: Path) -> None:
    look = _begun(tmp_path)
    (tmp_path / "half.png").write_bytes(_file()[:-30])
    assert look.look(1_000).unreadable == ()
    assert look.look(1_000 + WHOLE_AFTER_MS).unreadable == ("half.png",)
    assert look.look(90_000) == Looked(there=True)


def test_pictures_come_oldest_first_and_a_name_written_anew_is_a_new_picture(tmp_path: Path) -> None:
    look = _begun(tmp_path)
    for at, name in ((300, "b.png"), (200, "c.png")):
        (tmp_path / name).write_bytes(_file(number=at // 100))
        os.utime(tmp_path / name, ns=(at, at))
    look.look(10)
    assert [name for name, _ in look.look(20).pictures] == ["c.png", "b.png"]
    (tmp_path / "c.png").write_bytes(_file(number=9))
    os.utime(tmp_path / "c.png", ns=(400, 400))
    look.look(30)
    assert look.look(40).pictures == (("c.png", _file(number=9)),)


def _wide_png(width: int, height: int) -> bytes:
    """A PNG of a few bytes that would unpack to width x height (PNG specification, ISO/IEC 15948)."""

    def chunk(kind: bytes, data: bytes) -> bytes:
        return len(data).to_bytes(4, "big") + kind + data + zlib.crc32(kind + data).to_bytes(4, "big")

    head = width.to_bytes(4, "big") + height.to_bytes(4, "big") + b"\x08\x00\x00\x00\x00"
    rows = zlib.compress(b"\0" * 4096)
    return b"\x89PNG\r\n\x1a\n" + chunk(b"IHDR", head) + chunk(b"IDAT", rows) + chunk(b"IEND", b"")


@pytest.mark.parametrize(
    ("name", "data"),
    [
        ("empty.png", b""),
        ("words.jpg", b"<html>not a picture</html>"),
        ("bomb.png", _wide_png(60_000, 60_000)),
        ("negative.png", _wide_png(0xFFFFFFFF, 1)),
        ("other.png", b"GIF89a" + bytes(40)),
        ("eps.jpg", b"%!PS-Adobe-3.0 EPSF-3.0\n%%BoundingBox: 0 0 9 9\n"),
    ],
    ids=lambda value: value if isinstance(value, str) else "",
)
def test_a_hostile_or_broken_file_is_a_sentence_with_its_name(
    qtbot: QtBot, tmp_path: Path, worker: ThreadPoolExecutor, name: str, data: bytes
) -> None:
    now = [0]
    source = FolderSource(tmp_path, lambda: now[0], worker)
    _starts(qtbot, source)
    (tmp_path / name).write_bytes(data)
    qtbot.waitUntil(lambda: name in source._look._growing, timeout=10_000)
    assert source.state is State.STARTING  # it may still be being written
    qtbot.waitUntil(lambda: source._looking is None, timeout=10_000)
    now[0] = WHOLE_AFTER_MS + 1
    source.look_into()
    qtbot.waitUntil(lambda: source.state is State.UNREADABLE, timeout=10_000)
    assert source.about == name
    assert source.still() is None
    (tmp_path / "good.png").write_bytes(_file())
    qtbot.waitUntil(lambda: source.state is State.LIVE, timeout=10_000)  # work goes on
    source.stop()


def test_a_file_over_the_bound_is_not_read(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    look = _begun(tmp_path)
    with (tmp_path / "huge.png").open("wb") as file:
        file.truncate(MOST_BYTES + 1)

    def opened(*_: object) -> int:
        raise AssertionError("it was opened")

    monkeypatch.setattr("kiosk.devices.folder_look.os.open", opened)
    assert look.look(10).unreadable == ("huge.png",)
    assert look.look(20) == Looked(there=True)
    (tmp_path / "small.png").write_bytes(_file())
    look.look(30)
    with pytest.raises(AssertionError, match="it was opened"):  # one within the bound is
        look.look(40)


def test_links_pipes_folders_and_hidden_files_are_not_opened(tmp_path: Path) -> None:
    folder, elsewhere = tmp_path / "in", tmp_path / "elsewhere.png"
    folder.mkdir()
    look = _begun(folder)
    elsewhere.write_bytes(_file())
    (folder / "link.png").symlink_to(elsewhere)
    os.mkfifo(folder / "pipe.png")
    (folder / "folder.png").mkdir()
    (folder / ".part.png").write_bytes(_file())
    (folder / "notes.txt").write_bytes(b"x")
    for at in (10, 20, 90_000):
        assert look.look(at) == Looked(there=True)


def test_a_strange_name_is_shown_printable_and_short(qtbot: QtBot, tmp_path: Path, worker: ThreadPoolExecutor) -> None:
    source = FolderSource(tmp_path, SystemClock().steady_ms, worker)
    source.say(State.UNREADABLE, "a\x1b[31m\n\u202eb" + "c" * 200 + ".png")
    assert source.about.startswith("a [31m b")
    assert len(source.about) == 60
    assert source.about.isprintable()


def test_the_same_picture_dropped_in_once_more_is_a_picture_and_nothing_is_frozen(
    qtbot: QtBot, tmp_path: Path, worker: ThreadPoolExecutor
) -> None:
    now = [0]
    source = FolderSource(tmp_path, lambda: now[0], worker)
    seen = Watched(source)
    _starts(qtbot, source)
    for number, name in enumerate(("a.png", "b.png"), start=1):
        now[0] += 60_000
        (tmp_path / name).write_bytes(_file())
        qtbot.waitUntil(lambda n=number: len(seen.frames) == n, timeout=10_000)  # type: ignore[misc]
    assert seen.states == [State.STARTING, State.LIVE]
    source.stop()


def test_a_folder_that_goes_away_is_told_and_taken_up_again_when_it_is_back(
    qtbot: QtBot, tmp_path: Path, worker: ThreadPoolExecutor
) -> None:
    folder = tmp_path / "in"
    source = FolderSource(folder, SystemClock().steady_ms, worker)
    source.start()
    qtbot.waitUntil(lambda: source.state is State.GONE, timeout=10_000)
    folder.mkdir()
    qtbot.waitUntil(lambda: source.state is State.STARTING, timeout=10_000)
    (folder / "a.png").write_bytes(_file())
    qtbot.waitUntil(lambda: source.state is State.LIVE, timeout=10_000)
    (folder / "a.png").unlink()
    folder.rmdir()
    qtbot.waitUntil(lambda: source.state is State.GONE, timeout=10_000)
    assert source.still() is not None  # what came stays to be kept
    source.stop()


def test_whole_pictures_are_told_from_cut_ones() -> None:
    for kind in ("PNG", "JPEG"):
        data = _file(kind)
        assert is_whole(data)
        assert not any(is_whole(data[:cut]) for cut in (10, len(data) // 2, len(data) - 20))
    assert tube().shape == (240, 320, 3)
