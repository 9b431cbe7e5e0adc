"""The chain of hashes over the log: no stored column can change unseen.

    h = SHA-256( "spl1" + h before (32 bytes; 32 zeros before the first) + length of header (4) + header + body )

The header is, one after the other:

    seq, hlc, ver, at_ms, offset_min, trusted, policy, record   each two's complement (8)
    origin, id, cls, typ, bench, who, trip                      each length (4) + UTF-8; no value: length FFFFFFFF

All lengths and integers are big-endian. `origin` is the UUID of the log's incarnation that wrote the event; where one
follows another, its first event is linked to the last one of the other. The body is the stored bytes. A chain can not
see that its end was cut off: a signed head does (`kiosk.store.keys`).
"""

import hashlib
import struct
from collections.abc import Sequence
from functools import lru_cache
from typing import NamedTuple

COLUMNS = (
    "seq", "hlc", "ver", "at_ms", "offset_min", "trusted", "policy", "record",
    "id", "cls", "typ", "bench", "who", "trip", "body", "h",
)  # fmt: skip
"""The columns of `event`, as hashed: integers, texts, the body, the hash."""
FIRST = bytes(32)
"""What stands in place of the hash before the first."""

_integers = struct.Struct(">8q").pack
_length = struct.Struct(">I").pack


def link(before: bytes, origin: str, row: Sequence[object]) -> bytes:
    """The hash of a row given in the order of COLUMNS (its own hash is not read). `before`: 32 bytes.

    Raises TypeError or struct.error for a value of a kind that its column can not hold.
    """
    _, _, _, _, _, _, _, _, name, cls, typ, bench, who, trip, body, *_ = row
    texts = _known(origin) + _text(name) + _known(cls) + _known(typ) + _known(bench) + _known(who) + _known(trip)
    header = _integers(*row[:8]) + texts
    if not isinstance(body, bytes):
        raise TypeError(f"a body is bytes, not {body!r}")
    return hashlib.sha256(b"spl1" + before + _length(len(header)) + header + body).digest()


def holds(before: bytes, origin: str, row: Sequence[object]) -> bool:
    """Is the row's own hash the one it should have?"""
    try:
        return link(before, origin, row) == row[15]
    except (TypeError, struct.error):
        return False


class Span(NamedTuple):
    """Who wrote a log from the number after `after_seq` on, and the hash of the event `after_seq`."""

    after_seq: int
    origin: str
    was_h: bytes = FIRST


class Walk:
    """A walk along a chain, event by event. `seq` is the last number that holds; `before` its hash."""

    def __init__(self, spans: Sequence[Span], *, seq: int = 0, before: bytes = FIRST) -> None:
        self._spans, self.seq, self.before = spans, seq, before
        self._begins = frozenset(span.after_seq for span in spans)
        self._span: Span | None = None

    def step(self, row: Sequence[object]) -> bool:
        """Does this row come next, linked to the one before by the origin that wrote it?"""
        following = self.seq + 1
        if self._span is None or self.seq in self._begins:
            self._span = next((span for span in reversed(self._spans) if span.after_seq < following), None)
        span = self._span
        if span is None or row[0] != following:
            return False
        if span.after_seq == self.seq and span.was_h != self.before:
            return False
        if not holds(self.before, span.origin, row):
            return False
        self.seq, self.before = following, bytes(row[15])  # type: ignore[call-overload]
        return True


def _text(value: object) -> bytes:
    if value is None:
        return b"\xff\xff\xff\xff"
    if not isinstance(value, str):
        raise TypeError(f"text expected, not {value!r}")
    data = value.encode()
    return _length(len(data)) + data


_known = lru_cache(maxsize=4096)(_text)
"""The same for what stands in many rows: origin, class, name, bench, person, trip."""
