"""What other stations kept: taken in link by link, read back an origin at a time."""

from collections.abc import Iterator, Sequence
from typing import Any

from kiosk.core.stamp import Kept
from kiosk.store.chain import COLUMNS, FIRST, holds
from kiosk.store.codec import CodecFault
from kiosk.store.database import Store
from kiosk.store.log import as_row
from kiosk.store.outage import Outage, outages

PRACTICE = "P"
"""What the name of a practice's station begins with; its log is nobody else's business."""

_BATCH = 1000
_INSERT = (
    f"INSERT INTO remote_event (origin, {', '.join(COLUMNS)}) "  # noqa: S608
    f"VALUES ({', '.join('?' * (len(COLUMNS) + 1))})"
)
_HEADS = "SELECT origin, max(seq) FROM remote_event GROUP BY origin"
_HEAD = "SELECT seq, h FROM remote_event WHERE origin = ? ORDER BY seq DESC LIMIT 1"
_SELECT = (
    f"SELECT {', '.join(COLUMNS)} FROM remote_event "  # noqa: S608
    "WHERE origin = ? AND seq > ? ORDER BY seq LIMIT ?"
)


class Heard:
    """The logs of others in one store. Every method raises Outage when the disk does not do its part."""

    def __init__(self, store: Store) -> None:
        self._store = store

    def heads(self) -> dict[str, int]:
        """The last number taken in of each origin."""
        with outages():
            return dict(self._store.db.conn.execute(_HEADS).fetchall())

    def take(self, origin: str, rows: Sequence[Sequence[Any]]) -> list[tuple[str, Kept]]:
        """Take in rows (columns in the order of COLUMNS) that come next to what is here, all or none.

        Returns (station, event) of those that this program knows. What is here already is passed over; a gap, or a
        row that does not hold on to the one before, raises Outage naming it.
        """
        with outages():
            found = self._store.db.conn.execute(_HEAD, (origin,)).fetchone()
        seq, before = (found[0], found[1]) if found else (0, FIRST)
        new = [tuple(row) for row in rows if row[0] > seq]
        for row in new:
            if row[11].startswith(PRACTICE):
                raise Outage("practice", bench=row[11])
            if row[0] != seq + 1 or not holds(before, origin, row):
                raise Outage("other_log", bench=row[11], seq=seq + 1)
            seq, before = row[0], row[15]
        if new:
            with self._store.transaction() as connection:
                connection.executemany(_INSERT, [(origin, *row) for row in new])
        return _known(new)

    def read(self) -> Iterator[tuple[str, Kept]]:
        """(station, event) of every event taken in, an origin after the other, each in its own order."""
        for origin in sorted(self.heads()):
            seq = 0
            while rows := self._rows(origin, seq):
                yield from _known(rows)
                seq = rows[-1][0]

    def _rows(self, origin: str, after: int) -> list[Any]:
        with outages():
            return self._store.db.conn.execute(_SELECT, (origin, after, _BATCH)).fetchall()


def _known(rows: Sequence[Any]) -> list[tuple[str, Kept]]:
    """The events that this program can read; one of a newer program is kept and passed over."""
    out = []
    for values in rows:
        row = as_row(values)
        try:
            out.append((row.bench, row.kept))
        except CodecFault:
            continue
    return out
