"""The key of an origin, and the heads that it signs. The private key lies beside the store folder, never in it.

    signature over "spl-head1" + origin (36 ASCII) + seq (8) + hlc (8) + h (32), big-endian, Ed25519 (RFC 8032)

The folder `<store>.keys` is its owner's alone; it holds `<origin>.key`, 32 bytes, and `<origin>.head`, the newest head
that it signed. A copy of the store folder has no key, and a log that ends before its newest signed head was put back.
"""

import json
from dataclasses import dataclass
from pathlib import Path

from cryptography.exceptions import InvalidSignature
from cryptography.hazmat.primitives.asymmetric.ed25519 import Ed25519PrivateKey, Ed25519PublicKey

from kiosk.store.durable import sync_folder, write_durably
from kiosk.store.outage import outages


@dataclass(frozen=True, slots=True, kw_only=True)
class SignedHead:
    """That an origin's log went as far as `seq`, with this hash. `at_ms` says when, and is not signed."""

    origin: str
    seq: int
    hlc: int
    h: bytes
    at_ms: int
    sig: bytes


def signed_bytes(origin: str, seq: int, hlc: int, h: bytes) -> bytes:
    """What is signed of a head. Raises ValueError for an origin or a hash of another length, or a negative number."""
    name = origin.encode("ascii")
    if len(name) != 36 or len(h) != 32 or min(seq, hlc) < 0:
        raise ValueError("a head is an origin of 36 letters, two numbers and a hash of 32 bytes")
    return b"spl-head1" + name + seq.to_bytes(8, "big") + hlc.to_bytes(8, "big") + h


def proven(head: SignedHead, public_key: bytes) -> bool:
    """Was the head signed by the owner of this key?"""
    try:
        signed = signed_bytes(head.origin, head.seq, head.hlc, head.h)
        Ed25519PublicKey.from_public_bytes(public_key).verify(head.sig, signed)
    except (InvalidSignature, ValueError, OverflowError):
        return False
    return True


class Keys:
    """The keys of one store. Every method raises Outage when the disk does not do its part."""

    def __init__(self, store: Path) -> None:
        self.folder = store.with_name(f"{store.name}.keys")

    def public(self, origin: str) -> bytes | None:
        """The public key of an origin whose private one lies here; None where it does not, or is none."""
        key = self._private(origin)
        return key.public_key().public_bytes_raw() if key else None

    def make(self, origin: str) -> bytes:
        """Make the origin's key, durably, before anything is kept under it. The public one."""
        key = Ed25519PrivateKey.generate()
        with outages():
            if not self.folder.is_dir():
                self.folder.mkdir(mode=0o700, parents=True)
                sync_folder(self.folder.parent)
            self.folder.chmod(0o700)
            write_durably(self._path(origin, "key"), key.private_bytes_raw(), mode=0o600)
        return key.public_key().public_bytes_raw()

    def sign(self, origin: str, seq: int, hlc: int, h: bytes, at_ms: int) -> SignedHead | None:
        """Sign a head; None where the origin has no key here."""
        key = self._private(origin)
        if key is None:
            return None
        sig = key.sign(signed_bytes(origin, seq, hlc, h))
        return SignedHead(origin=origin, seq=seq, hlc=hlc, h=h, at_ms=at_ms, sig=sig)

    def sign_as(self, origin: str, label: bytes, data: bytes) -> bytes | None:
        """Sign `label` and what follows it; None where the origin has no key here. A label is of one kind of word."""
        key = self._private(origin)
        return key.sign(label + data) if key else None

    def note(self, head: SignedHead) -> None:
        """Put the newest signed head beside the key, durably."""
        tree = {"seq": head.seq, "hlc": head.hlc, "h": head.h.hex(), "at_ms": head.at_ms, "sig": head.sig.hex()}
        with outages():
            write_durably(self._path(head.origin, "head"), json.dumps(tree).encode(), mode=0o600)

    def noted(self, origin: str) -> SignedHead | None:
        """The newest signed head beside the key; None where there is none that this key signed."""
        data, public = self._read(self._path(origin, "head")), self.public(origin)
        if data is None or public is None:
            return None
        try:
            tree = json.loads(data)
            h, sig = bytes.fromhex(tree.pop("h")), bytes.fromhex(tree.pop("sig"))
            head = SignedHead(origin=origin, h=h, sig=sig, **{name: int(value) for name, value in tree.items()})
        except (ValueError, TypeError, KeyError, AttributeError):
            return None
        return head if proven(head, public) else None

    def signed_before(self) -> bool:
        """Was ever a head of this store signed?"""
        with outages():
            return any(self.folder.glob("*.head"))

    def _private(self, origin: str) -> Ed25519PrivateKey | None:
        data = self._read(self._path(origin, "key"))
        return Ed25519PrivateKey.from_private_bytes(data) if data and len(data) == 32 else None

    def _path(self, origin: str, kind: str) -> Path:
        return self.folder / f"{origin}.{kind}"

    def _read(self, path: Path) -> bytes | None:
        with outages():
            return path.read_bytes() if path.is_file() else None
