"""This bench's own log as the hub's courier reads it: a connection of its own that only reads, for its own thread."""

from collections.abc import Mapping, Sequence
from pathlib import Path
from typing import Any, NamedTuple

from sqlite_utils.utils import sqlite3

from kiosk.store.chain import COLUMNS, FIRST
from kiosk.store.database import FILE
from kiosk.store.incarnation import Incarnation, incarnations, told_by
from kiosk.store.keys import SignedHead
from kiosk.store.outage import outages

_ROW = ", ".join(COLUMNS)
_ROWS = f"SELECT {_ROW} FROM {{}} WHERE seq > ? AND seq <= ? ORDER BY seq LIMIT ?"  # noqa: S608
_STATION = "SELECT v FROM meta WHERE k = 'bench'"
_HASH = "SELECT h FROM {} WHERE seq = ?"
_LAST = "SELECT coalesce(max(seq), 0) FROM event"
_ORIGINS = "SELECT after_seq, origin, was_h FROM incarnation ORDER BY n"
_HEARD = "SELECT origin, max(seq) FROM remote_event GROUP BY origin"
_OWN = "event"
_NAMING_OWN = "SELECT typ, body FROM event WHERE seq > ? AND seq <= ? AND typ IN ({})"
_NAMING_HEARD = "SELECT typ, body FROM remote_event WHERE origin = ? AND seq > ? AND seq <= ? AND typ IN ({})"
_SIGNED = "SELECT seq, h, hlc, at_ms, sig FROM signed_head WHERE origin = ? ORDER BY seq DESC LIMIT 1"


class Stretch(NamedTuple):
    """What one origin wrote of this log: the numbers after `after` up to `last`. `was_h`: the hash of `after`."""

    origin: str
    after: int
    last: int
    was_h: bytes


class OwnLog:
    """The log of this store, read. Made, used and closed on one thread. Every method raises Outage."""

    def __init__(self, folder: Path) -> None:
        with outages():
            self._connection = sqlite3.connect(
                f"{(folder / FILE).resolve().as_uri()}?mode=ro", uri=True, isolation_level=None
            )
            self._connection.execute("PRAGMA query_only = ON")
            self._connection.execute("PRAGMA wal_autocheckpoint = 0")
            told = told_by(self._connection)
        self._rows, self._hash = _ROWS.format(told), _HASH.format(told)

    def stretches(self) -> list[Stretch]:
        """Every origin of this log in order, each with the numbers that it wrote."""
        with outages():
            begun = self._connection.execute(_ORIGINS).fetchall()
            last = self._connection.execute(_LAST).fetchone()[0]
        ends = [*(after for after, _, _ in begun[1:]), last]
        return [
            Stretch(origin, after, end, was_h or FIRST)
            for (after, origin, was_h), end in zip(begun, ends, strict=True)
            if end >= after
        ]

    def station(self) -> str:
        """The name of this station: B1."""
        with outages():
            return str(self._connection.execute(_STATION).fetchone()[0])

    def incarnations(self) -> tuple[Incarnation, ...]:
        """Every incarnation of this log, the first one first."""
        with outages():
            return incarnations(self._connection)

    def rows(self, after: int, last: int, limit: int) -> list[Any]:
        """The rows after a number and up to `last`, at most so many."""
        with outages():
            return self._connection.execute(self._rows, (after, last, limit)).fetchall()

    def hash_of(self, seq: int) -> bytes | None:
        """The hash of one event; of the number 0, that before the first."""
        with outages():
            found = self._connection.execute(self._hash, (seq,)).fetchone()
        return found[0] if found else None if seq else FIRST

    def heard(self) -> dict[str, int]:
        """The last number that is here of each log of others, and of each former one of this log."""
        former = {stretch.origin: stretch.last for stretch in self.stretches()[:-1]}
        with outages():
            return former | dict(self._connection.execute(_HEARD).fetchall())

    def naming(self, names: Sequence[str], after: Mapping[str, int]) -> tuple[list[tuple[str, bytes]], dict[str, int]]:
        """Name and body of the events of these names, of every log here, after the numbers that were read before.

        With them, the numbers up to which each log is read now; `event` stands for the own one.
        """
        marks = ", ".join("?" * len(names))
        with outages():
            ends = {_OWN: self._connection.execute(_LAST).fetchone()[0]}
            ends |= dict(self._connection.execute(_HEARD).fetchall())
            rows: list[tuple[str, bytes]] = []
            for origin, end in ends.items():
                begin, sql = after.get(origin, 0), _NAMING_OWN if origin == _OWN else _NAMING_HEARD
                of = () if origin == _OWN else (origin,)
                if end > begin:
                    found = self._connection.execute(sql.format(marks), (*of, begin, end, *names))
                    rows += [(typ, bytes(body)) for typ, body in found]
        return rows, ends

    def signed(self, origin: str) -> SignedHead | None:
        """The newest signed head of one of the own origins."""
        with outages():
            found = self._connection.execute(_SIGNED, (origin,)).fetchone()
        if found is None:
            return None
        seq, h, hlc, at_ms, sig = found
        return SignedHead(origin=origin, seq=seq, h=h, hlc=hlc, at_ms=at_ms, sig=sig)

    def close(self) -> None:
        """Let go of the file."""
        self._connection.close()
