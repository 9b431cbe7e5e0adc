"""Cleaning tests: a residue measured on an instrument, held against the levels that the department set.

A result under every level says so and nothing more: it never clears a finding, and no piece goes on because of it.
The published levels are offered by their source; most are criteria for testing washing processes, not for one piece.
"""

from dataclasses import dataclass, replace
from decimal import Decimal
from enum import StrEnum
from unicodedata import normalize

RLU = "RLU"
"""Relative light units: a scale of each meter's own. One meter's are never held against another's."""

_PER_CM2 = {normalize("NFKC", unit): Decimal(a_cm2) for unit, a_cm2 in (("µg/cm²", 1), ("µg/mm²", 100))}


class Marker(StrEnum):
    """What is measured."""

    PROTEIN = "protein"
    HEMOGLOBIN = "hemoglobin"
    CARBOHYDRATE = "carbohydrate"
    ORGANIC_CARBON = "total organic carbon"
    ATP = "ATP"


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


@dataclass(frozen=True, slots=True, kw_only=True)
class Levels:
    """Alert and action levels for a marker. `reached`: a result at the level counts; else only one above it."""

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
    light = any(RLU.casefold() in unit.casefold() for unit in (result.unit, levels.unit))
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


_PROCESS = "ISO 15883-5:2021, acceptance criteria for washing processes; read in a summary, not in the standard"


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
        source="United Kingdom, HTM 01-01:2016, as told in J Hosp Infect 100 (2018) e70-e76",
    ),
    Levels(
        marker=Marker.PROTEIN,
        unit="µg/instrument",
        alert=Decimal(100),
        action=Decimal(200),
        reached=False,
        source="Japan, guideline for sterility assurance in healthcare settings 2015; publisher's preview",
    ),
)
"""Levels that a department may take over, each by its source. The department's own go before them."""
