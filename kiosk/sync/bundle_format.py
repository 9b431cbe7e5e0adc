"""A bundle as it lies on a stick: one flat file, a signed header and a packed body; numbers are big-endian.

    "throughlight-bundle-1" + newline
    length of header (4)    header    public key (32)    signature (64)    body

The header is canonical JSON (names sorted, no blanks, ASCII) of at most 4 KiB. The signature is Ed25519 (RFC 8032) over
"spl-bundle1" + header, by the key of the log that the rows are of. The body is one zlib stream (RFC 1950) of rows, each
length (4) + seq, hlc, ver, at_ms, offset_min, trusted, policy, record (8 each, two's complement) + id, cls, typ,
bench, who, trip (each length (4) + UTF-8; no value: length FFFFFFFF) + length of body (4) + body + hash (32).
"""

import json
import re
import struct
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

from cryptography.exceptions import InvalidSignature
from cryptography.hazmat.primitives.asymmetric.ed25519 import Ed25519PublicKey

from kiosk.store.chain import FIRST
from kiosk.store.heard import Was
from kiosk.store.keys import SignedHead
from kiosk.store.outage import Outage

MAGIC = b"throughlight-bundle-1\n"
LABEL = b"spl-bundle1"
SUFFIX = ".bundle"
FORMAT = 1
HEADER_MOST = 4096
ROW_MOST = 4 << 20
"""A row of the stream at most; a long set record takes some hundred kilobytes."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Caps:
    """What one bundle may hold: bytes packed, bytes of its rows, events."""

    packed: int = 64 << 20
    length: int = 512 << 20
    count: int = 2_000_000


CAPS = Caps()
_FRONT = len(MAGIC) + 4 + HEADER_MOST + 32 + 64
FILE_MOST = CAPS.packed + _FRONT

_UUID = re.compile(r"[0-9a-f]{8}(-[0-9a-f]{4}){3}-[0-9a-f]{12}")
_STATION = re.compile(r"\w{1,16}", re.ASCII)
_HASH, _SIG = re.compile(r"[0-9a-f]{64}"), re.compile(r"[0-9a-f]{128}")
_integers, _length = struct.Struct(">8q"), struct.Struct(">I")
_NOTHING = 0xFFFFFFFF
_ENDLESS = 1 << 63


class FormatFault(Exception):
    """This is no bundle, or a row of it is none. Never leaves the reader: it becomes an Outage that names the file."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Header:
    """What a bundle says of itself. `first` to `last`: its events; `before`: the hash that the first is linked to."""

    origin: str
    bench: str
    was: Was | None
    first: int
    last: int
    count: int
    packed: int
    length: int
    sha256: bytes
    before: bytes
    head: SignedHead
    public_key: bytes


def header_bytes(header: Header) -> bytes:
    """The header as it is signed and written."""
    was, head = header.was, header.head
    tree = {
        "format": FORMAT,
        "origin": header.origin,
        "bench": header.bench,
        "was": {"origin": was.origin, "seq": was.seq, "h": was.h.hex()} if was else None,
        "from": header.first,
        "to": header.last,
        "count": header.count,
        "packed": header.packed,
        "length": header.length,
        "sha256": header.sha256.hex(),
        "before": header.before.hex(),
        "head": {"h": head.h.hex(), "hlc": head.hlc, "at_ms": head.at_ms, "sig": head.sig.hex()},
    }
    return canonical(tree)


def canonical(tree: object) -> bytes:
    """The one way to write a document that is signed."""
    return json.dumps(tree, sort_keys=True, separators=(",", ":")).encode("ascii")


def front(header: bytes, public_key: bytes, signature: bytes) -> bytes:
    """Everything before the body."""
    return MAGIC + _length.pack(len(header)) + header + public_key + signature


def signed_by(header: bytes, public_key: bytes, signature: bytes) -> bool:
    """Did the owner of this key sign this header?"""
    try:
        Ed25519PublicKey.from_public_bytes(public_key).verify(signature, LABEL + header)
    except (InvalidSignature, ValueError):
        return False
    return True


