"""What other stations kept: taken in link by link, read back an origin at a time.

An origin may begin where another one ended (`was`): a bench that was restored goes on under a new one. A former origin
of this very log can be heard too, from the number on that is not here any more.
"""

from collections.abc import Iterable, Iterator, Sequence
from itertools import pairwise
from typing import Any, NamedTuple

from sqlite_utils.utils import sqlite3

from kiosk.core.stamp import Kept
from kiosk.store.chain import COLUMNS, FIRST, Span, Walk
from kiosk.store.codec import CodecFault
from kiosk.store.database import Store
from kiosk.store.incarnation import incarnations
from kiosk.store.keys import SignedHead, proven
from kiosk.store.outage import Outage, outages
from kiosk.store.rows import as_row

PRACTICE = "P"
"""What the name of a practice's station begins with; its log is nobody else's business."""

REFUSALS = frozenset({"other_key", "other_beginning", "own_log", "other_log", "not_signed", "forked", "practice"})
"""Outages that say that a log is not taken in here as it is, whatever the disk does."""

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
_ORIGIN = "SELECT was_origin, was_seq, was_h, public_key FROM remote_origin WHERE origin = ?"
_KEYS = "SELECT public_key FROM incarnation UNION SELECT public_key FROM remote_origin WHERE public_key IS NOT NULL"
_BEGINS = "INSERT INTO remote_origin VALUES (?, ?, ?, ?, ?)"
_SIGNED = "INSERT INTO signed_head VALUES (?, ?, ?, ?, ?, ?) ON CONFLICT DO NOTHING"
_LINK = "SELECT h, hlc FROM every_event WHERE origin = ? AND seq = ?"


class Was(NamedTuple):
    """Where an origin begins: after this event of that origin, whose hash is this."""

    origin: str
    seq: int
    h: bytes


