"""What was noted as folded, held against the fold made anew: the snapshot of a start and the bookmarks of the records.

Both are disposable, and a start passes over one that is not bound to its event. Here it is asked whether one that would
be believed says what the log says.
"""

import hashlib
import zlib
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from typing import Any, NamedTuple

from sqlite_utils.utils import sqlite3

from kiosk import __version__
from kiosk.core.evolve import FOLD, evolve
from kiosk.core.state.bench import Bench
from kiosk.store.chain import COLUMNS
from kiosk.store.codec import CodecFault, from_bytes
from kiosk.store.rows import as_row

FOLDED_BY = f"{__version__}/{FOLD}"
"""Which fold a note was made by; another's is passed over."""

_BATCH = 1000
_ROW = ", ".join(COLUMNS)
_SELECT = f"SELECT {_ROW} FROM every_event WHERE origin = ? AND seq > ? AND seq <= ? ORDER BY seq LIMIT {_BATCH}"  # noqa: S608
_SNAPSHOT = "SELECT seq, body, seal FROM snapshot WHERE fold = ?"
_MARKS = "SELECT origin, seq, body, seal FROM bookmark WHERE fold = ? ORDER BY origin, seq"


def seal(head: bytes, body: bytes) -> bytes:
    """SHA-256 over the hash of the event that a note was taken at, and its body."""
    return hashlib.sha256(head + body).digest()


class Whole(NamedTuple):
    """A log as far as it is known here; `was` and `after`: the log that it goes on from, and its number there."""

    origin: str
    last: int
    was: str = ""
    after: int = 0


@dataclass(slots=True)
class Looked:
    """How many notes were held against the fold, and those that say otherwise: which kind, origin, number."""

    notes: int = 0
    wrong: list[tuple[str, str, int]] = field(default_factory=list)


class _Note(NamedTuple):
    kind: str
    body: bytes
    seal: bytes


def unlike(connection: sqlite3.Connection, tables: frozenset[str], logs: Mapping[str, Whole], own: str) -> Looked:
    """Hold every note against the fold of its log. `own`: the origin that the snapshot is of."""
    notes: dict[str, dict[int, list[_Note]]] = {}
    if "snapshot" in tables:
        for seq, body, sealed in connection.execute(_SNAPSHOT, (FOLDED_BY,)):
            notes.setdefault(own, {}).setdefault(seq, []).append(_Note("snapshot", body, sealed))
    if "bookmark" in tables:
        for origin, seq, body, sealed in connection.execute(_MARKS, (FOLDED_BY,)):
            notes.setdefault(origin, {}).setdefault(seq, []).append(_Note("bookmark", body, sealed))
    looked = Looked()
    for origin, by_seq in notes.items():
        if origin not in logs:
            continue  # of a former origin: nobody asks for it any more
        for seq, bench, h in _benches(connection, logs, origin, max(by_seq)):
            for note in by_seq.pop(seq, ()):
                looked.notes += 1
                if not _says(note, bench, h):
                    looked.wrong.append((note.kind, origin, seq))
        looked.notes += len(by_seq)
        looked.wrong += [(note.kind, origin, seq) for seq, left in by_seq.items() for note in left]
    return looked


def _says(note: _Note, bench: Bench, h: bytes) -> bool:
    if note.seal != seal(h, note.body):
        return False
    try:
        return from_bytes(Bench, zlib.decompress(note.body) if note.kind == "bookmark" else note.body) == bench
    except (CodecFault, zlib.error):
        return False


def _benches(
    connection: sqlite3.Connection, logs: Mapping[str, Whole], origin: str, last: int
) -> Iterator[tuple[int, Bench, bytes]]:
    """The bench after each event of a log, up to the number `last`."""
    log, bench = logs[origin], Bench()
    at = log.after
    if log.was in logs:
        for _, before, _ in _benches(connection, logs, log.was, at):
            bench = before
    while rows := connection.execute(_SELECT, (origin, at, last)).fetchall():
        for values in rows:
            bench = _after(bench, values)
            yield values[0], bench, values[15]
        at = rows[-1][0]


def _after(bench: Bench, values: Any) -> Bench:
    try:
        return evolve(bench, as_row(values).kept)
    except CodecFault:
        return bench
