"""Keeping pictures also on a full disk: what the log names nowhere makes room, oldest first."""

from pathlib import Path

from kiosk.app.picture_place import CarriesPlace, carries_place
from kiosk.core.events import PhotoTaken, ReadingSetMade, ReferenceOffered, StillKept
from kiosk.store.bench_store import BenchStore, Outage
from kiosk.store.room import PICTURES, make_room

ROOM = 2
"""So many times the picture's size is made free, so that the records that follow it have room too (a choice)."""


def keep_with_room(store: BenchStore, incoming: Path, name: str, chosen: Path) -> tuple[str, int]:
    """Keep the picture `chosen` as `name`: its SHA-256, and how many pictures made room. Raises as
    `keep_picture`, and CarriesPlace for a file that says where on the map it was taken."""
    data = chosen.read_bytes()
    if carries_place(data):
        raise CarriesPlace("a place on the map")
    try:
        return store.keep_picture(name, data), 0
    except Outage as fault:
        if fault.key != "disk_full":
            raise
    gone = make_room_for(store, len(data), incoming, linked_pictures(store) | {chosen.name})
    return store.keep_picture(name, data), gone


def linked_pictures(store: BenchStore) -> frozenset[str]:
    """The pictures that the log names: of findings, stills of lumens, references and reading sets. None makes room."""
    made = (kept.event for _, kept in store.records.kept("reading_set_made"))
    read = {one.file for event in made if isinstance(event, ReadingSetMade) for one in event.pictures}
    events = (
        kept.event
        for name in ("photo_taken", "still_kept", "reference_offered")
        for _, kept in store.records.kept(name)
    )
    return frozenset(
        {event.file for event in events if isinstance(event, PhotoTaken | StillKept | ReferenceOffered)} | read
    )


def pictures_in(folder: Path) -> list[Path]:
    """The pictures of a folder, the newest first; none where there is no folder."""
    files = [file for file in folder.iterdir() if file.suffix.lower() in PICTURES] if folder.is_dir() else []
    return sorted(files, key=_age, reverse=True)


def _age(file: Path) -> float:
    return file.stat().st_mtime


def make_room_for(store: BenchStore, size: int, incoming: Path, linked: frozenset[str]) -> int:
    """Make room for a picture of `size` bytes; how many others went."""
    return len(make_room((incoming, store.store.folder / "pictures"), linked, ROOM * size))
