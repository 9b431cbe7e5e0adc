"""Cleaning tests: a residue measured on an instrument, held against the levels that the department set.

A result under every level says so and nothing more: it never clears a finding, and no piece goes on because of it.
The published levels are offered by their source; most are criteria for testing washing processes, not for one piece.
"""

import re
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field, replace
from decimal import Decimal
from enum import StrEnum
from types import MappingProxyType
from unicodedata import normalize

RLU = "RLU"
"""Relative light units: a scale of each meter's own. One meter's are never held against another's."""

_PER_CM2 = {normalize("NFKC", unit): Decimal(a_cm2) for unit, a_cm2 in (("µg/cm²", 1), ("µg/mm²", 100))}


MICRO = str.maketrans("\N{GREEK SMALL LETTER MU}", "\N{MICRO SIGN}")


def unit_name(unit: str) -> str:
    """A unit as it is kept: the Greek letter mu and the micro sign, which keyboards give by turns, are one."""
    return unit.translate(MICRO)


class Marker(StrEnum):
    """What is measured."""

    ATP = "atp"
    PROTEIN = "protein"
    HEMOGLOBIN = "hemoglobin"
    CARBOHYDRATE = "carbohydrate"
    ORGANIC_CARBON = "organic_carbon"
    OTHER = "other"  # named by whoever kept the result; no level speaks of it


UNITS: Mapping[Marker, tuple[str, ...]] = MappingProxyType(
    {
        Marker.ATP: (RLU, "fmol/cm²"),
        Marker.PROTEIN: ("µg/cm²", "µg/side", "µg/instrument", "µg/mm²"),
        Marker.HEMOGLOBIN: ("µg/cm²", "µg/instrument"),
        Marker.CARBOHYDRATE: ("µg/cm²", "µg/instrument"),
        Marker.ORGANIC_CARBON: ("µg/cm²", "µg/instrument"),
        Marker.OTHER: (RLU, "µg/cm²", "µg/side", "µg/instrument", "EU/instrument"),
    }
)
"""Units on offer where a result is typed, the most usual first."""

METHODS = ("swab", "flush", "extract", "direct", "other")
"""How the sample was taken: a swab; flushed through a lumen; rinsed off the whole piece; on the piece itself."""


class Grade(StrEnum):
    """Where a result lies."""

    UNDER = "under the levels"
    ALERT = "alert"
    ACTION = "action"


class LevelFault(ValueError):
    """A result that these levels do not speak of: another marker, unit or meter."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Result:
    """One test: its value and unit as read, by which method, on which meter ("" where none is used)."""

    marker: Marker
    value: Decimal
    unit: str
    method: str = ""
    meter: str = ""

    @property
    def light(self) -> bool:
        """Is it in relative light units, whose scale is the meter's own?"""
        return is_light(self.unit)


def is_light(unit: str) -> bool:
    """Is this a unit of light, however it is written?"""
    return RLU.casefold() in unit.casefold()


_PLAIN = re.compile(r"[0-9]{1,8}(\.[0-9]{1,6})?", re.ASCII)
HIGHEST = Decimal(10_000_000)
"""No meter shows so much: a larger number is a slip (a choice)."""


def plain_number(text: str) -> Decimal | None:
    """A number as it is typed, from 0 to under HIGHEST; None for anything else, NaN and powers of ten with it."""
    value = Decimal(text) if _PLAIN.fullmatch(text) else None
    return value if value is not None and value < HIGHEST else None


@dataclass(frozen=True, slots=True, kw_only=True)
class Levels:
    """Alert and action levels for a marker, and whose. `reached`: a result at a level counts; else only one above."""

    marker: Marker
    unit: str
    alert: Decimal | None
    action: Decimal | None
    source: str
    reached: bool = True
    meter: str = ""


def grade(result: Result, levels: Levels) -> Grade:
    """Where the result lies by these levels. Raises LevelFault where they do not speak of it."""
    if result.marker is not levels.marker:
        raise LevelFault(f"levels for {levels.marker} say nothing of {result.marker}")
    if not result.value.is_finite() or result.value < 0:
        raise LevelFault(f"{result.value} is no result: a number from 0 on")
    light = result.light or is_light(levels.unit)
    if (result.meter != levels.meter and (light or levels.meter)) or (light and not result.meter):
        raise LevelFault(
            f"RLU of {result.meter or 'no meter named'} are not those of {levels.meter or 'no meter named'}"
        )
    value = in_unit(result, levels.unit).value
    for at, name in ((levels.action, Grade.ACTION), (levels.alert, Grade.ALERT)):
        if at is not None and (value > at or (levels.reached and value == at)):
            return name
    return Grade.UNDER