def read_header(data: bytes, public_key: bytes) -> Header:
    """The header from its bytes, every value of the kind it has to be. Raises FormatFault."""
    try:
        tree = json.loads(data)
        if canonical(tree) != data:
            raise FormatFault
    except (ValueError, RecursionError) as fault:
        raise FormatFault from fault
    top = {"format", "origin", "bench", "was", "from", "to", "count", "packed", "length", "sha256", "before", "head"}
    if isinstance(tree, dict) and type(tree.get("format")) is int and tree["format"] > FORMAT:
        raise Outage("bundle_newer", version=tree["format"], known=FORMAT)
    tree = _object(tree, top)
    if type(tree["format"]) is not int or tree["format"] != FORMAT:
        raise FormatFault
    origin, head = _like(tree["origin"], _UUID), _object(tree["head"], {"h", "hlc", "at_ms", "sig"})
    was = None
    if tree["was"] is not None:
        told = _object(tree["was"], {"origin", "seq", "h"})
        was = Was(_like(told["origin"], _UUID), _number(told["seq"]), bytes.fromhex(_like(told["h"], _HASH)))
    last = _number(tree["to"])
    header = Header(
        origin=origin,
        bench=_like(tree["bench"], _STATION),
        was=was,
        first=_number(tree["from"]),
        last=last,
        count=_number(tree["count"]),
        packed=_number(tree["packed"]),
        length=_number(tree["length"]),
        sha256=bytes.fromhex(_like(tree["sha256"], _HASH)),
        before=bytes.fromhex(_like(tree["before"], _HASH)),
        head=SignedHead(
            origin=origin,
            seq=last,
            hlc=_number(head["hlc"]),
            h=bytes.fromhex(_like(head["h"], _HASH)),
            at_ms=_number(head["at_ms"]),
            sig=bytes.fromhex(_like(head["sig"], _SIG)),
        ),
        public_key=public_key,
    )
    _fits_itself(header)
    return header


def _fits_itself(header: Header) -> None:
    begins = header.was or Was("", 0, FIRST)
    counted = header.count >= 1 and header.last - header.first + 1 == header.count
    begun = header.first > begins.seq and (header.first > begins.seq + 1 or header.before == begins.h)
    if not (counted and begun):
        raise FormatFault


def _object(value: Any, names: set[str]) -> dict[str, Any]:
    if not isinstance(value, dict) or value.keys() != names:
        raise FormatFault
    return value


def _like(value: Any, pattern: re.Pattern[str]) -> str:
    if not isinstance(value, str) or not pattern.fullmatch(value):
        raise FormatFault
    return value


def _number(value: Any) -> int:
    if type(value) is not int or not 0 <= value < _ENDLESS:
        raise FormatFault
    return value


def row_bytes(row: Sequence[Any]) -> bytes:
    """A row, in the order of chain.COLUMNS, as it stands in the stream."""
    texts = b"".join(_length.pack(_NOTHING) if text is None else _counted(text.encode()) for text in row[8:14])
    data = _integers.pack(*row[:8]) + texts + _counted(row[14]) + row[15]
    return _counted(data)


def _counted(data: bytes) -> bytes:
    return _length.pack(len(data)) + data


def read_row(data: bytes) -> tuple[Any, ...]:
    """A row from its bytes (its length before them taken off), as a store can hold it. Raises FormatFault."""
    try:
        integers, at = _integers.unpack_from(data), _integers.size
        values: list[Any] = [*integers]
        for _ in range(7):
            (length,) = _length.unpack_from(data, at)
            at += _length.size
            value = None if length == _NOTHING else data[at : at + length]
            if value is not None and len(value) != length:
                raise FormatFault
            values.append(value)
            at += len(value or b"")
        texts = [value if value is None else value.decode() for value in values[8:14]]
    except (struct.error, UnicodeDecodeError) as fault:
        raise FormatFault from fault
    row = (*integers, *texts, values[14], data[at:])
    _can_be_kept(row)
    return row


def _can_be_kept(row: Sequence[Any]) -> None:
    """What the tables ask of a row beyond its chain (db/sqlite/0004_heard.sql)."""
    must = (*row[8:12], row[14])
    if None in must or len(row[15]) != 32 or row[2] < 1 or row[5] not in {0, 1} or not _UUID.fullmatch(row[8]):
        raise FormatFault
