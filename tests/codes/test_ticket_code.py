"""The ticket's data code: small enough, read back whole from a picture, and refused when anything is changed."""

import zlib

import base45
import pytest
from cryptography.hazmat.primitives.asymmetric.ed25519 import Ed25519PrivateKey
from cryptography.hazmat.primitives.serialization import Encoding, PublicFormat
from hypothesis import given, settings
from hypothesis import strategies as st

from kiosk.codes import ticket_code
from kiosk.codes.write import qr
from kiosk.core.place import Place
from kiosk.core.state.tickets import CardFinding, TicketCard
from tests.codes.pictures import read_back

BENCH = Ed25519PrivateKey.from_private_bytes(bytes(range(32)))
OTHER = Ed25519PrivateKey.from_private_bytes(bytes(range(1, 33)))
CODES = ("red_mark", "bone_grit", "brown_film", "wet_inside", "clear_drops")
PLACES = (Place(lumen="bore", at_mm=130), Place(lumen="irrigation", all_along=True), Place(landmark="jaw joint"))


def public(key: Ed25519PrivateKey) -> bytes:
    return key.public_key().public_bytes(Encoding.Raw, PublicFormat.Raw)


def card(findings: int = 1) -> TicketCard:
    pieces = tuple(f"T{n}#{n % 2 + 1}" for n in range(1, findings + 1))
    return TicketCard(
        number="K-10007",
        trip="1-000144",
        tray="TR-0743",
        whole_tray=findings > 1,
        pieces=pieces,
        findings=tuple(
            CardFinding(piece=piece, key="bore.swab", code=CODES[n % 5], place=PLACES[n % 3])
            for n, piece in enumerate(pieces)
        ),
        why="",
        load="W-7103",
        at_ms=1_920_000_000_000,
        marks=tuple(f"SH-{n * 7919 % 10000:04d}" for n in range(findings)),
    )


def written(told: TicketCard, key: Ed25519PrivateKey = BENCH) -> str:
    return ticket_code.write(told, public(key), key.sign)


@pytest.mark.parametrize(
    ("data", "text"), [(b"AB", b"BB8"), (b"Hello!!", b"%69 VD92EX0"), (b"base-45", b"UJCLQE7W581")]
)
def test_base45_is_that_of_rfc_9285(data: bytes, text: bytes) -> None:
    """Source: RFC 9285, section 4.3, examples 1 to 3."""
    assert base45.b45encode(data) == text
    assert base45.b45decode(text) == data


def test_the_signature_is_that_of_rfc_8032() -> None:
    """Source: RFC 8032, section 7.1, TEST 2: a message of one byte."""
    key = Ed25519PrivateKey.from_private_bytes(
        bytes.fromhex("4ccd089b28ff96da9db6c346ec114e0f5b8a319f35aba624da8cf6ed4fb8a6fb")
    )
    assert public(key).hex() == "3d4017c3e843895a92b70aa74d1b7ebc9c982ccf2ec4968cc0cd55f12af4660c"
    assert key.sign(b"\x72").hex() == (
        "92a009a9f0d4cab8720e820b5f642540a2b27b5416503f8fb3762223ebdb69da"
        "085ac1e43e15996e458f3613d0f11d8c387b2eaeb4302aeeb00d291612bb0c00"
    )


@pytest.mark.parametrize("findings", [1, 2, 10, 20])
def test_a_code_tells_what_its_ticket_tells_and_who_signed_it(findings: int) -> None:
    told = card(findings)
    assert ticket_code.read(written(told), [public(OTHER), public(BENCH)]) == ticket_code.SignedCard(
        card=told, by=public(BENCH)
    )


def test_a_code_of_a_bench_that_is_not_known_here_is_read_and_not_vouched_for() -> None:
    assert ticket_code.read(written(card()), [public(OTHER)]).by is None
    assert ticket_code.read(written(card()), []).by is None


@pytest.mark.parametrize(("findings", "version"), [(1, 12), (10, 16)])
def test_a_code_is_small_enough_for_half_millimeter_modules_on_the_label(findings: int, version: int) -> None:
    """Level Q; version 16 is 81 modules and 8 of quiet (ISO/IEC 18004), 44.5 mm at half a millimeter."""
    assert len(qr(written(card(findings)), level="Q")) <= 17 + 4 * version


@pytest.mark.parametrize("findings", [1, 10])
def test_two_readers_of_pictures_read_the_code_as_printed_at_203_dots_an_inch(findings: int) -> None:
    """Readers: zxing-cpp and zbar, at four dots a module."""
    text = written(card(findings))
    assert read_back(qr(text, level="Q"), dots=4) == {text}


@given(st.data())
def test_a_code_with_any_bit_changed_is_refused_or_not_vouched_for(data: st.DataObject) -> None:
    text = written(card(3))
    whole = bytearray(base45.b45decode(text[3:-1]))
    at = data.draw(st.integers(0, len(whole) * 8 - 1))
    whole[at // 8] ^= 1 << at % 8
    changed = _framed(bytes(whole))
    try:
        got = ticket_code.read(changed, [public(BENCH)])
    except ValueError:
        return
    assert got.by is None
    assert 8 <= at < 40  # only where it names a key that nobody has


def _framed(data: bytes) -> str:
    return f"T1:{base45.b45encode(data).decode()}:"


def _of_a_stranger(payload: bytes) -> str:
    return _framed(bytes([1]) + ticket_code.key_id(public(OTHER)) + payload + bytes(64))


@given(
    st.one_of(
        st.text(max_size=80),
        st.binary(max_size=400).map(_framed),
        st.binary(max_size=400).map(_of_a_stranger),  # reaches CBOR's own reader, with tags and lengths of any kind
    )
)
@settings(max_examples=500)
def test_no_text_does_more_than_be_refused(text: str) -> None:
    with pytest.raises(ValueError):  # noqa: PT011 - any sentence
        ticket_code.read(text, [public(BENCH)])


def test_a_small_code_that_unpacks_into_very_much_is_refused() -> None:
    pump = zlib.compressobj(9, wbits=-15)
    packed = pump.compress(bytes(400_000)) + pump.flush()
    text = _framed(bytes([129]) + ticket_code.key_id(public(OTHER)) + packed + bytes(64))
    assert len(text) < ticket_code.MOST_LETTERS
    with pytest.raises(ValueError, match="too long"):
        ticket_code.read(text, [])
