"""The past of all stations known here, read from one store by time, by kind and by trip.

It has a connection of its own that only reads, and may be asked from another thread while the bench works. A shift is
counted from the bench as it stood when the shift began: the nearest bookmark before, and what was kept since. New
bookmarks wait until the bench's own thread puts them down (`put_down`).
"""

import zlib
from collections.abc import Iterable, Iterator, Mapping, Sequence
from functools import lru_cache
from threading import Lock
from typing import Any

from sqlite_utils.utils import sqlite3

from kiosk.core.events import EVENTS, NAME_OF, NotKnown
from kiosk.core.evolve import evolve
from kiosk.core.past.chains import STEPS, Chains, Start
from kiosk.core.past.counters import TICKET_EVENTS, Book, Entries, Shift, Tally, made_book, waiting_tickets
from kiosk.core.past.records import Freshness, Told, data_end, local_span
from kiosk.core.policy import Policy
from kiosk.core.stamp import Kept
from kiosk.core.state.bench import Bench
from kiosk.store.chain import COLUMNS
from kiosk.store.chains import chains
from kiosk.store.codec import CodecFault, from_bytes, to_bytes
from kiosk.store.database import FILE, Store
from kiosk.store.log import as_row
from kiosk.store.outage import outages
from kiosk.store.projections import FOLDED_BY, seal

EVERY = 400
"""Events between two bookmarks: what is folded at most, about a busy shift of one bench."""

READ_AGAIN = 2000
"""Rows whose reading is remembered, each by all that stands in it: some months of one bench's trays."""

_BATCH = 1000
_SLACK_MS = 15 * 3_600_000
"""More than any local time differs from UTC."""
NOT_KNOWN = NAME_OF[NotKnown]
_ROW = ", ".join(COLUMNS)
_OTHERS = (
    "WITH RECURSIVE o(x) AS (SELECT min(origin) FROM remote_event UNION ALL "
    "SELECT (SELECT min(origin) FROM remote_event WHERE origin > x) FROM o WHERE x IS NOT NULL) "
    "SELECT x FROM o WHERE x IS NOT NULL"
)
_BEGINS = "SELECT origin, was_origin, was_seq FROM remote_origin WHERE was_origin IS NOT NULL"
_INCARNATIONS = "SELECT origin FROM incarnation"
_ID = "SELECT id FROM every_event WHERE origin = ? AND seq = ?"
_HEAD = "SELECT bench, seq, at_ms FROM every_event WHERE origin = ? ORDER BY seq DESC LIMIT 1"
_LAST = (
    "SELECT seq, offset_min FROM every_event WHERE origin = ? AND at_ms < ? AND at_ms + offset_min * 60000 < ? "
    "ORDER BY at_ms DESC, seq DESC LIMIT 1"
)
_FIRST = (
    "SELECT min(seq) FROM every_event WHERE origin = ? AND at_ms >= ? AND at_ms < ? "
    "AND at_ms + offset_min * 60000 >= ? AND seq <= ?"
)
_BETWEEN = f"SELECT {_ROW} FROM every_event WHERE origin = ? AND seq > ? AND seq <= ? ORDER BY seq LIMIT {_BATCH}"  # noqa: S608
_KINDS = f"SELECT {_ROW} FROM every_event WHERE typ IN ({{}}) AND at_ms >= ? AND instr(body, ?) ORDER BY at_ms, hlc"  # noqa: S608
_TRIP = f"SELECT {_ROW} FROM every_event WHERE trip = ? {{}} ORDER BY hlc, seq"  # noqa: S608
_MARK = (
    "SELECT b.seq, b.body, b.seal, v.h FROM bookmark b JOIN every_event v ON v.origin = b.origin AND v.seq = b.seq "
    "WHERE b.origin = ? AND b.seq <= ? AND b.fold = ? ORDER BY b.seq DESC LIMIT 1"
)
_OR_NEWER = f" OR typ NOT IN ({', '.join(map(repr, EVENTS))})"
_AT_ID = COLUMNS.index("id")
_LAST_MARK = "SELECT max(seq) FROM bookmark WHERE origin = ? AND fold = ?"
_PUT = "INSERT OR REPLACE INTO bookmark VALUES (?, ?, ?, ?, ?)"


def _readable(text: bytes) -> str:
    return text.decode("utf-8", "replace")


