"""The log of events: appended a command at a time, read back in order, checked link by link."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import Any

from kiosk.core.stamp import Kept, Stamp
from kiosk.store.chain import COLUMNS, FIRST, holds, link
from kiosk.store.classes import CLASS
from kiosk.store.codec import decode, encode
from kiosk.store.database import Store
from kiosk.store.identity import new_id, tick
from kiosk.store.outage import Outage, outages

_BATCH = 1000  # rows a read takes at once, so that no read holds the write-ahead log for long
_SELECT = f"SELECT {', '.join(COLUMNS)} FROM event WHERE seq > ? ORDER BY seq LIMIT ?"  # noqa: S608
_INSERT = f"INSERT INTO event ({', '.join(COLUMNS)}) VALUES ({', '.join('?' * len(COLUMNS))})"  # noqa: S608
_LAST = "SELECT seq, hlc, h FROM event ORDER BY seq DESC LIMIT 1"
_LINK = "SELECT h FROM event WHERE seq = ?"


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
        """The event with its stamp. Raises CodecFault for one that this program does not know."""
        stamp = Stamp(
            at_ms=self.at_ms,
            offset_min=self.offset_min,
            trusted=bool(self.trusted),
            who=self.who,
            trip=self.trip,
            policy=self.policy,
            record=self.record,
        )
        return Kept(event=decode(self.typ, self.ver, self.body), stamp=stamp)


@dataclass(frozen=True, slots=True, kw_only=True)
class Head:
    """The last event's number, clock reading and hash; of an empty log 0, 0 and 32 zeros."""

    seq: int = 0
    hlc: int = 0
    h: bytes = FIRST


class Log:
    """The events of one store. Every method raises Outage when the disk does not do its part."""

    def __init__(self, store: Store) -> None:
        self._store = store

    def append(self, kepts: Sequence[Kept]) -> list[Row]:
        """Keep the events of one command, all or none. Returns when they are on the disk for good."""
        bodies = [encode(kept.event) for kept in kepts]
        if not bodies:
            return []
        rows = []
        with self._store.transaction() as connection:
            head = self.head()
            for kept, (typ, ver, body) in zip(kepts, bodies, strict=True):
                at = kept.stamp
                hlc = tick(head.hlc, at.at_ms)
                values = (
                    head.seq + 1, hlc, ver, at.at_ms, at.offset_min, int(at.trusted), at.policy, at.record,
                    new_id(hlc), CLASS[typ], typ, self._store.bench, at.who, at.trip, body,
                )  # fmt: skip
                h = link(head.h, self._store.origin, values)
                connection.execute(_INSERT, (*values, h))
                rows.append(as_row((*values, h)))
                head = Head(seq=head.seq + 1, hlc=hlc, h=h)
        return rows

    def head(self) -> Head:
        """Where the log ends now."""
        with outages():
            last = self._store.db.conn.execute(_LAST).fetchone()
        return Head(seq=last[0], hlc=last[1], h=last[2]) if last else Head()

    def rows(self, after_seq: int = 0) -> Iterator[Row]:
        """Every row after that number, in order, as stored."""
        return map(as_row, self._tuples(after_seq))

    def read(self, after_seq: int = 0) -> Iterator[Kept]:
        """Every event after that number, in order: what `evolve` folds. Raises CodecFault for an unknown event."""
        return (row.kept for row in self.rows(after_seq))

    def verify(self, last: int | None = None) -> int | None:
        """The number of the first row that is missing, changed or unreadable, or None. `last`: only so many links."""
        seq: int = 0
        before = FIRST
        if last is not None and (start := self.head().seq - last) > 0:
            with outages():
                found = self._store.db.conn.execute(_LINK, (start,)).fetchone()
            if found is None:
                return start
            seq, before = start, found[0]
        for batch in (_BATCH, 1):  # where a page can not be read, row by row up to it
            try:
                for row in self._tuples(seq, batch):
                    if row[0] != seq + 1 or not holds(before, self._store.origin, row):
                        return seq + 1
                    seq, before = seq + 1, row[15]
            except Outage as outage:
                if outage.key != "damaged":
                    raise
            else:
                return None
        return seq + 1

    def check(self, last: int = 5000) -> None:
        """The check of a start: SQLite's own quick one and the last links. Raises Outage naming the first bad row."""
        with outages():
            said = self._store.db.conn.execute("PRAGMA quick_check(1)").fetchone()[0]
        bad = self.verify(last)
        if bad is not None:
            raise Outage("damaged_from", seq=bad)
        if said != "ok":
            raise Outage("damaged")

    def reopen(self) -> None:
        """After an outage in doubt: open the file anew and check it. Then fold `read()` anew, to see what was kept."""
        self._store.reopen()
        self.check()

    def alive(self, at_ms: int) -> None:
        """Note that the bench is up (about every 20 s); not part of the log."""
        with self._store.transaction() as connection:
            connection.execute(
                "INSERT INTO alive VALUES (1, ?) ON CONFLICT DO UPDATE SET at_ms = excluded.at_ms", (at_ms,)
            )

    def rest(self) -> None:
        """Note that the bench stops on purpose: no power was lost."""
        with self._store.transaction() as connection:
            connection.execute("DELETE FROM alive")

    def last_alive(self) -> int | None:
        """When the bench was last alive, by its note or its last event, if it stopped without `rest`. Unix ms."""
        with outages():
            noted = self._store.db.conn.execute("SELECT at_ms FROM alive").fetchone()
            if noted is None:
                return None
            last = self._store.db.conn.execute("SELECT at_ms FROM event ORDER BY seq DESC LIMIT 1").fetchone()
        return int(max((*noted, *(last or ()))))

    def _tuples(self, after_seq: int, batch: int = _BATCH) -> Iterator[tuple[Any, ...]]:
        while True:
            with outages():
                rows = self._store.db.conn.execute(_SELECT, (after_seq, batch)).fetchall()
            yield from rows
            if len(rows) < batch:
                return
            after_seq = rows[-1][0]


def as_row(values: Sequence[object]) -> Row:
    """A row from its values in the order of COLUMNS."""
    return Row(**dict(zip(COLUMNS, values, strict=True)))  # type: ignore[arg-type]
