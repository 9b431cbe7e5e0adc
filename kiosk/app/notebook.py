"""The exposure notes of a store, for the session."""

from collections.abc import Sequence

from kiosk.core.exposure import ExposureNote, NoteEntry
from kiosk.core.session import NotKept
from kiosk.store.bench_store import BenchStore, Outage


class Notebook:
    """The store's exposure notes, as the session asks for them: what the disk does not take is said in words."""

    def __init__(self, store: BenchStore) -> None:
        self._store = store

    def write(self, entries: Sequence[NoteEntry]) -> None:
        """Keep entries. Raises NotKept."""
        try:
            self._store.notes.write(entries)
        except Outage as fault:
            raise NotKept(str(fault)) from fault

    def read(self, note: int, by: str, *, lead: bool, at_ms: int, offset_min: int) -> ExposureNote:
        """A note, and who read it. Raises NotYours, NotKept."""
        try:
            return self._store.notes.read(note, by, lead=lead, at_ms=at_ms, offset_min=offset_min)
        except Outage as fault:
            raise NotKept(str(fault)) from fault
