"""Keeping a chosen picture, also on a full disk: what belongs to no finding and no set makes room, oldest first."""

from pathlib import Path

from kiosk.core.events import PhotoTaken, ReadingSetMade, ReferenceOffered
from kiosk.store.bench_store import BenchStore, Outage
from kiosk.store.room import make_room

ROOM = 2
"""So many times the picture's size is made free, so that the records that follow it have room too (a choice)."""


def keep_with_room(store: BenchStore, incoming: Path, name: str, chosen: Path) -> tuple[str, int]:
    """Keep the picture `chosen` as `name`: its SHA-256, and how many pictures made room. Raises as `keep_picture`."""
    data = chosen.read_bytes()
    try:
        return store.keep_picture(name, data), 0
    except Outage as fault:
        if fault.key != "disk_full":
            raise
    taken = (kept.event for _, kept in store.records.kept("photo_taken"))
    linked = {event.file for event in taken if isinstance(event, PhotoTaken)} | _of_the_practice(store)
    gone = make_room((incoming, store.store.folder / "pictures"), linked | {chosen.name}, ROOM * len(data))
    return store.keep_picture(name, data), len(gone)


def _of_the_practice(store: BenchStore) -> set[str]:
    """Reference pictures and those of a reading set: they are looked at long after."""
    offered = (kept.event for _, kept in store.records.kept("reference_offered"))
    own = {event.file for event in offered if isinstance(event, ReferenceOffered)}
    made = (kept.event for _, kept in store.records.kept("reading_set_made"))
    return own | {one.file for event in made if isinstance(event, ReadingSetMade) for one in event.pictures}
