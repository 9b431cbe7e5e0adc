"""The key of an origin and what it signs, against the RFC's own vectors and a second implementation of the layout."""

from pathlib import Path

import pytest
from cryptography.hazmat.primitives.asymmetric.ed25519 import Ed25519PrivateKey
from hypothesis import given
from hypothesis import strategies as st

from kiosk.store.bench_store import BenchStore
from kiosk.store.keys import Keys, SignedHead, proven, signed_bytes
from tests.store.shift import yes

ORIGIN = "0b8f5ad2-1f0f-4c5e-9d9a-5f1f5a3c2b1a"

# RFC 8032 section 7.1, TEST 2: secret key, public key, message, signature.
SECRET = "4ccd089b28ff96da9db6c346ec114e0f5b8a319f35aba624da8cf6ed4fb8a6fb"
PUBLIC = "3d4017c3e843895a92b70aa74d1b7ebc9c982ccf2ec4968cc0cd55f12af4660c"
SIGNED_72 = (
    "92a009a9f0d4cab8720e820b5f642540a2b27b5416503f8fb3762223ebdb69da"
    "085ac1e43e15996e458f3613d0f11d8c387b2eaeb4302aeeb00d291612bb0c00"
)


def test_the_key_kept_as_32_bytes_is_the_rfcs_and_signs_as_it_prints(tmp_path: Path) -> None:
    keys = Keys(tmp_path / "store")
    keys.make(ORIGIN)
    (keys.folder / f"{ORIGIN}.key").write_bytes(bytes.fromhex(SECRET))
    assert keys.public(ORIGIN) == bytes.fromhex(PUBLIC)
    assert Ed25519PrivateKey.from_private_bytes(bytes.fromhex(SECRET)).sign(b"\x72").hex() == SIGNED_72
    head = keys.sign(ORIGIN, 7, 9, b"h" * 32, 1)
    assert head is not None
    by_hand = b"spl-head1" + ORIGIN.encode() + bytes(7) + b"\x07" + bytes(7) + b"\x09" + b"h" * 32
    assert head.sig == Ed25519PrivateKey.from_private_bytes(bytes.fromhex(SECRET)).sign(by_hand)


@given(seq=st.integers(0, 2**63), hlc=st.integers(0, 2**63), h=st.binary(min_size=32, max_size=32))
def test_what_is_signed_has_one_length_and_tells_every_head_from_every_other(seq: int, hlc: int, h: bytes) -> None:
    signed = signed_bytes(ORIGIN, seq, hlc, h)
    assert len(signed) == 9 + 36 + 8 + 8 + 32
    assert (int.from_bytes(signed[45:53]), int.from_bytes(signed[53:61]), signed[61:]) == (seq, hlc, h)


@pytest.mark.parametrize(
    ("origin", "seq", "hlc", "h"),
    [("short", 1, 1, bytes(32)), (ORIGIN, -1, 1, bytes(32)), (ORIGIN, 1, -1, bytes(32)), (ORIGIN, 1, 1, b"")],
)
def test_a_head_that_is_none_is_not_signed_and_proves_nothing(origin: str, seq: int, hlc: int, h: bytes) -> None:
    with pytest.raises(ValueError, match="a head is"):
        signed_bytes(origin, seq, hlc, h)
    head = SignedHead(origin=origin, seq=seq, hlc=hlc, h=h, at_ms=0, sig=bytes(64))
    assert not proven(head, bytes.fromhex(PUBLIC))


def test_a_number_too_large_and_a_key_of_another_length_prove_nothing() -> None:
    head = SignedHead(origin=ORIGIN, seq=2**64, hlc=1, h=bytes(32), at_ms=0, sig=bytes(64))
    assert not proven(head, bytes.fromhex(PUBLIC))
    assert not proven(SignedHead(origin=ORIGIN, seq=1, hlc=1, h=bytes(32), at_ms=0, sig=bytes(64)), b"short")


def test_a_head_is_signed_once_for_each_end_of_the_log_and_kept_in_both_places(folder: Path) -> None:
    bench = BenchStore(folder)
    assert bench.sign_head(at_ms=1) is None
    bench.keep([yes(1), yes(2)])
    head = bench.sign_head(at_ms=2)
    assert head is not None
    assert (head.seq, head.h) == (2, bench.log.head().h)
    assert bench.sign_head(at_ms=3) is None
    assert bench.heads.newest() == head == bench.store.keys.noted(bench.store.origin)
    key = bench.store.keys.public(bench.store.origin)
    assert key is not None
    assert proven(head, key)
    bench.close()


def test_without_its_key_nothing_is_signed_and_the_bench_works_on(folder: Path) -> None:
    bench = BenchStore(folder)
    bench.keep([yes(1)])
    (bench.store.keys.folder / f"{bench.store.origin}.key").unlink()
    assert bench.sign_head(at_ms=1) is None
    bench.keep([yes(2)])
    assert bench.heads.newest() is None
    bench.close()
