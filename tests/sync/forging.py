"""Bundles made without the product's own writer: by the words in kiosk/sync/bundle_format, with any part made wrong."""

import json
import struct
import uuid
import zlib
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from hashlib import sha256
from pathlib import Path
from typing import Any

from cryptography.hazmat.primitives.asymmetric.ed25519 import Ed25519PrivateKey

from kiosk.store.chain import FIRST
from tests.sync.rows import Row, rows

MAGIC = b"throughlight-bundle-1\n"
NOTHING = b"\xff\xff\xff\xff"


def counted(data: bytes) -> bytes:
    return struct.pack(">I", len(data)) + data


def laid(row: Row) -> bytes:
    """A row as it stands in the stream."""
    texts = b"".join(NOTHING if text is None else counted(text.encode()) for text in row[8:14])
    return counted(struct.pack(">8q", *row[:8]) + texts + counted(row[14]) + row[15])


@dataclass
class Bench:
    """A bench whose key the tests have: what it can not do is nothing."""

    name: str = "B2"
    origin: str = field(default_factory=lambda: str(uuid.uuid4()))
    key: Ed25519PrivateKey = field(default_factory=Ed25519PrivateKey.generate)
    _log: list[Row] = field(default_factory=list)

    @property
    def public(self) -> bytes:
        return self.key.public_key().public_bytes_raw()

    def log(self, n: int) -> list[Row]:
        """Its log up to that number: the same one however often it is asked for."""
        if n > len(self._log):
            before = self._log[-1][15] if self._log else FIRST
            self._log += rows(self.origin, n - len(self._log), bench=self.name, after=len(self._log), before=before)
        return self._log[:n]

    def branch(self, n: int, *, after: int, before: bytes) -> list[Row]:
        """Other events than its log's under the same numbers."""
        return rows(self.origin, n, bench=self.name, after=after, before=before, took_ms=1)

    def header(self, log: Sequence[Row], body: bytes, length: int, before: bytes) -> dict[str, Any]:
        """A true header over these rows."""
        last = log[-1]
        said = b"spl-head1" + self.origin.encode() + struct.pack(">QQ", last[0] % 2**64, last[1] % 2**64) + last[15]
        head = {"h": last[15].hex(), "hlc": last[1], "at_ms": 5, "sig": self.key.sign(said).hex()}
        return {
            "format": 1, "origin": self.origin, "bench": self.name, "was": None, "from": log[0][0], "to": last[0],
            "count": len(log), "packed": len(body), "length": length, "sha256": sha256(body).hexdigest(),
            "before": before.hex(), "head": head,
        }  # fmt: skip

    def bundle(
        self,
        log: Sequence[Row],
        *,
        before: bytes = FIRST,
        changed: Mapping[str, Any] | None = None,
        raw: bytes | None = None,
        body: bytes | None = None,
        stream: bytes | None = None,
    ) -> bytes:
        """A signed bundle. `changed`: of the header; `raw`: the header's own bytes; `body`, `stream`: in place of."""
        stream = b"".join(map(laid, log)) if stream is None else stream
        body = zlib.compress(stream) if body is None else body
        tree = {**self.header(log, body, len(stream), before), **(changed or {})}
        data = json.dumps(tree, sort_keys=True, separators=(",", ":")).encode() if raw is None else raw
        return self.sealed(data, body)

    def sealed(self, data: bytes, body: bytes) -> bytes:
        """The file around a header's own bytes."""
        return MAGIC + counted(data) + self.public + self.key.sign(b"spl-bundle1" + data) + body


def parts(data: bytes) -> tuple[bytes, bytes, bytes, bytes]:
    """Header, key, signature and body of a good bundle."""
    at = len(MAGIC) + 4
    end = at + int.from_bytes(data[at - 4 : at], "big")
    return data[at:end], data[end : end + 32], data[end + 32 : end + 96], data[end + 96 :]


def put(path: Path, data: bytes) -> Path:
    path.write_bytes(data)
    return path
