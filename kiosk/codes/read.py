"""The one door: what a scanned text, or a picture with codes in it, means."""

import re
from collections.abc import Iterable
from dataclasses import replace
from datetime import date, datetime
from pathlib import Path
from typing import TYPE_CHECKING

from kiosk.codes import gs1, house, ticket_code
from kiosk.codes.directory import Directory, nobody
from kiosk.codes.why import Why
from kiosk.core.meaning import Kind, Meaning

if TYPE_CHECKING:
    from PIL.Image import Image

TURNS = (0, 30, 60, 15, 45, 75)
"""Degrees a picture is turned by until a reader finds a code: neither reads a Code 128 turned by more than about 12.
Both read it turned by a further quarter, so that these cover the circle."""

_SYMBOLOGY = re.compile(r"\][A-Za-z][0-9A-Za-z]", re.ASCII)
_LIKE_GS1 = re.compile(r"\(|.*\x1d|(01\d|00\d|800[34])\S{13}", re.ASCII)
_ZBAR = {"CODE128": None, "QRCODE": None, "CODE39": None, "EAN13": "]E0", "EAN8": "]E4"}


def read_text(
    raw: str,
    directory: Directory = nobody,
    *,
    today: date | None = None,
    fnc1: Iterable[str] = (),
    ticket_keys: Iterable[bytes] = (),
) -> Meaning:
    """What a scanned or typed text means. Never raises; a text nobody knows is of kind unknown and says why.

    `fnc1`: what this scanner is set to send in place of FNC1, besides GS (ASCII 29). `today`: default the clock's.
    `ticket_keys`: public keys of the benches whose tickets are vouched for.
    """
    text = raw.strip(" \t\r\n")
    symbology = match[0] if (match := _SYMBOLOGY.match(text)) else None
    text = text[len(symbology or "") :]
    if text.startswith(ticket_code.OPENING):
        return replace(_ticket(text, ticket_keys), symbology=symbology)
    today = today or datetime.now().astimezone().date()
    if symbology in gs1.SYMBOLOGIES:
        text = _with_separators(text, fnc1)
        return gs1.meaning(gs1.parse(text, today=today), _printable(text), directory, symbology)
    if not text:
        return Meaning(kind=Kind.UNKNOWN, text="", symbology=symbology, valid=False, why=Why.EMPTY)
    if symbology in gs1.RETAIL:
        return gs1.meaning(gs1.retail(text), _printable(text), directory, symbology)
    if meaning := house.decode(text, directory):
        return replace(meaning, text=_printable(meaning.text), symbology=symbology)
    separated = _with_separators(text, fnc1)
    if symbology is None and _LIKE_GS1.match(separated):
        return gs1.meaning(gs1.parse(separated, today=today), _printable(separated), directory)
    return Meaning(kind=Kind.UNKNOWN, text=_printable(text), symbology=symbology, why=Why.UNKNOWN)


def _ticket(text: str, public_keys: Iterable[bytes]) -> Meaning:
    try:
        signed = ticket_code.read(text, public_keys)
    except ValueError:
        return Meaning(kind=Kind.UNKNOWN, text=ticket_code.OPENING, valid=False, why=Why.TICKET)
    vouched = signed.by is not None
    return Meaning(kind=Kind.TICKET, text=signed.card.number, card=signed.card, code=text, vouched=vouched)


def _with_separators(text: str, fnc1: Iterable[str]) -> str:
    for stand_in in fnc1:
        text = text.replace(stand_in, gs1.GS)
    return text


def _printable(text: str) -> str:
    return "".join(c for c in text.replace(gs1.GS, "<GS>") if c.isprintable())


def read_image(
    source: "Path | str | Image", directory: Directory = nobody, *, today: date | None = None
) -> list[Meaning]:
    """What every code in a picture means, each once. Raises OSError where the file is no picture."""
    from PIL import Image, ImageOps

    if isinstance(source, str | Path):
        with Image.open(source) as opened:
            picture = ImageOps.exif_transpose(opened).convert("L")
    else:
        picture = source.convert("L")
    for turn in TURNS:
        turned = picture.rotate(turn, Image.Resampling.BICUBIC, expand=True, fillcolor=255) if turn else picture
        if found := _codes(turned):
            return [read_text((symbology or "") + text, directory, today=today) for text, symbology in found.items()]
    return []


def texts_in(picture: "Image", *, turn: int = 0) -> tuple[str, ...]:
    """What a scanner would type of every code in a picture turned by `TURNS[turn]` degrees: symbology, then text.

    One turn a call: of a live picture each frame is read at the next one.
    """
    degrees = TURNS[turn % len(TURNS)]
    gray = picture.convert("L")
    turned = gray.rotate(degrees, expand=True, fillcolor=255) if degrees else gray
    return tuple((symbology or "") + text for text, symbology in _codes(turned).items())


def _codes(picture: "Image") -> dict[str, str | None]:
    """Text and symbology identifier of each code: by zxing; where it sees none, by zbar."""
    import zxingcpp

    found: dict[str, str | None] = {}
    for barcode in zxingcpp.read_barcodes(picture):
        text = barcode.bytes.decode("utf-8", "replace")  # .text shows GS as "<GS>"
        found[text] = barcode.symbology_identifier
    if found:
        return found
    try:
        from pyzbar import pyzbar
    except ImportError:  # the system's libzbar is missing
        return found
    for code in pyzbar.decode(picture, symbols=[pyzbar.ZBarSymbol[name] for name in _ZBAR]):
        found[code.data.decode("utf-8", "replace")] = _ZBAR[code.type]
    return found
