"""GS1 element strings, read by biip, with the guards that it lacks.

Guards, each with a case in the tests: the check digit of a GRAI (8003) and of other keys; symbols that are not GS1
(`]C0`, `]d1`); bracketed input; two separators in a row; a separator left out after a field of open length; day 00
in (7003) and other fields that need a real day; pairs that GS1 does not allow. The rule that some identifiers need a
companion (a lot without its GTIN) is not asked: it holds for all the symbols on a thing together, not for one.
"""

import calendar
import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from datetime import date, time
from typing import TYPE_CHECKING

from kiosk.codes.directory import Directory
from kiosk.codes.why import Why
from kiosk.core.meaning import Kind, Meaning

if TYPE_CHECKING:
    from biip.gs1_element_strings import GS1ElementString

GS = "\x1d"
SYMBOLOGIES = frozenset({"]C1", "]d2", "]Q3", "]e0", "]J1"})
"""Symbology identifiers (ISO/IEC 15424) that promise element strings."""
RETAIL = frozenset({"]E0", "]E4", "]I1"})
"""Symbology identifiers of EAN-13 and UPC, EAN-8, ITF-14: a bare GTIN."""

# From the GS1 Barcode Syntax Dictionary: `csum` (how many digits it covers), `ex`, and the shapes of dates.
_CHECKED = {"253": 13, "255": 13, "402": 17, "8003": 14, "8006": 14, "8017": 18, "8018": 18, "8026": 14}
_NEVER_WITH = {
    "01": {"02", "255", "37"}, "02": {"255", "8026"}, "21": {"235"}, "255": {"415", "8006", "8020", "8026"},
    "420": {"421"}, "8006": {"01", "37", "8026"}, "8017": {"8018"},
}  # fmt: skip
_MONTH_WILL_DO = {"11", "12", "13", "15", "16", "17", "4324", "4325"}  # day 00: the month's last day
_REAL_DAY = {"4326", "7003", "7006", "7007", "7011", "8008"}
_ELEMENT = re.compile(r"\((\d{2,4})\)((?:(?!\(\d{2,4}\)).)+)", re.ASCII)


class Gs1Refused(ValueError):
    """The text is no GS1 element string; the message is a sentence of `Why`."""


@dataclass(frozen=True, slots=True, kw_only=True)
class ElementStrings:
    """Application identifiers and their values, in the order of the symbol; or why there are none."""

    values: Mapping[str, str]
    why: str | None = None

    @property
    def valid(self) -> bool:
        return self.why is None

    @property
    def hri(self) -> str:
        """As printed for people: "(01)07032069804988(10)0329"."""
        return "".join(f"({ai}){value}" for ai, value in self.values.items())


def parse(text: str, *, today: date) -> ElementStrings:
    """Read element strings without their symbology identifier: as scanned (GS for FNC1), or with brackets.

    `today` sets the century of two-figure years.
    """
    try:
        return ElementStrings(values=dict(_checked(text, today)))
    except Gs1Refused as refused:
        return ElementStrings(values={}, why=str(refused))


def _checked(text: str, today: date) -> Iterator[tuple[str, str]]:
    seen: set[str] = set()
    for element in _bracketed(text) if text.startswith("(") else _scanned(text):
        ai, value = element.ai.ai, element.value
        if element.gtin_error or element.sscc_error or element.gln_error or not _check_digit_fits(ai, value):
            raise Gs1Refused(Why.GS1_CHECK.format(ai=ai))
        if ai in _MONTH_WILL_DO | _REAL_DAY and not _is_time(ai, value, today):
            raise Gs1Refused(Why.GS1_DATE.format(ai=ai))
        if ai in seen:
            raise Gs1Refused(Why.GS1_TWICE.format(ai=ai))
        for other in seen:
            if other in _NEVER_WITH.get(ai, ()) or ai in _NEVER_WITH.get(other, ()):
                raise Gs1Refused(Why.GS1_PAIR.format(ai=other, other=ai))
        seen.add(ai)
        yield ai, value


def _bracketed(text: str) -> Iterator["GS1ElementString"]:
    """Each element stands alone, so that a value too short never swallows its neighbor."""
    at = 0
    while at < len(text):
        match = _ELEMENT.match(text, at)
        if match is None:
            raise Gs1Refused(Why.GS1_BRACKETS)
        element = _extract(match[1] + match[2])
        if (element.ai.ai, element.value) != match.groups():
            raise Gs1Refused(Why.GS1_SHAPE.format(at=match[0]))
        yield element
        at = match.end()


