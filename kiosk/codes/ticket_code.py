"""The data code of a return ticket: what the ticket tells, signed by its bench, for a QR code of capitals and figures.

    T1:  base45( header (1) | key id (4) | payload | signature (64) )  :

The header is 1, with 128 added where the payload is compressed (deflate, RFC 1951, with `_COMMON` as the dictionary
that both sides know). The payload is CBOR (RFC 8949): a list in the order of `_tree`. The signature is Ed25519
(RFC 8032) over "spl-ticket1", header, key id and payload. The key id is the start of the SHA-256 of the public key.
Base45 is RFC 9285, whose characters are those of QR's alphanumeric mode; the last colon keeps a space at the end from
being lost.
"""

import hashlib
import zlib
from collections.abc import Callable, Iterable
from dataclasses import dataclass
from typing import Any

from kiosk.core.place import Place
from kiosk.core.state.tickets import CardFinding, TicketCard

OPENING, CLOSING = "T1:", ":"
MOST_LETTERS = 2000
"""No code of ours is longer; a longer text is not looked into."""

LABEL = b"spl-ticket1"
"""What is signed begins with it: a signature over a ticket is one over nothing else."""

_HEADER, _PACKED = 1, 128
_KEY_ID, _SIGNATURE = 4, 64
_RAW = -15  # deflate (RFC 1951) without a frame of its own: the signature vouches for the bytes
_COMMON = (
    b"metal_sliver grey_smear white_deposit colored_water foreign_bit swab_left lube_pool pitting crack rust_spot "
    b"insulation_break unsure not_checked_dirty cannot_reach splash slime cement char tissue bristle fiber slow_flow "
    b"blocked wont_pass still_wet clear_drops brown_film bone_grit red_mark "
    b"insulation function look holes air water brush scope dry swab channel suction irrigation inner outer shaft jaw "
    b"bore.holes bore.air bore.water bore.light bore.dry bore.scope bore.swab lumen.light lumen.dry lumen.scope "
    b"lumen.swab SH-TR-K-W-"
)
"""Texts that often stand in a payload, the likeliest last (RFC 1950, section 2.3). Never changed: old codes need it."""

_MOST_BYTES = 8192  # of a payload, unpacked

Sign = Callable[[bytes], bytes]
"""Signs with the bench's own key: Ed25519, 64 bytes."""


@dataclass(frozen=True, slots=True, kw_only=True)
class SignedCard:
    """A card as read; `by` is the public key that it is signed with, or None where that key is not known here."""

    card: TicketCard
    by: bytes | None


def key_id(public_key: bytes) -> bytes:
    """The four bytes that name a public key in a code."""
    return hashlib.sha256(public_key).digest()[:_KEY_ID]


def write(card: TicketCard, public_key: bytes, sign: Sign) -> str:
    """The text of the code, in capitals, figures and the marks of QR's alphanumeric mode."""
    import base45
    import cbor2

    plain = cbor2.dumps(_tree(card), canonical=True)
    pump = zlib.compressobj(9, wbits=_RAW, zdict=_COMMON)
    packed = pump.compress(plain) + pump.flush()
    header, payload = (_HEADER | _PACKED, packed) if len(packed) < len(plain) else (_HEADER, plain)
    told = bytes([header]) + key_id(public_key) + payload
    return f"{OPENING}{base45.b45encode(told + sign(LABEL + told)).decode()}{CLOSING}"


def read(text: str, public_keys: Iterable[bytes]) -> SignedCard:
    """What a code tells. Raises ValueError for one that is damaged, forged or of a newer program."""
    import base45

    if not (text.startswith(OPENING) and text.endswith(CLOSING) and len(text) <= MOST_LETTERS):
        raise ValueError("not a ticket's data code")
    whole = base45.b45decode(text[len(OPENING) : -len(CLOSING)])
    told, signature = whole[:-_SIGNATURE], whole[-_SIGNATURE:]
    if len(told) <= 1 + _KEY_ID or told[0] & ~_PACKED != _HEADER:
        raise ValueError("a ticket's data code of another kind")
    named = told[1 : 1 + _KEY_ID]
    keys = [key for key in public_keys if key_id(key) == named]
    by = next((key for key in keys if _holds(key, signature, LABEL + told)), None)
    if keys and by is None:
        raise ValueError("the signature does not hold")
    return SignedCard(card=_card(_unpacked(told)), by=by)


