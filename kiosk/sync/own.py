"""This bench's own log as the hub's courier reads it: a connection of its own that only reads, for its own thread."""

from pathlib import Path
from typing import Any, NamedTuple

from sqlite_utils.utils import sqlite3

from kiosk.store.chain import COLUMNS, FIRST
from kiosk.store.database import FILE
from kiosk.store.outage import outages
from kiosk.sync.segment import SignedHead

_ROW = ", ".join(COLUMNS)
_ROWS = f"SELECT {_ROW} FROM event WHERE seq > ? AND seq <= ? ORDER BY seq LIMIT ?"  # noqa: S608
_HASH = "SELECT h FROM event WHERE seq = ?"
_LAST = "SELECT coalesce(max(seq), 0) FROM event"
_FIRST_ORIGIN = "SELECT 0, v, x'' FROM meta WHERE k = 'origin'"
_ORIGINS = "SELECT after_seq, origin, was_h FROM incarnation ORDER BY n"
_HEARD = "SELECT origin, max(seq) FROM remote_event GROUP BY origin"
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
            self._tables = {name for (name,) in self._connection.execute("SELECT name FROM sqlite_schema")}

    def stretches(self) -> list[Stretch]:
        """Every origin of this log in order, each with the numbers that it wrote."""
        with outages():
            sql = _ORIGINS if "incarnation" in self._tables else _FIRST_ORIGIN
            begun = self._connection.execute(sql).fetchall()
            last = self._connection.execute(_LAST).fetchone()[0]
        ends = [*(after for after, _, _ in begun[1:]), last]
        return [
            Stretch(origin, after, end, was_h or FIRST)
            for (after, origin, was_h), end in zip(begun, ends, strict=True)
            if end >= after
        ]

    def rows(self, after: int, last: int, limit: int) -> list[Any]:
        """The rows after a number and up to `last`, at most so many."""
        with outages():
            return self._connection.execute(_ROWS, (after, last, limit)).fetchall()

    def hash_of(self, seq: int) -> bytes | None:
        """The hash of one event; of the number 0, that before the first."""
        with outages():
            found = self._connection.execute(_HASH, (seq,)).fetchone()
        return found[0] if found else None if seq else FIRST

    def heard(self) -> dict[str, int]:
        """The last number taken in of each log of others."""
        with outages():
            return dict(self._connection.execute(_HEARD).fetchall())

    def signed(self, origin: str) -> SignedHead | None:
        """The newest signed head of one of the own origins."""
        if "signed_head" not in self._tables:
            return None
        with outages():
            found = self._connection.execute(_SIGNED, (origin,)).fetchone()
        return SignedHead(seq=found[0], h=found[1], hlc=found[2], at_ms=found[3], sig=found[4]) if found else None

    def close(self) -> None:
        """Let go of the file."""
        self._connection.close()