def _scanned(text: str) -> Iterator["GS1ElementString"]:
    rest = text.removeprefix(GS)  # some scanners send the leading FNC1 too
    if not rest:
        raise Gs1Refused(Why.GS1_EMPTY)
    if GS + GS in rest:
        raise Gs1Refused(Why.GS1_SEPARATORS)
    while rest:
        element = _extract(rest)
        yield element
        at, rest = rest, rest[len(element) :]
        if rest and element.ai.separator_required and not rest.startswith(GS):
            raise Gs1Refused(Why.GS1_SHAPE.format(at=_shown(at)))
        rest = rest.removeprefix(GS)


def _extract(text: str) -> "GS1ElementString":
    """The first element string of `text`. Dates are left to us: biip takes the century from the machine's clock."""
    from biip import ParseConfig, ParseError
    from biip.gs1_element_strings import GS1ElementString

    if not re.fullmatch(r"[!-~\x1d]+", text):
        raise Gs1Refused(Why.GS1_CHARACTERS)
    try:
        return GS1ElementString.extract(text, config=ParseConfig(gs1_element_strings_verify_date=False))
    except ParseError:
        raise Gs1Refused(Why.GS1_SHAPE.format(at=_shown(text))) from None


def _shown(text: str) -> str:
    start = text.partition(GS)[0]
    return start if len(start) <= 24 else f"{start[:24]}…"


def _check_digit_fits(ai: str, value: str) -> bool:
    digits = _CHECKED.get(ai)
    if digits is None:
        return True
    from biip.checksums import gs1_standard_check_digit

    return gs1_standard_check_digit(value[: digits - 1]) == int(value[digits - 1])


def full_year(yy: int, year: int) -> int:
    """The year of a two-figure year: 49 years back to 50 years ahead of `year` (GS1 General Specifications 7.12)."""
    return year - 49 + (yy - year + 49) % 100


def day_of(yymmdd: str, today: date) -> date:
    """The day of a GS1 date; day 00 is the month's last. Raises ValueError where there is no such day."""
    year, month, day = full_year(int(yymmdd[:2]), today.year), int(yymmdd[2:4]), int(yymmdd[4:6])
    if not 1 <= month <= 12:
        raise ValueError(f"{yymmdd}: no such month")
    return date(year, month, day or calendar.monthrange(year, month)[1])


def expiry(values: Mapping[str, str], today: date) -> date | None:
    """The last day of use by (17), None where it is not said."""
    return day_of(values["17"], today) if "17" in values else None


def _is_time(ai: str, value: str, today: date) -> bool:
    days = [value[:6], *([value[6:]] if ai == "7007" and value[6:] else [])]
    clock = "" if ai == "7007" else value[6:]
    if ai in _REAL_DAY and any(day[4:] == "00" for day in days):
        return False
    try:
        for day in days:
            day_of(day, today)
        if clock:
            hour, minute, second = (int(clock[at : at + 2] or 0) for at in (0, 2, 4))
            time(hour, minute, second)
    except ValueError:
        return False
    return True


def meaning(elements: ElementStrings, raw: str, directory: Directory, symbology: str | None = None) -> Meaning:
    """What element strings name: by the directory, else 8004 and 01 with 21 are an item; anything else is unknown."""
    if elements.why is not None:
        return Meaning(kind=Kind.UNKNOWN, text=raw, symbology=symbology, valid=False, why=elements.why)
    values = elements.values
    kind, text, why = Kind.UNKNOWN, elements.hri, str(Why.UNKNOWN)
    if known := next((known for key in _keys(values) if (known := directory(key))), None):
        kind, text = known
        if kind is Kind.SWAB_LOT:
            text = values.get("10", text)
    elif "8004" in values:
        kind, text = Kind.ITEM, values["8004"]
    elif {"01", "21"} <= values.keys():
        kind, text = Kind.ITEM, f"(01){values['01']}(21){values['21']}"
    return Meaning(kind=kind, text=text, symbology=symbology, gs1=values, why=why if kind is Kind.UNKNOWN else None)


def _keys(values: Mapping[str, str]) -> Iterator[str]:
    if "8003" in values:
        grai = values["8003"]
        yield from (f"(8003){grai}", f"8003{grai}", grai, grai[1:])
    if "8004" in values:
        yield from (f"(8004){values['8004']}", f"8004{values['8004']}", values["8004"])
    if "01" in values:
        if "21" in values:
            yield f"(01){values['01']}(21){values['21']}"
        yield from (f"(01){values['01']}", values["01"])


def retail(text: str) -> ElementStrings:
    """The GTIN of an EAN-8, EAN-13, UPC or ITF-14 symbol, as (01) with fourteen digits."""
    from biip import ParseError
    from biip.gtin import Gtin

    try:
        return ElementStrings(values={"01": Gtin.parse(text).as_gtin_14()})
    except ParseError:
        return ElementStrings(values={}, why=Why.GS1_CHECK.format(ai="01"))