def _holds(public_key: bytes, signature: bytes, signed: bytes) -> bool:
    from cryptography.exceptions import InvalidSignature
    from cryptography.hazmat.primitives.asymmetric.ed25519 import Ed25519PublicKey

    try:
        Ed25519PublicKey.from_public_bytes(public_key).verify(signature, signed)
    except InvalidSignature:
        return False
    return True


def _unpacked(told: bytes) -> Any:
    import cbor2

    payload = told[1 + _KEY_ID :]
    if told[0] & _PACKED:
        pump = zlib.decompressobj(wbits=_RAW, zdict=_COMMON)
        try:
            payload = pump.decompress(payload, _MOST_BYTES)
        except zlib.error as fault:
            raise ValueError("a payload that can not be unpacked") from fault
        if not pump.eof or pump.unused_data:
            raise ValueError("a payload that is too long or cut off")
    try:
        return cbor2.loads(payload)
    except (cbor2.CBORDecodeError, RecursionError) as fault:
        raise ValueError("a payload that is not CBOR") from fault


def _tree(card: TicketCard) -> list[Any]:
    pieces = list(dict.fromkeys((*card.pieces, *(found.piece for found in card.findings))))
    return [
        card.number, card.trip, card.tray, card.whole_tray, len(card.pieces), pieces,
        [_found(found, pieces) for found in card.findings], card.why, card.load, card.at_ms, card.more,
        list(card.marks),
    ]  # fmt: skip


def _found(found: CardFinding, pieces: list[str]) -> list[Any]:
    place = found.place
    out = [pieces.index(found.piece), found.key, found.code, place.lumen, place.at_mm, place.landmark, place.all_along]
    while out[-1] in ("", None, False):
        out.pop()
    return out


def _card(tree: Any) -> TicketCard:
    """The card behind a payload. Raises ValueError where a field is not of its kind."""
    kinds = (str, str, str, bool, int, list, list, str, str, int, int, list)
    if not (isinstance(tree, list) and len(tree) == len(kinds) and all(map(_is, tree, kinds))):
        raise ValueError("fields that are not a ticket's")
    number, trip, tray, whole, own, pieces, found, why, load, at_ms, more, marks = tree
    if not (all(_is(name, str) for name in (*pieces, *marks)) and 0 <= own <= len(pieces) and more >= 0):
        raise ValueError("pieces that are not a ticket's")
    return TicketCard(
        number=number,
        trip=trip,
        tray=tray,
        whole_tray=whole,
        pieces=tuple(pieces[:own]),
        findings=tuple(_finding(each, pieces) for each in found),
        why=why,
        load=load,
        at_ms=at_ms,
        more=more,
        marks=tuple(marks),
    )


def _finding(tree: Any, pieces: list[str]) -> CardFinding:
    rest: list[Any] = [None, "", "", "", None, "", False]
    if not (isinstance(tree, list) and 0 < len(tree) <= len(rest)):
        raise ValueError("a finding that is none")
    at, key, code, lumen, at_mm, landmark, along = [*tree, *rest[len(tree) :]]
    kinds = (_is(at, int), *(_is(text, str) for text in (key, code, lumen, landmark)), _is(along, bool))
    if not (all(kinds) and 0 <= at < len(pieces) and (at_mm is None or _is(at_mm, int))):
        raise ValueError("a finding that is none")
    place = Place(lumen=lumen, at_mm=at_mm, landmark=landmark, all_along=along)
    return CardFinding(piece=pieces[at], key=key, code=code, place=place)


def _is(value: Any, kind: type) -> bool:
    return isinstance(value, kind) and (kind is not int or not isinstance(value, bool))