class Heard:
    """The logs of others in one store. Every method raises Outage when the disk does not do its part."""

    def __init__(self, store: Store) -> None:
        self._store = store

    def heads(self) -> dict[str, int]:
        """The last number taken in of each origin."""
        with outages():
            return dict(self._store.db.conn.execute(_HEADS).fetchall())

    def take(
        self,
        origin: str,
        rows: Sequence[Sequence[Any]],
        *,
        was: Was | None = None,
        public_key: bytes | None = None,
        head: SignedHead | None = None,
    ) -> list[tuple[str, Kept]]:
        """Take in rows (columns in the order of COLUMNS) that come next to what is here, all or none.

        Returns (station, event) of those that this program knows. What is here already is passed over; a gap, a row
        that does not hold on to the one before, another key or beginning than was told before, a signature that does
        not hold: each raises Outage, and nothing is kept.
        """
        begins, key, walk = self._standing(origin, was)
        if key is not None and public_key is not None and key != public_key:
            raise Outage("other_key", bench=rows[0][11] if rows else origin[:8])
        new = _following(walk, rows)
        if head is not None and not self._hold_to(head, origin, key or public_key, rows):
            head = None  # it says nothing yet of what is here; it comes again with its event
        if new or head is not None or (key is None and public_key is not None):
            with self._store.transaction() as connection:
                self._note(connection, origin, begins, public_key, key)
                connection.executemany(_INSERT, [(origin, *row) for row in new])
                if head is not None:
                    connection.execute(_SIGNED, (origin, head.seq, head.hlc, head.h, head.at_ms, head.sig))
        return _known(new)

    def take_whole(
        self,
        origin: str,
        batches: Iterable[Sequence[Sequence[Any]]],
        *,
        was: Was | None,
        public_key: bytes,
        head: SignedHead,
    ) -> int:
        """Take in batch after batch by the rules of `take`, in one transaction: all of them or none. How many are new.

        `head` is the last row's. What `batches` raises on the way keeps nothing either.
        """
        with self._store.transaction() as connection:
            begins, key, walk = self._standing(origin, was)
            if key is not None and key != public_key:
                raise Outage("other_key", bench=origin[:8])
            known = walk.seq
            self._note(connection, origin, begins, public_key, key)
            for rows in batches:
                connection.executemany(_INSERT, [(origin, *row) for row in _following(walk, rows)])
            self._hold_to(head, origin, public_key, ())
            connection.execute(_SIGNED, (origin, head.seq, head.hlc, head.h, head.at_ms, head.sig))
        return walk.seq - known

    def reaches(self, origin: str, was: Was | None) -> int:
        """The last number known here of an origin that begins there; raises Outage as `take` does."""
        return self._standing(origin, was)[2].seq

    def key_of(self, origin: str) -> bytes | None:
        """The public key under which an origin is known here, a former one of this log too; None: it is not."""
        with outages():
            found = self._store.db.conn.execute(_ORIGIN, (origin,)).fetchone()
            if found is not None and found[3] is not None:
                return bytes(found[3])
            own = {one.origin: one.public_key for one in incarnations(self._store.db.conn)}
        return own.get(origin)

    def _standing(self, origin: str, was: Was | None) -> tuple[Was, bytes | None, Walk]:
        """Where the origin begins, its key, and a walk that stands where what is known here ends."""
        with outages():
            begins, key = self._begins(origin, was)
            found = self._store.db.conn.execute(_HEAD, (origin,)).fetchone()
        walk = Walk((Span(begins.seq, origin, begins.h),), seq=begins.seq, before=begins.h)
        if found:
            walk.seq, walk.before = found
        return begins, key, walk

    def _begins(self, origin: str, was: Was | None) -> tuple[Was, bytes | None]:
        """Where the origin begins, and its key, by what is here or else by what is told now."""
        found = self._store.db.conn.execute(_ORIGIN, (origin,)).fetchone()
        if found:
            known, key = Was(found[0] or "", found[1], found[2]), found[3]
            if was is not None and was != known and not self._own(origin):
                raise Outage("other_beginning", origin=origin[:8], seq=known.seq)
            return known, key
        if own := self._own(origin):
            return own, None
        if was is None or self._store.db.conn.execute(_HEAD, (origin,)).fetchone():
            return Was("", 0, FIRST), None
        return was, None

    def _own(self, origin: str) -> Was | None:
        """A former origin of this log is heard from where it was left here; the one that goes on now never is."""
        spans = self._store.spans
        if origin == spans[-1].origin:
            raise Outage("own_log")
        for span, following in pairwise(spans):
            if span.origin == origin:
                return Was(origin, following.after_seq, following.was_h)
        return None

    def _hold_to(self, head: SignedHead, origin: str, key: bytes | None, rows: Sequence[Sequence[Any]]) -> bool:
        """The signed head must be this origin's, by its key, and say what the rows say. Is its event here?"""
        there = next(((row[15], row[1]) for row in rows if row[0] == head.seq), None)
        if there is None:
            with outages():
                there = self._store.db.conn.execute(_LINK, (origin, head.seq)).fetchone()
        if head.origin != origin or key is None or not proven(head, key):
            raise Outage("not_signed", origin=origin[:8], seq=head.seq)
        if there not in {None, (head.h, head.hlc)}:
            raise Outage("forked", origin=origin[:8], seq=head.seq)
        return there is not None

    def _note(
        self, connection: sqlite3.Connection, origin: str, begins: Was, told: bytes | None, known: bytes | None
    ) -> None:
        there = connection.execute(_ORIGIN, (origin,)).fetchone()
        if there is None:
            connection.execute(_BEGINS, (origin, begins.origin or None, begins.seq, begins.h, told))
        elif known is None and told is not None:
            connection.execute("UPDATE remote_origin SET public_key = ? WHERE origin = ?", (told, origin))

    def public_keys(self) -> list[bytes]:
        """The public keys of every origin known here, this log's own with them."""
        with outages():
            return [key for (key,) in self._store.db.conn.execute(_KEYS)]

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


def _following(walk: Walk, rows: Sequence[Sequence[Any]]) -> list[tuple[Any, ...]]:
    """The rows after those that are here, each linked to the one before. Raises Outage."""
    new = [tuple(row) for row in rows if row[0] > walk.seq]
    for row in new:
        if row[11].startswith(PRACTICE):
            raise Outage("practice", bench=row[11])
        if not walk.step(row):
            raise Outage("other_log", bench=row[11], seq=walk.seq + 1)
    return new


def _known(rows: Sequence[Any]) -> list[tuple[str, Kept]]:
    """The events, those of a newer program as what they mean; a body that nobody can read is kept and passed over."""
    out = []
    for values in rows:
        row = as_row(values)
        try:
            out.append((row.bench, row.kept))
        except CodecFault:
            continue
    return out
