"""Files on a stick that nothing of may be taken in: cut, turned, forged, bloated, lying, or no files at all.

Every one is meant for a station that knows B2, its key and its first 20 events. Where a file is signed, it is by B2's
own key unless its name says otherwise: what a signature lets through must still hold.
"""

import json
import os
import random
import struct
import zlib
from collections.abc import Iterator
from hashlib import sha256
from pathlib import Path
from typing import Any

from sqlite_utils.utils import sqlite3

from kiosk.store.chain import COLUMNS
from tests.sync.forging import MAGIC, Bench, counted, laid, parts, put
from tests.sync.rows import Row, relinked

KNOWN, MORE = 20, 60
MIB = 1 << 20
TRICKS = ("../../../etc/passwd", "/etc/passwd", "..\\..\\x", "a/../../b", "x\x1b[2J", "x\0y", "B2\n", "é" * 40, "")


def corpus(folder: Path, b2: Bench, here: str) -> list[Path]:
    """Put every hostile file into the folder. `here`: the origin of the station that they are meant for."""
    files = [put(folder / f"{name}.bundle", data) for name, data in _files(b2, here)]
    assert len({file.name for file in files}) == len(files)
    good = good_bundle(b2)
    return [*files, *_no_files(folder, good)]


def good_bundle(b2: Bench, n: int = MORE) -> bytes:
    """The events that come next: what the station takes in when nothing is wrong."""
    log = b2.log(KNOWN + n)
    return b2.bundle(log[KNOWN:], before=log[KNOWN - 1][15])


def _files(b2: Bench, here: str) -> Iterator[tuple[str, bytes]]:
    good = good_bundle(b2)
    yield from _cut_and_turned(good)
    yield from _foreign(b2, good, here)
    yield from _lying(b2)
    yield from _odd_headers(b2)
    yield from _odd_rows(b2)
    yield from _bloated(b2)
    yield from _dressed_up(b2, good)


