"""House codes: the short number that people say (`K-0007`) and the ten characters that a symbol carries.

The ten characters: a letter for the prefix, seven characters of number, a spare one, a check character. The check is
ISO/IEC 7064, MOD 37-2, as published: it finds every single wrong character, every swap of two neighbors and every
swap around one character. I, O and U are never used, and `*` is not a check character here: where one of these
would be due, the spare character is `A` instead of `0`, which always leads to another one.

Printed for reading, a number may carry its check too: `K-30007-X` (`K-30007-AX` where the spare is `A`). Numbers of
more than four figures are taken with it only, unless the directory knows them.

| prefix | letter | names | example |
|---|---|---|---|
| TR | T | tray | TR-0734 |
| LN | N | loaner tray | LN-0009 |
| K | K | return ticket | K-0007 |
| W | W | washer load | W-2201 |
| SC | S | scope | SC-1 |
| P | P | person | P-014 |
| SH | H | item mark | SH-0031 |
| SW | V | swab lot | SW-0012 |
| R | R | repair or quarantine tag | R-30001 |
| H | F | numbered spare form | H-118 |
| B | B | package label: bench, day, running number | B3-261117-0012 |
"""

import re
from dataclasses import dataclass
from datetime import date, timedelta

from kiosk.codes.directory import Directory, Known, nobody
from kiosk.codes.why import Why
from kiosk.core.meaning import Kind, Meaning

ALPHABET = "0123456789ABCDEFGHJKLMNPQRSTVWXYZ"
LENGTH = 10
MAX_FIGURES = 7
FIGURES_WITHOUT_CHECK = 4
"""More figures than these need the check character (rule for numbers that are typed by hand)."""

_ISO_37_2 = "0123456789ABCDEFGHIJKLMNOPQRSTUVWXYZ*"


def check_character(text: str) -> str:
    """The check character of `text` (0-9, A-Z) by ISO/IEC 7064, MOD 37-2: 0-9, A-Z or `*`."""
    total = 0
    for character in text:
        total = (total + _ISO_37_2.index(character)) * 2 % 37
    return _ISO_37_2[(1 - total) % 37]


@dataclass(frozen=True, slots=True, kw_only=True)
class Prefix:
    """A row of the table above. `figures`: how many are written at least."""

    prefix: str
    letter: str
    kind: Kind
    figures: int = 4


PREFIXES = (
    Prefix(prefix="TR", letter="T", kind=Kind.TRAY),
    Prefix(prefix="LN", letter="N", kind=Kind.TRAY),
    Prefix(prefix="K", letter="K", kind=Kind.TICKET),
    Prefix(prefix="W", letter="W", kind=Kind.LOAD),
    Prefix(prefix="SC", letter="S", kind=Kind.SCOPE, figures=1),
    Prefix(prefix="P", letter="P", kind=Kind.PERSON, figures=3),
    Prefix(prefix="SH", letter="H", kind=Kind.ITEM),
    Prefix(prefix="SW", letter="V", kind=Kind.SWAB_LOT),
    Prefix(prefix="R", letter="R", kind=Kind.LABEL),
    Prefix(prefix="H", letter="F", kind=Kind.SPARE_FORM, figures=3),
)
_BY_PREFIX = {row.prefix: row for row in PREFIXES}
_BY_LETTER = {row.letter: row for row in PREFIXES}

_TEN = re.compile(rf"(?:[{''.join(_BY_LETTER)}]\d{{7}}|B[{ALPHABET}]{{7}})[0A][{ALPHABET}]", re.ASCII)
_TAIL = rf"(?:[ -](?P<tail>A?[{ALPHABET}IO])|(?P<close>A[{ALPHABET}]|[A-HJ-NP-TV-Z]))?"  # a figure stands apart
_SHORT = re.compile(rf"(?P<prefix>{'|'.join(_BY_PREFIX)})[ -]?(?P<figures>[0-9OI]{{1,{MAX_FIGURES}}}){_TAIL}", re.ASCII)
_LABEL = re.compile(rf"B(?P<bench>\d{{1,2}})[ -](?P<day>\d{{6}})[ -](?P<running>\d{{4,5}}){_TAIL}", re.ASCII)
_ALIKE = str.maketrans("OI", "01")

_FIRST_DAY = date(2020, 1, 1)
_BENCHES, _RUNNING = len(ALPHABET), 100_000


def encode(text: str) -> str:
    """The ten characters of a short house code. Raises ValueError for a text that has none."""
    body = _body(text)
    return body + _tail(body)


def with_check(text: str) -> str:
    """A short house code with its check character, as printed for typing: K-30007 -> K-30007-X."""
    return f"{text}-{_tail(_body(text)).removeprefix('0')}"


