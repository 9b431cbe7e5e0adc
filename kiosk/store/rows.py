"""Rows of the log: an event as stored, and the putting of new ones at the end, linked to the one before."""

from collections.abc import Sequence
from dataclasses import dataclass

from sqlite_utils.utils import sqlite3

from kiosk.core.events import NotKnown
from kiosk.core.stamp import Kept, Stamp
from kiosk.store.chain import COLUMNS, FIRST, link
from kiosk.store.classes import CLASS
from kiosk.store.codec import NewerFault, decode, encode
from kiosk.store.identity import new_id, tick

_INSERT = f"INSERT INTO event ({', '.join(COLUMNS)}) VALUES ({', '.join('?' * len(COLUMNS))})"  # noqa: S608
_LAST = "SELECT seq, hlc, h FROM own_event ORDER BY seq DESC LIMIT 1"


@dataclass(frozen=True, slots=True, kw_only=True)
class Row:
    """One event as stored; db/sqlite/0001_log.sql says what each column is."""

    seq: int
    id: str
    hlc: int
    cls: str
    typ: str
    ver: int
    bench: str
    at_ms: int
    offset_min: int
    trusted: int
    who: str | None
    trip: str | None
    policy: int
    record: int
    body: bytes
    h: bytes

    @property
    def kept(self) -> Kept:
        """The event with its stamp; of a newer program's only what it means. Raises CodecFault for any other body."""
        stamp = Stamp(
            at_ms=self.at_ms,
            offset_min=self.offset_min,
            trusted=bool(self.trusted),
            who=self.who,
            trip=self.trip,
            policy=self.policy,
            record=self.record,
        )
        try:
            return Kept(event=decode(self.typ, self.ver, self.body), stamp=stamp)
        except NewerFault:
            return Kept(event=NotKnown(typ=self.typ, cls=self.cls), stamp=stamp)


@dataclass(frozen=True, slots=True, kw_only=True)
class Head:
    """The last event's number, clock reading and hash; of an empty log 0, 0 and 32 zeros."""

    seq: int = 0
    hlc: int = 0
    h: bytes = FIRST


def as_row(values: Sequence[object]) -> Row:
    """A row from its values in the order of COLUMNS."""
    return Row(**dict(zip(COLUMNS, values, strict=True)))  # type: ignore[arg-type]


def head_of(connection: sqlite3.Connection) -> Head:
    """Where the log ends."""
    last = connection.execute(_LAST).fetchone()
    return Head(seq=last[0], hlc=last[1], h=last[2]) if last else Head()


def put(connection: sqlite3.Connection, origin: str, bench: str, kepts: Sequence[Kept]) -> list[Row]:
    """Put events at the end of the log, inside the caller's transaction. Raises CodecFault before anything is put."""
    bodies = [encode(kept.event) for kept in kepts]
    head, rows = head_of(connection), []
    for kept, (typ, ver, body) in zip(kepts, bodies, strict=True):
        at = kept.stamp
        hlc = tick(head.hlc, at.at_ms)
        values = (
            head.seq + 1, hlc, ver, at.at_ms, at.offset_min, int(at.trusted), at.policy, at.record,
            new_id(hlc), CLASS[typ], typ, bench, at.who, at.trip, body,
        )  # fmt: skip
        h = link(head.h, origin, values)
        connection.execute(_INSERT, (*values, h))
        rows.append(as_row((*values, h)))
        head = Head(seq=head.seq + 1, hlc=hlc, h=h)
    return rows
