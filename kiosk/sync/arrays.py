"""Columns of rows as PostgreSQL's binary arrays, packed at one go.

The layout is that of `array_recv`: dimensions (1), has nulls, element type, size, lower bound, then each element's
length and bytes; every integer 4 bytes, big-endian. An element without a value has length -1.
"""

import struct
from collections.abc import Sequence

INT8, TEXT, BYTEA = 20, 25, 17
INT8_ARRAY, TEXT_ARRAY, BYTEA_ARRAY = 1016, 1009, 1001
"""Type numbers, fixed in PostgreSQL's catalogue (pg_type.dat)."""

_head = struct.Struct(">iiIii").pack
_length = struct.Struct(">i").pack
_NOTHING = _length(-1)


class Integers(bytes):
    """A packed array of int8."""

    oid = INT8_ARRAY


class Texts(bytes):
    """A packed array of text."""

    oid = TEXT_ARRAY


class Blobs(bytes):
    """A packed array of bytea."""

    oid = BYTEA_ARRAY


def integers(values: Sequence[int]) -> Integers:
    """Whole numbers of 64 bits. Raises struct.error for one that does not fit."""
    n = len(values)
    pairs = [8] * (2 * n)
    pairs[1::2] = values
    return Integers(_head(1, 0, INT8, n, 1) + struct.pack(f">{'iq' * n}", *pairs))


def texts(values: Sequence[str | None]) -> Texts:
    """Texts in UTF-8; None is no value."""
    return Texts(_joined(TEXT, [None if value is None else value.encode() for value in values]))


def blobs(values: Sequence[bytes]) -> Blobs:
    """Bytes as they are."""
    return Blobs(_joined(BYTEA, values))


def _joined(oid: int, values: Sequence[bytes | None]) -> bytes:
    parts = [_head(1, 1, oid, len(values), 1)]
    for value in values:
        if value is None:
            parts.append(_NOTHING)
        else:
            parts += (_length(len(value)), value)
    return b"".join(parts)
