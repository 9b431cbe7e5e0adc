"""Bundles of the own log, written to a stick within the caps and read back from it; also while the bench works."""

import zlib
from collections.abc import Iterator, Mapping
from contextlib import closing
from dataclasses import dataclass
from hashlib import sha256
from pathlib import Path
from tempfile import SpooledTemporaryFile
from typing import Any

from kiosk.store.chain import Span, Walk
from kiosk.store.heard import Was
from kiosk.store.keys import Keys, SignedHead
from kiosk.store.outage import Outage, outages
from kiosk.sync.bundle_format import (
    CAPS,
    FILE_MOST,
    LABEL,
    ROW_MOST,
    SUFFIX,
    Caps,
    Header,
    front,
    header_bytes,
    row_bytes,
)
from kiosk.sync.own import OwnLog, Stretch
from kiosk.sync.stick import CHUNK, read_back, shown, write_plain

_READ = 500
_SETTLE = 1 << 20
"""Bytes of rows after which it is settled what they come to when packed."""
_SLACK = 64
"""What the packed stream needs beyond its rows at most, each time it is settled and at its end."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Written:
    """A bundle that lies on the stick and was read back from it."""

    file: Path
    header: Header
    size: int


@dataclass(frozen=True, slots=True, kw_only=True)
class LeftOut:
    """Events of a former own log whose key is not here: nobody here can sign for them."""

    origin: str
    first: int
    last: int


def write_bundles(
    store: Path, to: Path, *, at_ms: int, acked: Mapping[str, int] | None = None, caps: Caps = CAPS
) -> tuple[list[Written], list[LeftOut]]:
    """Write the own log of a store into the folder `to`, or to a file of that name and more beside it. Raises Outage.

    `acked`: how far each log is known elsewhere; only what comes after that is written.
    """
    written: list[Written] = []
    left_out: list[LeftOut] = []
    keys = Keys(store)
    with closing(OwnLog(store)) as own:
        was: Was | None = None
        stretches = own.stretches()
        for stretch, following in zip(stretches, [*stretches[1:], None], strict=True):
            after = max(stretch.after, (acked or {}).get(stretch.origin, 0))
            key = keys.public(stretch.origin)
            if key is None and after < stretch.last:
                left_out.append(LeftOut(origin=stretch.origin, first=after + 1, last=stretch.last))
            elif key is not None:
                for body in _bodies(own, stretch, after, caps):
                    header = body.header(keys, stretch.origin, key, was, at_ms)
                    written.append(_write(keys, header, body, _name(to, header, len(written))))
            if following is not None:
                was = Was(stretch.origin, following.after, following.was_h)
    return written, left_out


def _name(to: Path, header: Header, number: int) -> Path:
    if to.is_dir():
        return to / f"throughlight-{header.bench}-{header.origin[:8]}-{header.first:07}-{header.last:07}{SUFFIX}"
    return to.with_name(f"{to.stem}-{number + 1}{to.suffix}") if number else to


def _write(keys: Keys, header: Header, body: "_Body", path: Path) -> Written:
    data = header_bytes(header)
    signature = keys.sign_as(header.origin, LABEL, data)
    assert signature is not None, "the key was there when the body was begun"
    begins = front(data, header.public_key, signature)
    digest = write_plain(path, body.chunks(begins))
    if read_back(path, FILE_MOST) != digest:
        with outages():
            path.unlink()
        raise Outage("bundle_not_whole", file=shown(path))
    return Written(file=path, header=header, size=len(begins) + body.packed)


class _Body:
    """The packed rows of one bundle as they grow, in a file without a name on this machine."""

    def __init__(self, before: bytes, caps: Caps) -> None:
        self.before, self._caps = before, caps
        self._file = SpooledTemporaryFile(max_size=8 << 20)  # noqa: SIM115 - it lives as long as the body
        self._deflate = zlib.compressobj()
        self._digest = sha256()
        self.rows: list[Any] = []  # the first and the last
        self.count = self.length = self.packed = self._unsettled = 0

    def fits(self, row: bytes) -> bool:
        """Is there room for one more?"""
        if self.count >= self._caps.count or self.length + len(row) > self._caps.length:
            return False
        if self._room() < len(row):
            self._settle(zlib.Z_SYNC_FLUSH)
        return self._room() >= len(row)

    def _room(self) -> int:
        """Bytes that may come yet even if nothing of them can be made smaller."""
        left = self._caps.packed - self.packed - self._unsettled
        return left - left // 512 - 2 * _SLACK

    def add(self, row: Any, data: bytes) -> None:
        """One more row."""
        self._put(self._deflate.compress(data))
        self.rows = [self.rows[0], row] if self.rows else [row, row]
        self.count += 1
        self.length += len(data)
        self._unsettled += len(data)
        if self._unsettled >= _SETTLE:
            self._settle(zlib.Z_SYNC_FLUSH)

    def _settle(self, how: int) -> None:
        self._put(self._deflate.flush(how))
        self._unsettled = 0

    def _put(self, data: bytes) -> None:
        self._digest.update(data)
        self.packed += len(data)
        with outages():
            self._file.write(data)

    def end(self) -> "_Body":
        """No more rows come."""
        self._settle(zlib.Z_FINISH)
        return self

    def close(self) -> None:
        """Let go of its file."""
        self._file.close()

    def header(self, keys: Keys, origin: str, public_key: bytes, was: Was | None, at_ms: int) -> Header:
        """What the bundle says of itself."""
        first, last = self.rows
        head: SignedHead | None = keys.sign(origin, last[0], last[1], last[15], at_ms)
        assert head is not None, "the key was there when the body was begun"
        return Header(
            origin=origin,
            bench=last[11],
            was=was,
            first=first[0],
            last=last[0],
            count=self.count,
            packed=self.packed,
            length=self.length,
            sha256=self._digest.digest(),
            before=self.before,
            head=head,
            public_key=public_key,
        )

    def chunks(self, begins: bytes) -> Iterator[bytes]:
        """The whole file; the body goes with it."""
        yield begins
        with self._file as file:
            file.seek(0)
            while chunk := file.read(CHUNK):
                yield chunk


def _bodies(own: OwnLog, stretch: Stretch, after: int, caps: Caps) -> Iterator[_Body]:
    """The rows after a number, packed into as many bodies as the caps ask for."""
    before = stretch.was_h if after == stretch.after else own.hash_of(after)
    if after >= stretch.last:
        return
    if before is None:
        raise Outage("damaged_from", seq=after)
    walk = Walk((Span(after, stretch.origin, before),), seq=after, before=before)
    body = _Body(before, caps)
    try:
        while rows := own.rows(walk.seq, stretch.last, _READ):
            for row in rows:
                linked = walk.before
                if not walk.step(row):
                    raise Outage("damaged_from", seq=walk.seq + 1)
                data = row_bytes(row)
                if body.count and not body.fits(data):
                    yield body.end()
                    body = _Body(linked, caps)
                if len(data) > ROW_MOST or not body.fits(data):
                    raise Outage("bundle_row", seq=row[0])
                body.add(row, data)
        if walk.seq != stretch.last:
            raise Outage("damaged_from", seq=walk.seq + 1)
        yield body.end()
    finally:
        body.close()
