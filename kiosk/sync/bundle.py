"""A bundle from a stick, taken in whole or refused whole. `kiosk.sync.bundle_format` says how one lies there.

In this order, each before the next is looked at: a plain file no larger than a bundle can be; a header of at most
4 KiB, signed by the key beside it; that key is the one known here for the log, or one that a person named; what the
header declares is within the caps and is as long as the file; the SHA-256 of the body. Then the rows, unpacked a piece
at a time and never beyond what was declared, each linked to the one before, in one transaction by the rules of
`Heard.take`. Nothing in a bundle is ever used as the name of a file.
"""

import zlib
from collections.abc import Collection, Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from hashlib import sha256
from pathlib import Path
from typing import IO, Any

from kiosk.store.chain import Span, Walk
from kiosk.store.heard import PRACTICE, Heard
from kiosk.store.keys import proven
from kiosk.store.outage import Outage
from kiosk.sync.bundle_format import (
    CAPS,
    FILE_MOST,
    HEADER_MOST,
    MAGIC,
    ROW_MOST,
    FormatFault,
    Header,
    read_header,
    read_row,
    signed_by,
)
from kiosk.sync.stick import CHUNK, plain_file, read_some, shown

_BATCH, _BATCH_BYTES = 1000, 4 << 20


@dataclass(frozen=True, slots=True, kw_only=True)
class Taken:
    """A bundle that was taken in; `new` of its events were not known before."""

    header: Header
    new: int


def take_bundle(path: Path, heard: Heard, *, trusted: Collection[bytes] = ()) -> Taken:
    """Take in one bundle, whole. `trusted`: keys that a person vouches for. Raises Outage, and nothing is kept then."""
    with opened_bundle(path) as bundle:
        header = bundle.header
        known = heard.key_of(header.origin)
        if known is None and header.public_key not in trusted:
            key = header.public_key.hex()
            raise Outage("bundle_unknown_key", bench=header.bench, origin=header.origin[:8], hex=key)
        if known is not None and known != header.public_key:
            raise Outage("other_key", bench=header.bench)
        if header.bench.startswith(PRACTICE):
            raise Outage("practice", bench=header.bench)
        bundle.check_whole()
        if header.first > (reached := heard.reaches(header.origin, header.was)) + 1:
            raise Outage("bundle_gap", bench=header.bench, first=header.first, known=reached)
        new = heard.take_whole(
            header.origin, bundle.batches(), was=header.was, public_key=header.public_key, head=header.head
        )
    return Taken(header=header, new=new)


@contextmanager
def opened_bundle(path: Path) -> Iterator["Bundle"]:
    """The bundle in a file: its header signed by the key beside it, and within the caps. Raises Outage."""
    with plain_file(path, FILE_MOST) as file:
        try:
            yield Bundle(path, file)
        except (FormatFault, zlib.error) as fault:
            raise Outage("bundle_not_one", file=shown(path)) from fault


class Bundle:
    """An open bundle, at first only its header. Every method raises Outage, FormatFault or zlib.error."""

    def __init__(self, path: Path, file: IO[bytes]) -> None:
        self._path, self._file = path, file
        if self._read(len(MAGIC)) != MAGIC:
            raise FormatFault
        length = int.from_bytes(self._read(4), "big")
        if length > HEADER_MOST:
            raise FormatFault
        data, public_key, signature = self._read(length), self._read(32), self._read(64)
        if not signed_by(data, public_key, signature):
            raise Outage("bundle_not_signed", file=shown(path))
        self.header = header = read_header(data, public_key)
        if not proven(header.head, public_key):
            raise Outage("bundle_not_signed", file=shown(path))
        if header.packed > CAPS.packed or header.length > CAPS.length or header.count > CAPS.count:
            raise Outage("bundle_large", file=shown(path))
        self._body = file.tell()

    def _read(self, length: int) -> bytes:
        data = read_some(self._file, self._path, length)
        if len(data) != length:
            raise FormatFault
        return data

    def check_whole(self) -> None:
        """Is the body as long as the header says, and the one that it says? Nothing is unpacked for that."""
        for _ in self._chunks():
            pass

    def _chunks(self) -> Iterator[bytes]:
        """The body as it lies there. Raises FormatFault at its end where it is not the one that was signed."""
        self._file.seek(self._body)
        left, digest = self.header.packed, sha256()
        while left:
            chunk = self._read(min(CHUNK, left))
            left -= len(chunk)
            digest.update(chunk)
            yield chunk
        if read_some(self._file, self._path, 1) or digest.digest() != self.header.sha256:
            raise FormatFault

    def _unpacked(self) -> Iterator[bytes]:
        inflate, seen = zlib.decompressobj(), 0
        for chunk in self._chunks():
            while chunk and not inflate.eof:
                data = inflate.decompress(chunk, CHUNK)
                chunk = inflate.unconsumed_tail
                seen += len(data)
                if seen > self.header.length:
                    raise FormatFault
                yield data
            if inflate.unused_data or chunk:
                raise FormatFault
        while not inflate.eof and (data := inflate.decompress(b"", CHUNK)):
            seen += len(data)
            yield data
        if not inflate.eof or seen != self.header.length:
            raise FormatFault

    def _rows(self) -> Iterator[tuple[int, tuple[Any, ...]]]:
        """Each row with its length."""
        waiting = bytearray()
        for data in self._unpacked():
            waiting += data
            while len(waiting) >= 4:
                length = int.from_bytes(waiting[:4], "big")
                if length > ROW_MOST:
                    raise FormatFault
                if len(waiting) < 4 + length:
                    break
                yield length, read_row(bytes(waiting[4 : 4 + length]))
                del waiting[: 4 + length]
        if waiting:
            raise FormatFault

    def batches(self) -> Iterator[list[tuple[Any, ...]]]:
        """The rows, some at a time, each linked to the one before and all of one station, up to the signed head."""
        header = self.header
        begins = header.first - 1
        walk = Walk((Span(begins, header.origin, header.before),), seq=begins, before=header.before)
        batch: list[tuple[Any, ...]] = []
        size, hlc = 0, -1
        for length, row in self._rows():
            if row[11] != header.bench or row[0] > header.last or not walk.step(row):
                raise FormatFault
            batch.append(row)
            size, hlc = size + length, row[1]
            if len(batch) >= _BATCH or size >= _BATCH_BYTES:
                yield batch
                batch, size = [], 0
        if walk.seq != header.last or walk.before != header.head.h or hlc != header.head.hlc:
            raise FormatFault
        yield batch
