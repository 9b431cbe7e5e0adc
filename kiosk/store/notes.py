"""The exposure notes: restricted, append-only, apart from the log. Reading one writes down who read."""

from collections.abc import Sequence

from kiosk.core.exposure import ExposureNote, NoteEntry, NotYours
from kiosk.store.database import Store

_ENTRY = "INSERT INTO exposure_entry SELECT coalesce(max(seq), 0) + 1, ?, ?, ?, ?, ?, ? FROM exposure_entry"
_READING = "INSERT INTO exposure_reading SELECT coalesce(max(seq), 0) + 1, ?, ?, ?, ?, ? FROM exposure_reading"
_OF_NOTE = "SELECT note, field, value, who, at_ms, offset_min FROM exposure_entry WHERE note = ? ORDER BY seq"


class StoreNotes:
    """The notes of one store. Every method raises Outage when the disk does not do its part."""

    def __init__(self, store: Store) -> None:
        self._store = store

    def write(self, entries: Sequence[NoteEntry]) -> None:
        """Keep entries, all or none, durably."""
        rows = [(x.note, x.at_ms, x.offset_min, x.by, x.field, x.value) for x in entries]
        with self._store.transaction() as connection:
            for row in rows:
                connection.execute(_ENTRY, row)

    def read(self, note: int, by: str, *, lead: bool, at_ms: int, offset_min: int) -> ExposureNote:
        """A note for its person, or for a lead. Who asked is kept before anything is given. Raises NotYours."""
        with self._store.transaction() as connection:
            entries = tuple(
                NoteEntry(note=n, field=field, value=value, by=who, at_ms=at, offset_min=offset)
                for n, field, value, who, at, offset in connection.execute(_OF_NOTE, (note,))
            )
            found = ExposureNote(n=note, entries=entries)
            given = lead or found.person in {"", by}
            connection.execute(_READING, (note, at_ms, offset_min, by, int(given)))
        if not given:
            raise NotYours
        return found
