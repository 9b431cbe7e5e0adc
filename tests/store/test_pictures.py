"""A kept picture is there after a power cut, whole, under a plain name, and is never replaced."""

import hashlib
import os
from pathlib import Path

import pytest

from kiosk.store.outage import Outage
from kiosk.store.pictures import keep_picture, picture_path


def test_a_picture_is_kept_and_its_hash_told(tmp_path: Path) -> None:
    data = b"\x89PNG not really" * 100
    assert keep_picture(tmp_path, "TR-0417-1.png", data) == hashlib.sha256(data).hexdigest()
    assert (tmp_path / "pictures" / "TR-0417-1.png").read_bytes() == data
    assert [path.name for path in (tmp_path / "pictures").iterdir()] == ["TR-0417-1.png"]


def test_the_same_picture_again_changes_nothing_and_another_is_refused(tmp_path: Path) -> None:
    first = keep_picture(tmp_path, "a.png", b"one")
    assert keep_picture(tmp_path, "a.png", b"one") == first
    with pytest.raises(ValueError, match="another picture is kept as a"):
        keep_picture(tmp_path, "a.png", b"two")
    assert (tmp_path / "pictures" / "a.png").read_bytes() == b"one"


NO_NAMES = [
    "", ".", "..", "../a.png", "a/b.png", "/a.png", "a\\b.png", ".hidden", "a\0.png", "a" * 252 + ".png",
    "\u00e4" * 130,
]  # fmt: skip
"""Paths, hidden files, and names over the 255 bytes that POSIX file systems commonly take (NAME_MAX, from memory)."""


@pytest.mark.parametrize("name", NO_NAMES)
def test_a_name_with_a_path_in_it_that_was_heard_leads_to_no_file(tmp_path: Path, name: str) -> None:
    keep_picture(tmp_path, "a.png", b"one")
    path = picture_path(tmp_path, name)
    assert path.parent == tmp_path / "pictures"
    assert not path.is_file()
    with pytest.raises(ValueError, match="not a plain file name"):
        keep_picture(tmp_path, path.name, b"two")


@pytest.mark.parametrize("name", NO_NAMES)
def test_a_name_with_a_path_in_it_is_refused(tmp_path: Path, name: str) -> None:
    with pytest.raises(ValueError, match="not a plain file name"):
        keep_picture(tmp_path, name, b"one")
    assert list(tmp_path.iterdir()) == []


def test_file_and_folder_are_on_the_disk_before_the_hash_is_told(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    done = []
    sync, replace = os.fsync, Path.replace

    def noted_sync(handle: int) -> None:
        done.append(str(Path(f"/proc/self/fd/{handle}").readlink()))
        sync(handle)

    def noted_replace(path: Path, to: Path) -> Path:
        done.append(f"rename {to}")
        return replace(path, to)

    monkeypatch.setattr(os, "fsync", noted_sync)
    monkeypatch.setattr(Path, "replace", noted_replace)
    keep_picture(tmp_path, "a.png", b"one")
    folder = tmp_path / "pictures"
    assert done == [str(tmp_path), str(folder / ".a.png.part"), f"rename {folder / 'a.png'}", str(folder)]


def test_a_disk_that_does_not_take_it_leaves_nothing_half_written(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def full(handle: int) -> None:
        raise OSError(28, "No space left on device")

    (tmp_path / "pictures").mkdir()
    monkeypatch.setattr(os, "fsync", full)
    with pytest.raises(Outage, match="The disk is full"):
        keep_picture(tmp_path, "a.png", b"one")
    assert list((tmp_path / "pictures").iterdir()) == []