class StoreRecords:
    """The records of one store. Every method raises Outage when the disk does not do its part."""

    def __init__(self, store: Store) -> None:
        self._store = store
        self._lock = Lock()
        self._reader: sqlite3.Connection | None = None
        self._new: list[tuple[str, int, str, bytes, bytes]] = []
        self._counted: dict[tuple[str, Shift], tuple[object, Entries]] = {}

    def _rows(self, sql: str, values: Sequence[object] | Mapping[str, object] = ()) -> list[Any]:
        with self._lock, outages():
            if self._reader is None:
                path = (self._store.folder / FILE).resolve().as_uri()
                self._reader = sqlite3.connect(
                    f"{path}?mode=ro", uri=True, isolation_level=None, check_same_thread=False
                )
                self._reader.execute("PRAGMA query_only = ON")
                self._reader.execute("PRAGMA wal_autocheckpoint = 0")
            try:
                return self._reader.execute(sql, values).fetchall()
            except sqlite3.OperationalError as fault:
                if "decode" not in str(fault):
                    raise
            self._reader.text_factory = _readable  # half a letter, from a station that nobody wrote
            try:
                return self._reader.execute(sql, values).fetchall()
            finally:
                self._reader.text_factory = str

    def ask(self, sql: str, values: Sequence[object] = ()) -> list[Any]:
        """Rows of the facts, on the connection that only reads. Raises Outage."""
        return self._rows(sql, values)

    def close(self) -> None:
        """Let go of the file."""
        with self._lock:
            if self._reader is not None:
                self._reader.close()
                self._reader = None

    def book(self, shift: Shift, policy: Policy, now_ms: int) -> Book:
        """What was counted in the shift, over all stations, as known now."""
        start, end = local_span(shift, policy.shifts)
        each, offset, again = [], 0, self._told_again()
        for origin, station, _, _ in self._heads():
            found = self._rows(_LAST, (origin, end + _SLACK_MS, end))
            if not found:
                continue
            last, offset = found[0]
            until_ms = data_end(shift, policy.shifts, offset, now_ms)
            span = (start, end, last, until_ms)
            each.append(self._entries(origin, station, shift, policy, span, again.get(origin, 0)))
        until_ms = data_end(shift, policy.shifts, offset, now_ms)
        waiting = waiting_tickets(self._tickets(until_ms))
        return made_book(shift, each, waiting=waiting, policy=policy, until_ms=until_ms)

    def _heads(self) -> list[tuple[str, str, int, int]]:
        """Each log known here: origin, station, last number, when; by the station's name."""
        origins = [self._store.origin, *(row[0] for row in self._rows(_OTHERS))]
        heads = [(origin, *row) for origin in origins for row in self._rows(_HEAD, (origin,))]
        return sorted(heads, key=_station)

    def _begins(self) -> dict[str, tuple[str, int]]:
        """Where an origin begins that begins in another's log. This store's own former ones stand in its own log."""
        own = {row[0] for row in self._rows(_INCARNATIONS)}
        return {
            origin: (self._store.origin if was in own else was, seq) for origin, was, seq in self._rows(_BEGINS)
        }  # fmt: skip

    def _told_again(self) -> dict[str, int]:
        """Logs that begin with what another one tells too (`incarnation.begin`), and the last number of that."""
        begins, again = self._begins(), {}
        last = {head[0]: head[2] for head in self._heads()} if begins else {}
        for origin, (was, seq) in begins.items():
            others = [was, *(other for other, begin in begins.items() if begin[0] == was and other < origin)]
            ends = [self._alike(origin, other, seq, min(last.get(origin, 0), last.get(other, 0))) for other in others]
            if max(ends) > seq:
                again[origin] = max(ends)
        return again

    def _alike(self, one: str, other: str, after: int, last: int) -> int:
        """The last number after `after` up to which two logs tell the same events; they part once and for all."""
        known, most = after, last
        while known < most:
            at = known + 1 if known == after else (known + most + 1) // 2
            found = self._rows(_ID, (one, at))
            if found and found == self._rows(_ID, (other, at)):
                known = at
            else:
                most = at - 1
        return known

    def _newest(self) -> list[tuple[str, str, int, int]]:
        """Of each station the log that goes on now: the one that no other one follows, and of those the last one."""
        followed = {was for was, _ in self._begins().values()}

        def last(head: tuple[str, str, int, int]) -> tuple[bool, bool, int]:
            return head[0] == self._store.origin, head[0] not in followed, head[3]

        newest = {head[1]: head for head in sorted(self._heads(), key=last)}
        return sorted(newest.values(), key=_station)

    def _entries(
        self, origin: str, station: str, shift: Shift, policy: Policy, span: tuple[int, int, int, int], again: int
    ) -> Entries:
        """What one log adds to the shift, from the number after `again` on."""
        start, end, last, until_ms = span
        known = (policy, last, again)
        counted = self._counted.get((origin, shift))
        if counted is not None and counted[0] == known:
            return counted[1]
        (first,) = self._rows(_FIRST, (origin, start - _SLACK_MS, end + _SLACK_MS, start, last))[0]
        before = max((first or last + 1) - 1, min(again, last))
        tally = Tally(station=station, shift=shift, policy=policy, bench=self.bench_at(origin, before))
        for kept in self._between(origin, before, last):
            tally.take(kept)
        entries = tally.result(until_ms)
        self._counted[origin, shift] = (known, entries)
        return entries

    def bench_at(self, origin: str, seq: int) -> Bench:
        """The bench of an origin as it stood after its event `seq`."""
        was, begins = self._begins().get(origin, ("", 0))
        if was and seq <= begins:
            return self.bench_at(was, seq)
        bench, at = self._bookmark(origin, seq)
        if was and not at:
            bench, at = self.bench_at(was, begins), begins
        marked = at
        for kept in self._between(origin, at, seq):
            bench, at = evolve(bench, kept), at + 1
            if at - marked == EVERY:
                self._mark(origin, at, bench)
                marked = at
        if at > marked + EVERY // 4:
            self._mark(origin, at, bench)
        return bench

    def benches(self) -> dict[str, Bench]:
        """Every other station's bench as it stands by what was heard of it, by its name."""
        own = self._store.origin
        return {station: self.bench_at(origin, seq) for origin, station, seq, _ in self._newest() if origin != own}

    def _bookmark(self, origin: str, seq: int) -> tuple[Bench, int]:
        found = self._rows(_MARK, (origin, seq, FOLDED_BY))
        waiting = [row for row in self._new if row[0] == origin and row[1] <= seq]
        newest = max(waiting, key=lambda row: row[1], default=None)
        if newest is not None and (not found or newest[1] >= found[0][0]):
            return from_bytes(Bench, zlib.decompress(newest[3])), newest[1]
        if not found or found[0][2] != seal(found[0][3], found[0][1]):
            return Bench(), 0
        try:
            return from_bytes(Bench, zlib.decompress(found[0][1])), found[0][0]
        except (CodecFault, zlib.error):
            return Bench(), 0

    def _mark(self, origin: str, seq: int, bench: Bench) -> None:
        (row,) = self._rows("SELECT h FROM every_event WHERE origin = ? AND seq = ?", (origin, seq))
        body = zlib.compress(to_bytes(bench))
        self._new.append((origin, seq, FOLDED_BY, body, seal(row[0], body)))

    def note(self, bench: Bench, seq: int) -> None:
        """This station's own bench as it stands after event `seq`: a bookmark, where the last one is far."""
        last = self._rows(_LAST_MARK, (self._store.origin, FOLDED_BY))
        if seq and seq - (last[0][0] or 0) >= EVERY:
            self._mark(self._store.origin, seq, bench)
            self.put_down()

    def put_down(self) -> None:
        """Put the new bookmarks down. Only on the thread that opened the store."""
        if self._new:
            new, self._new = self._new, []
            with self._store.transaction() as connection:
                connection.execute("DELETE FROM bookmark WHERE fold != ?", (FOLDED_BY,))
                connection.executemany(_PUT, new)

    def _between(self, origin: str, after: int, last: int) -> Iterator[Kept]:
        while after < last:
            rows = self._rows(_BETWEEN, (origin, after, last))
            if not rows:
                return
            yield from (kept for _, kept in _known(rows))
            after = rows[-1][0]

    def _tickets(self, until_ms: int) -> Mapping[str, list[Kept]]:
        by_station: dict[str, list[Kept]] = {}
        for station, kept in self.kept(*TICKET_EVENTS):
            if kept.stamp.at_ms <= until_ms:
                by_station.setdefault(station, []).append(kept)
        return by_station

    def kept(self, *names: str, holding: str = "", since_ms: int = 0) -> Sequence[Told]:
        """Events of these names whose body holds a text, in the order of time."""
        sql = _KINDS.format(", ".join("?" * len(names)))
        return list(_again(self._rows(sql, (*names, since_ms, holding.encode()))))

    def of_trip(self, trip: str, *names: str) -> Sequence[Told]:
        """What was kept of a trip, in its station's order: everything, or events of these names."""
        only = f"AND (typ IN ({', '.join('?' * len(names))}){_OR_NEWER if NOT_KNOWN in names else ''})" if names else ""
        return list(_again(self._rows(_TRIP.format(only), (trip, *names))))

    def fresh(self) -> Mapping[str, Freshness]:
        """How far each station's log is known here, by its name."""
        return {station: Freshness(seq=seq, at_ms=at) for _, station, seq, at in self._newest()}

    def chains(self, starts: Sequence[Start], most: int = STEPS, until_ms: int = 0) -> Chains:
        """The trips that may have been touched since, within `most` steps and up to a moment (Unix ms; 0: now)."""
        return chains(self._rows, starts, most, until_ms)


def _station(row: tuple[Any, ...]) -> str:
    return str(row[1])


def _known(rows: Iterable[Any]) -> Iterator[Told]:
    """The events, those of a newer program as what they mean; a body that nobody can read is passed over."""
    return (told for told in map(_told, rows) if told is not None)


def _again(rows: Iterable[Any]) -> Iterator[Told]:
    """The same, for what a list asks for page after page: what was read of a row before is not read anew.

    An event that two logs tell is told once.
    """
    once = {row[_AT_ID]: row for row in rows}
    return (told for told in map(_told_before, once.values()) if told is not None)


def _told(values: Sequence[Any]) -> Told | None:
    row = as_row(values)
    try:
        return row.bench, row.kept
    except CodecFault:
        return None


_told_before = lru_cache(maxsize=READ_AGAIN)(_told)