def in_unit(result: Result, unit: str) -> Result:
    """The same result in another unit of area; nothing else is converted. Raises LevelFault.

    1 µg/mm² is 100 µg/cm². Per side, per device and per area are not turned into each other: that takes the area.
    """
    given, wanted = (normalize("NFKC", each) for each in (result.unit, unit))  # two signs are written for micro
    if given == wanted:
        return replace(result, unit=unit)
    if given not in _PER_CM2 or wanted not in _PER_CM2:
        raise LevelFault(f"{result.unit} cannot be turned into {unit}")
    return replace(result, value=result.value * _PER_CM2[given] / _PER_CM2[wanted], unit=unit)


Scale = tuple[Marker, str, str, str]
"""What results share that may stand beside each other: what is measured, the name of another thing, unit, meter."""


@dataclass(frozen=True, slots=True, kw_only=True)
class KeptTest:
    """A result that was kept, under its number; the levels as they were then (None: the department had set none).

    `what`: of another thing than the listed ones, its name. `about`: `tray=TR-1`, `item=` a mark, `load=W-1`, or
    `other=` as it was typed. `trip`: the tray's trip that was open then, or "".
    """

    number: str
    result: Result
    what: str = ""
    about: str = ""
    trip: str = ""
    at_ms: int = 0
    levels: Levels | None = None

    @property
    def grade(self) -> Grade | None:
        """Where it lay by the levels of then; None where none were set."""
        return None if self.levels is None else grade(self.result, self.levels)

    @property
    def scale(self) -> Scale:
        """The scale that it stands on. The meter is part of it only where the scale is the meter's own."""
        of = self.result
        return of.marker, self.what, normalize("NFKC", of.unit), of.meter if of.light else ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Tests:
    """What a station kept, the newest last, and what was done about a result, by its number."""

    kept: tuple[KeptTest, ...] = ()
    done: dict[str, str] = field(default_factory=dict)
    made: int = 0


def is_more(one: KeptTest, other: KeptTest) -> bool:
    """Is more residue told by the one than by the other? Raises LevelFault where they stand on different scales."""
    if one.scale != other.scale:
        told = (" ".join(filter(None, (*each.scale[:3], each.result.meter))) for each in (one, other))
        raise LevelFault("these are never compared: " + " and ".join(told))
    return one.result.value > other.result.value


def highest(tests: Iterable[KeptTest]) -> KeptTest:
    """The result with the most residue. Raises LevelFault for results of different scales, ValueError for none."""
    first, *rest = tests
    for each in rest:
        first = each if is_more(each, first) else first
    return first


def by_scale(tests: Iterable[KeptTest]) -> dict[Scale, list[KeptTest]]:
    """Results that may stand beside each other, the newest first: of light units, a meter each."""
    out: dict[Scale, list[KeptTest]] = {}
    for each in sorted(tests, key=_when, reverse=True):
        out.setdefault(each.scale, []).append(each)
    return out


def _when(test: KeptTest) -> tuple[int, str]:
    return test.at_ms, test.number


_PROCESS = "iso_15883_5"  # ISO 15883-5:2021, acceptance criteria for washing processes; read in a summary of it


def _process(marker: Marker, alert: str, action: str, unit: str = "µg/cm²") -> Levels:
    return Levels(marker=marker, unit=unit, alert=Decimal(alert), action=Decimal(action), source=_PROCESS)


PUBLISHED = (
    _process(Marker.PROTEIN, "3", "6.4"),
    _process(Marker.HEMOGLOBIN, "1.0", "2.2"),
    _process(Marker.CARBOHYDRATE, "0.9", "1.8"),
    _process(Marker.ORGANIC_CARBON, "6", "12"),
    _process(Marker.ATP, "10", "22", "fmol/cm²"),
    Levels(
        marker=Marker.PROTEIN,
        unit="µg/side",
        alert=None,
        action=Decimal(5),
        source="htm_01_01",  # United Kingdom, HTM 01-01:2016, as told in J Hosp Infect 100 (2018) e70-e76
    ),
    Levels(
        marker=Marker.PROTEIN,
        unit="µg/instrument",
        alert=Decimal(100),
        action=Decimal(200),
        reached=False,
        source="japan_2015",  # guideline for sterility assurance in healthcare settings 2015; publisher's preview
    ),
)
"""Levels that a department may take over, each by its source (words: `cleaning.source`); none counts before that.

No level in light units is among them: 100, 200, 250 and 500 are published, each of another meter.
"""