def _cut_and_turned(good: bytes) -> Iterator[tuple[str, bytes]]:
    chance = random.Random(9)
    header, *_ = parts(good)
    edges = [0, 1, len(MAGIC), len(MAGIC) + 4, len(MAGIC) + 4 + len(header)]
    edges += [edges[-1] + 32, edges[-1] + 96, edges[-1] + 97, len(good) - 1, len(good) - 4]
    for at in sorted({*edges, *(chance.randrange(len(good)) for _ in range(50))}):
        yield f"cut-{at}", good[:at]
    for bit in sorted({chance.randrange(len(good) * 8) for _ in range(90)}):
        turned = bytearray(good)
        turned[bit // 8] ^= 1 << bit % 8
        yield f"turned-{bit}", bytes(turned)
    yield "longer", good + b"\0"
    yield "twice", good * 2
    yield "backwards", good[::-1]


def _foreign(b2: Bench, good: bytes, here: str) -> Iterator[tuple[str, bytes]]:
    header, key, signature, body = parts(good)
    log = b2.log(KNOWN + MORE)
    rest, before = log[KNOWN:], log[KNOWN - 1][15]
    thief = Bench(name="B2", origin=b2.origin)
    yield "thief-under-its-own-key", thief.bundle(rest, before=before)
    yield "thief-under-our-key", MAGIC + counted(header) + key + parts(thief.bundle(rest, before=before))[2] + body
    yield "no-signature", MAGIC + counted(header) + key + bytes(64) + body
    yield "no-key", MAGIC + counted(header) + bytes(32) + signature + body
    yield "small-order-key", MAGIC + counted(header) + b"\1" + bytes(31) + b"\1" + bytes(63) + body
    stranger = Bench(name="B3")
    yield "stranger", stranger.bundle(stranger.log(9))
    theirs = parts(stranger.bundle(stranger.log(9)))
    yield "header-of-another", MAGIC + counted(theirs[0]) + key + signature + body
    yield "header-and-seal-of-another", MAGIC + counted(theirs[0]) + theirs[1] + theirs[2] + body
    yield "body-of-another", MAGIC + counted(header) + key + signature + theirs[3]
    yield "body-of-another-signed", b2.bundle(rest, before=before, body=theirs[3])
    other = Bench(name="B2", key=b2.key)
    yield "another-log-under-our-key", other.bundle(other.log(9))
    itself = Bench(name="D1", origin=here, key=b2.key)
    yield "says-it-is-this-station", itself.bundle(itself.log(9))
    practice = Bench(name="P1", origin=b2.origin, key=b2.key)
    yield "practice", practice.bundle(practice.log(9))
    yield "another-bench", b2.bundle(rest, before=before, changed={"bench": "B7"})
    yield "a-gap", b2.bundle(log[KNOWN + 1 :], before=log[KNOWN][15])
    branch = b2.branch(MORE, after=KNOWN - 5, before=log[KNOWN - 6][15])
    yield "another-branch", b2.bundle(branch, before=log[KNOWN - 6][15])
    yield "another-branch-short", b2.bundle(branch[:3], before=log[KNOWN - 6][15])
    yield "another-branch-from-here", b2.bundle(b2.branch(9, after=KNOWN, before=bytes(32)), before=bytes(32))
    was = {"origin": stranger.origin, "seq": KNOWN, "h": before.hex()}
    yield "begins-elsewhere", b2.bundle(rest, before=before, changed={"was": was})


def _lying(b2: Bench) -> Iterator[tuple[str, bytes]]:
    log = b2.log(KNOWN + MORE)
    rest, before = log[KNOWN:], log[KNOWN - 1][15]
    good = b2.bundle(rest, before=before)
    true: dict[str, Any] = json.loads(parts(good)[0])
    for name in ("from", "to", "count", "packed", "length"):
        told = true[name]
        near = (0, 1, told - 1, told + 1, -told, 2**31, 2**63 - 1, 2**63, 2**64)
        for value in (*near, told + 0.0, str(told), True, None):
            yield f"says-{name}-{value!r}", b2.bundle(rest, before=before, changed={name: value})
    yield "says-all-one-less", b2.bundle(rest, before=before, changed={"to": true["to"] - 1, "count": MORE - 1})
    for name in ("sha256", "before"):
        yield f"says-other-{name}", b2.bundle(rest, before=before, changed={name: "ab" * 32})
    for name, value in {"h": "ab" * 32, "hlc": 1, "sig": "ab" * 64, "at_ms": 2**63}.items():
        yield f"says-other-head-{name}", b2.bundle(rest, before=before, changed={"head": {**true["head"], name: value}})
    for length in (0, 1, 4097, 1 << 24, 0xFFFFFFFF, len(parts(good)[0]) - 1, len(parts(good)[0]) + 1):
        yield f"header-length-{length}", MAGIC + struct.pack(">I", length) + good[len(MAGIC) + 4 :]
    yield "no-rows", b2.bundle(rest, before=before, stream=b"")
    yield "half-a-row", b2.bundle(rest, before=before, stream=b"".join(map(laid, rest))[:-7])
    yield (
        "row-longer-than-it-is",
        b2.bundle(rest[:1], before=before, stream=struct.pack(">I", 9999) + laid(rest[0])[4:]),
    )
    yield "one-row-more", b2.bundle(rest[:-1], before=before, stream=b"".join(map(laid, rest)))
    yield "one-row-less", b2.bundle(rest, before=before, stream=b"".join(map(laid, rest[:-1])))


def _odd_headers(b2: Bench) -> Iterator[tuple[str, bytes]]:
    log = b2.log(KNOWN + MORE)
    rest, before = log[KNOWN:], log[KNOWN - 1][15]
    body = parts(good_bundle(b2))[3]
    tree: dict[str, Any] = json.loads(parts(good_bundle(b2))[0])
    for n, trick in enumerate(TRICKS):
        for name in ("origin", "bench", "sha256", "before"):
            yield f"trick-{n}-{name}", b2.bundle(rest, before=before, changed={name: trick})
        yield f"trick-{n}-was", b2.bundle(rest, before=before, changed={"was": {"origin": trick, "seq": 0, "h": trick}})
        yield f"trick-{n}-name", b2.bundle(rest, before=before, changed={trick: "x"})
    for name, value in tree.items():
        yield f"without-{name}", b2.sealed(_json({key: told for key, told in tree.items() if key != name}), body)
        yield f"list-{name}", b2.bundle(rest, before=before, changed={name: [value]})
    for version in (0, 2, -1, True, "1", 10**30):
        yield f"format-{version!r}", b2.bundle(rest, before=before, changed={"format": version})
    raws = {
        "empty": b"", "null": b"null", "list": b"[]", "text": b'"x"', "nan": b"NaN", "deep": b"[" * 4096,
        "deeper": b'{"a":' * 800, "number": b"9" * 4096, "not-utf8": b"\xff" * 90, "utf16": "{}".encode("utf-16"),
        "blanks": json.dumps(tree, sort_keys=True).encode(),
        "other-order": _json(dict(reversed(tree.items())), sort=False),
        "said-twice": _json(tree)[:-1] + b',"to":80}', "surrogate": _json({**tree, "bench": "\ud800"}),
    }  # fmt: skip
    for name, raw in raws.items():
        yield f"header-{name}", b2.sealed(raw, body)


def _odd_rows(b2: Bench) -> Iterator[tuple[str, bytes]]:
    """Rows that B2 itself linked and signed, and that no store can hold or no log has."""
    log = b2.log(KNOWN + 1)
    before, row = log[KNOWN - 1][15], log[KNOWN]
    odd: dict[str, list[Any]] = {
        "seq": [0, -1, 5, 99], "ver": [0, -7], "trusted": [2, -1], "id": ["", "x" * 36, "../" * 12, "a\0" * 18],
        "bench": ["B3", "", "../B2"],
    }  # fmt: skip
    for name, values in odd.items():
        for n, value in enumerate(values):
            yield f"row-{name}-{n}", b2.bundle([relinked(b2.origin, row, before, **{name: value})], before=before)
    for name in ("id", "cls", "typ", "bench"):
        other = relinked(b2.origin, row, before, **{name: None})
        yield f"row-no-{name}", b2.bundle([other], before=before, changed={"bench": "B2"})
    for column in range(len(COLUMNS)):
        broken = _broken(row, column)
        yield f"row-unlinked-{COLUMNS[column]}", b2.bundle([row], before=before, stream=laid(broken))
    plain = laid(row)
    yield "row-not-utf8", b2.bundle([row], before=before, stream=plain.replace(b"B2", b"\xff\xfe"))
    yield "row-and-more", b2.bundle([row], before=before, stream=counted(plain[4:] + b"more"))
    yield "row-without-hash", b2.bundle([row], before=before, stream=counted(plain[4:-32]))
    late = b2.log(KNOWN + 2500)
    bad = [*late[KNOWN:-1], _broken(late[-1], 12)]
    yield "last-of-many-rows", b2.bundle(late[KNOWN:], before=before, stream=b"".join(map(laid, bad)))
    yield (
        "another-head-of-many-rows",
        b2.bundle(late[KNOWN:], before=before, changed={"to": late[-1][0] - 1, "count": 2499}),
    )


def _broken(row: Row, column: int) -> Row:
    """The row with one column another than its hash says."""
    value = row[column]
    new: Any = "x"
    if isinstance(value, int):
        new = value + 1
    elif isinstance(value, bytes):
        new = bytes([value[0] ^ 1]) + value[1:]
    elif value:
        new = value[:-1] + chr(ord(value[-1]) ^ 1)
    return (*row[:column], new, *row[column + 1 :])


def _bloated(b2: Bench) -> Iterator[tuple[str, bytes]]:
    log = b2.log(KNOWN + MORE)
    rest, before = log[KNOWN:], log[KNOWN - 1][15]
    zeros = _zeros(300)
    yield "bomb-that-says-little", b2.bundle(rest, before=before, body=zeros)
    yield "bomb-of-empty-rows", b2.bundle(rest, before=before, body=zeros, changed={"length": 300 * MIB})
    yield (
        "bomb-of-one-row",
        b2.bundle(rest, before=before, body=_zeros(300, b"\xff\xff\xff\xff"), changed={"length": 300 * MIB + 4}),
    )
    yield "bomb-beyond-the-caps", b2.bundle(rest, before=before, body=zeros, changed={"length": 512 * MIB + 1})
    yield (
        "bomb-of-many-events",
        b2.bundle(
            rest, before=before, body=zeros, changed={"count": 2_000_001, "to": KNOWN + 2_000_001, "length": 300 * MIB}
        ),
    )
    yield (
        "bomb-after-the-rows",
        b2.bundle(rest, before=before, body=zlib.compress(b"".join(map(laid, rest)) + bytes(99))),
    )
    yield "two-streams", b2.bundle(rest, before=before, body=parts(good_bundle(b2))[3] + zeros)
    yield "gzip", b2.bundle(rest, before=before, body=b"\x1f\x8b\x08" + zeros)
    yield "a-dictionary", b2.bundle(rest, before=before, body=_with_dictionary())
    yield "stored-backwards", b2.bundle(rest, before=before, body=zeros[::-1])
    yield "not-the-end", b2.bundle(rest, before=before, body=parts(good_bundle(b2))[3][:-5])
    large, at = [], before
    for n in range(24):  # sound rows of 4 MiB, and the last one is not
        row = relinked(b2.origin, log[KNOWN + n], at, body=bytes((4 << 20) - 400))
        large.append(row)
        at = row[15]
    stream = zlib.compressobj()
    body = b"".join(stream.compress(laid(row)) for row in [*large[:-1], _broken(large[-1], 12)]) + stream.flush()
    length = sum(len(laid(row)) for row in large)
    yield "large-rows", b2.bundle(large, before=before, body=body, changed={"length": length, "count": 24}, stream=b"")


def _zeros(mib: int, first: bytes = b"") -> bytes:
    packer = zlib.compressobj(9)
    return packer.compress(first) + b"".join(packer.compress(bytes(MIB)) for _ in range(mib)) + packer.flush()


def _with_dictionary() -> bytes:
    packer = zlib.compressobj(zdict=b"check_yes")
    return packer.compress(b"check_yes" * 9) + packer.flush()


def _dressed_up(b2: Bench, good: bytes) -> Iterator[tuple[str, bytes]]:
    """A real SQLite file, with our magic before it, behind our header, and packed and signed as a body."""
    connection = sqlite3.connect(":memory:")
    connection.execute("CREATE TABLE event (seq INTEGER PRIMARY KEY, body BLOB)")
    connection.execute("INSERT INTO event VALUES (1, zeroblob(9000))")
    connection.commit()
    file: bytes = connection.serialize() if hasattr(connection, "serialize") else b"SQLite format 3\0" + bytes(4080)
    connection.close()
    log = b2.log(KNOWN + MORE)
    rest, before = log[KNOWN:], log[KNOWN - 1][15]
    header, key, signature, _ = parts(good)
    yield "sqlite", file
    yield "sqlite-with-our-magic", MAGIC + file
    yield "sqlite-with-our-header", MAGIC + counted(header) + key + signature + file
    yield "sqlite-signed", b2.bundle(rest, before=before, body=file)
    yield "sqlite-signed-and-packed", b2.bundle(rest, before=before, stream=file)
    yield "sqlite-as-a-row", b2.bundle(rest, before=before, stream=counted(file))
    yield "zip", b"PK\3\4" + good
    yield "script", b"#!/bin/sh\nrm -rf /\n" + good


def _no_files(folder: Path, good: bytes) -> list[Path]:
    real = put(folder.parent / "real", good)
    out = [
        folder / f"{name}.bundle" for name in ("link", "link-to-device", "link-to-nothing", "pipe", "folder", "gone")
    ]
    out[0].symlink_to(real)
    out[1].symlink_to("/dev/zero")
    out[2].symlink_to(folder / "nothing")
    os.mkfifo(out[3])
    out[4].mkdir()
    large = folder / "larger-than-any.bundle"
    with large.open("wb") as file:
        file.write(good)
        file.truncate(65 * MIB)
    named = put(folder / "..\x1b[2J\n..\\x.bundle", good[:-1])
    return [*out, large, named, put(folder / "digest.bundle", sha256(good).digest())]


def _json(tree: object, *, sort: bool = True) -> bytes:
    return json.dumps(tree, sort_keys=sort, separators=(",", ":")).encode()