def decode(text: str, directory: Directory = nobody) -> Meaning | None:
    """What a scanned or typed house code means; None where it has not the shape of one.

    What the directory knows by its exact text comes first. O and I are taken for the figures 0 and 1.
    """
    typed = text.strip().upper()
    known = directory(text.strip()) or directory(typed)
    if known:
        return Meaning(kind=known.kind, text=known.text)
    ten = re.sub("[ -]", "", typed)
    ten = ten[:1] + ten[1:].translate(_ALIKE)
    if _TEN.fullmatch(ten):
        if ten[8:] != _tail(ten[:8]):
            return _refused(typed, Why.CHECK)
        return _named(_short(ten[:8]), directory)
    match = _LABEL.fullmatch(typed) or _SHORT.fullmatch(typed)
    return _typed(match, typed, directory) if match else None


def _typed(match: re.Match[str], typed: str, directory: Directory) -> Meaning:
    """A short form: its check character is tested where given, and asked for where the number is long."""
    parts = match.groupdict()
    if "bench" in parts:
        short = f"B{int(parts['bench'])}-{parts['day']}-{parts['running']}"
        long = True
    else:
        row, number = _BY_PREFIX[parts["prefix"]], int(parts["figures"].translate(_ALIKE))
        short = f"{row.prefix}-{number:0{row.figures}d}"
        long = number >= 10**FIGURES_WITHOUT_CHECK
    meaning = _named(short, directory)
    tail = (parts["tail"] or parts["close"] or "").translate(_ALIKE)
    try:
        due = _tail(_body(short)).removeprefix("0")
    except ValueError:
        return _refused(typed, Why.UNKNOWN)
    if tail and tail != due:
        return _refused(typed, Why.CHECK)
    if long and not tail and not _look_up(short, directory):
        return _refused(typed, Why.CHECK_LEFT_OUT)
    return meaning


def _refused(text: str, why: Why) -> Meaning:
    return Meaning(kind=Kind.UNKNOWN, text=text, valid=False, why=why)


def _named(short: str, directory: Directory) -> Meaning:
    kind = Kind.LABEL if short[0] == "B" else _BY_PREFIX[short.partition("-")[0]].kind
    known = _look_up(short, directory) or Known(kind, short)
    return Meaning(kind=known.kind, text=known.text)


def _look_up(short: str, directory: Directory) -> Known | None:
    """Ask for the code as we write it, then with other numbers of leading zeros: the catalogue may say P-21."""
    if short[0] == "B":
        return directory(short)
    prefix, _, figures = short.partition("-")
    widths = (len(figures), *range(1, MAX_FIGURES + 1))
    names = dict.fromkeys(f"{prefix}-{int(figures):0{width}d}" for width in widths)
    return next((known for name in names if (known := directory(name))), None)


def _tail(body: str) -> str:
    """Spare and check character."""
    return next(spare + check for spare in "0A" if (check := check_character(body + spare)) in ALPHABET)


def _body(text: str) -> str:
    """Letter and seven characters of a short house code."""
    if label := re.fullmatch(r"B(\d{1,2})-(\d\d)(\d\d)(\d\d)-(\d{4,5})", text, re.ASCII):
        bench, year, month, day, running = (int(group) for group in label.groups())
        days = (date(2000 + year, month, day) - _FIRST_DAY).days
        value = (days * _BENCHES + bench) * _RUNNING + running
        if not (0 < bench < _BENCHES and 0 <= value < len(ALPHABET) ** 7):
            raise ValueError(f"{text!r}: benches 1 to 32 and days from 2020 to 2055 fit in ten characters")
        return "B" + "".join(ALPHABET[value // len(ALPHABET) ** place % len(ALPHABET)] for place in range(6, -1, -1))
    prefix, _, figures = text.partition("-")
    row = _BY_PREFIX.get(prefix)
    if row is None or not re.fullmatch(rf"\d{{1,{MAX_FIGURES}}}", figures, re.ASCII):
        raise ValueError(f"{text!r} is not a house code: known prefix, hyphen, at most {MAX_FIGURES} figures")
    if figures != f"{int(figures):0{row.figures}d}":
        raise ValueError(f"{text!r}: leading zeros would be lost, and two codes become one")
    return f"{row.letter}{int(figures):0{MAX_FIGURES}d}"


def _short(body: str) -> str:
    """The short house code of a letter and seven characters."""
    if body[0] != "B":
        row = _BY_LETTER[body[0]]
        return f"{row.prefix}-{int(body[1:]):0{row.figures}d}"
    value = 0
    for character in body[1:]:
        value = value * len(ALPHABET) + ALPHABET.index(character)
    value, running = divmod(value, _RUNNING)
    days, bench = divmod(value, _BENCHES)
    return f"B{bench}-{_FIRST_DAY + timedelta(days=days):%y%m%d}-{running:04d}"
