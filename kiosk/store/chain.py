"""The chain of hashes over the log: no stored column can change unseen.

    h = SHA-256( "spl1" + h before (32 bytes; 32 zeros before the first) + length of header (4) + header + body )

The header is the fields origin, seq, id, hlc, cls, typ, ver, bench, at_ms, offset_min, trusted, who, trip, policy,
record, one after the other:

    text      "t" + length (4) + UTF-8
    integer   "i" + two's complement (8)
    no value  "n"

All lengths and integers big-endian. `origin` is the log's own UUID, from the table `meta`. The body is the stored
bytes. A chain can not see that its end was cut off: a signed head will.
"""

import hashlib
import struct
from collections.abc import Sequence

COLUMNS = (
    "seq", "id", "hlc", "cls", "typ", "ver", "bench", "at_ms", "offset_min", "trusted", "who", "trip", "policy",
    "record", "body", "h",
)  # fmt: skip
"""The columns of `event`, as hashed: the header's, the body, the hash."""
FIRST = bytes(32)
"""What stands in place of the hash before the first."""


class RawText(bytes):
    """Text as its bytes on disk, told apart from a blob."""


def link(before: bytes, origin: str, row: Sequence[object]) -> bytes:
    """The hash of a row given in the order of COLUMNS (its own hash, if there, is not read). `before`: 32 bytes."""
    header = b"".join(map(_field, (origin, *row[:14])))
    body = row[14]
    if not isinstance(body, bytes) or isinstance(body, RawText):
        return b""  # equal to no stored hash
    return hashlib.sha256(b"spl1" + before + struct.pack(">I", len(header)) + header + body).digest()


def _field(value: object) -> bytes:
    if value is None:
        return b"n"
    if isinstance(value, int):
        return struct.pack(">cq", b"i", value)
    if isinstance(value, str):
        value = RawText(value.encode())
    if isinstance(value, RawText):
        return struct.pack(">cI", b"t", len(value)) + value
    return b"?"  # a kind that no column holds: the row was changed
