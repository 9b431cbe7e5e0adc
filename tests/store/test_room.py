"""A full disk: pictures without a finding go, oldest first; a finding's picture and every record stay."""

import os
from pathlib import Path

import pytest

from kiosk.app.shelf import keep_with_room
from kiosk.store.bench_store import BenchStore, Outage
from kiosk.store.room import make_room


def pictures(folder: Path, *names: str) -> list[Path]:
    folder.mkdir(exist_ok=True)
    made = []
    for age, name in enumerate(names):
        file = folder / name
        file.write_bytes(b"x" * 100)
        os.utime(file, (1_000_000 + age, 1_000_000 + age))
        made.append(file)
    return made


def test_the_oldest_picture_that_belongs_to_no_finding_goes_first(tmp_path: Path) -> None:
    old, linked, young = pictures(tmp_path / "incoming", "old.png", "linked.png", "young.jpg")
    assert make_room([tmp_path / "incoming"], {"linked.png"}, 50) == (old,)
    assert (linked.exists(), young.exists()) == (True, True)


def test_a_picture_of_a_finding_never_goes_however_much_is_wanted(tmp_path: Path) -> None:
    old, linked, young = pictures(tmp_path / "pictures", "old.png", "linked.png", "young.jpg")
    assert make_room([tmp_path / "pictures"], {"linked.png"}, 10_000) == (old, young)
    assert linked.exists()


def test_records_and_papers_are_not_touched(tmp_path: Path) -> None:
    kept = pictures(tmp_path / "store", "throughlight.db", "throughlight.db-wal", "sheet.pdf", "first_aid.yaml")
    assert make_room([tmp_path / "store", tmp_path / "nowhere"], set(), 10_000) == ()
    assert all(file.exists() for file in kept)


def test_a_picture_is_kept_on_a_full_disk_and_it_is_told_how_many_made_room(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    incoming = tmp_path / "incoming"
    old, chosen = pictures(incoming, "old.png", "chosen.png")
    store = BenchStore(tmp_path / "store", "B1")
    keep, tries = store.keep_picture, []

    def full(name: str, data: bytes) -> str:
        tries.append(name)
        if len(tries) == 1:
            raise Outage("disk_full")
        return keep(name, data)

    monkeypatch.setattr(store, "keep_picture", full)
    try:
        _, gone = keep_with_room(store, incoming, "kept.png", chosen)
    finally:
        store.close()
    assert (gone, old.exists(), chosen.exists()) == (1, False, True)
    assert (tmp_path / "store" / "pictures" / "kept.png").is_file()


def test_another_outage_than_a_full_disk_takes_nothing_away(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    incoming = tmp_path / "incoming"
    old, chosen = pictures(incoming, "old.png", "chosen.png")
    store = BenchStore(tmp_path / "store", "B1")

    def broken(name: str, data: bytes) -> str:
        raise Outage("disk")

    monkeypatch.setattr(store, "keep_picture", broken)
    try:
        with pytest.raises(Outage):
            keep_with_room(store, incoming, "kept.png", chosen)
    finally:
        store.close()
    assert old.exists()
