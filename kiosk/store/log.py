"""The log of events: appended a command at a time, read back in order, checked link by link."""

from collections.abc import Iterator, Sequence
from typing import Any

from kiosk.core.stamp import Kept
from kiosk.store.chain import COLUMNS, Walk
from kiosk.store.database import Store
from kiosk.store.outage import Outage, outages
from kiosk.store.rows import Head, Row, as_row, head_of, put

__all__ = ["Head", "Log", "Row", "as_row"]

_BATCH = 1000  # rows a read takes at once, so that no read holds the write-ahead log for long
_SELECT = f"SELECT {', '.join(COLUMNS)} FROM own_event WHERE seq > ? ORDER BY seq LIMIT ?"  # noqa: S608
_LINK = "SELECT h FROM own_event WHERE seq = ?"


class Log:
    """The events of one store. Every method raises Outage when the disk does not do its part."""

    def __init__(self, store: Store) -> None:
        self._store = store

    def append(self, kepts: Sequence[Kept]) -> list[Row]:
        """Keep the events of one command, all or none. Returns when they are on the disk for good."""
        if not kepts:
            return []
        with self._store.transaction() as connection:
            return put(connection, self._store.origin, self._store.bench, kepts)

    def head(self) -> Head:
        """Where the log ends now."""
        with outages():
            return head_of(self._store.db.conn)

    def rows(self, after_seq: int = 0) -> Iterator[Row]:
        """Every row after that number, in order, as stored."""
        return map(as_row, self._tuples(after_seq))

    def read(self, after_seq: int = 0) -> Iterator[Kept]:
        """Every event after that number, in order: what `evolve` folds. What a newer program kept is `NotKnown`."""
        return (row.kept for row in self.rows(after_seq))

    def verify(self, last: int | None = None) -> int | None:
        """The number of the first row that is missing, changed or unreadable, or None. `last`: only so many links."""
        walk = Walk(self._store.spans)
        if last is not None and (start := self.head().seq - last) > 0:
            with outages():
                found = self._store.db.conn.execute(_LINK, (start,)).fetchone()
            if found is None:
                return start
            walk = Walk(self._store.spans, seq=start, before=found[0])
        for batch in (_BATCH, 1):  # where a page can not be read, row by row up to it
            try:
                for row in self._tuples(walk.seq, batch):
                    if not walk.step(row):
                        return walk.seq + 1
            except Outage as outage:
                if outage.key != "damaged":
                    raise
            else:
                return None
        return walk.seq + 1

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
