"""What the quality desk asks of the past, and what it is told: samples with limits, bars, marks along a lumen. Pure.

A lumen counts once, where it was first looked at; it counts as not clear where a finding of soil, foreign matter, wet,
blocked or damage stands on it. Of methods, scopes and swab lots the answers count: NO of all given. Never by person.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from enum import StrEnum
from typing import Protocol

from kiosk.core.shift import Shifts

GROUPS = ("soil", "foreign", "wet", "blocked", "damage")
"""Finding groups that make a lumen not clear."""

FEW = 50
"""Under so many looked at a sample is told as a count and never as a percentage (a choice, see kiosk.quality.rates)."""


EVEN = 0.25
"""So far from their mean days may lie in what was looked at to be alike: a common rule of control charts with unequal
samples (from memory)."""


class By(StrEnum):
    """What one point of a chart stands for."""

    DAY = "day"
    SHIFT = "shift"
    LOAD = "load"
    TYPE = "type"
    METHOD = "method"
    SCOPE = "scope"
    LOT = "lot"
    BETWEEN = "between"  # lumens looked at between one find and the next
    PER_LUMEN = "per_lumen"  # findings a lumen, each day: a lumen may bear several
    PER_TRAY = "per_tray"  # findings a tray, each day
    A_DAY = "a_day"  # findings, each day
    AVERAGE = "average"  # running average of the days (EWMA)
    SUMS = "sums"  # running sums of the days (CUSUM)


OF_FINDINGS = frozenset({By.PER_LUMEN, By.PER_TRAY, By.A_DAY})
"""What is counted in findings, each day."""

REMEMBERING = frozenset({By.AVERAGE, By.SUMS})
"""Each point carries the days before it; in standard deviations from the day's usual share."""

IN_TIME = frozenset({By.DAY, By.SHIFT, By.BETWEEN}) | OF_FINDINGS | REMEMBERING
"""Points in the order of time."""

UNIT_IS_ONE = frozenset({By.BETWEEN, By.A_DAY})
"""A point is a plain number, and its `of` is 1."""

OF_ANSWERS = frozenset({By.METHOD, By.SCOPE, By.LOT})
"""What is counted in answers, not in lumens."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Asked:
    """A question for a chart: by what, of which finding group and item type ("" every), over which local days."""

    by: By
    since: date
    until: date
    group: str = ""
    type: str = ""

    @property
    def about(self) -> str:
        """What a baseline belongs to: the same counting, whichever days are shown."""
        return f"{self.by}/{self.group}/{self.type}"

    @property
    def held_against(self) -> str:
        """The counting whose baseline holds here: running averages and sums are of the days, and use theirs."""
        return f"{By.DAY if self.by in REMEMBERING else self.by}/{self.group}/{self.type}"


WITH_BASELINE = frozenset({By.DAY, By.SHIFT}) | OF_FINDINGS
"""Charts for which a supervisor may fix what is usual."""

LARGEST = 10**12
"""More can not be counted: a larger number, heard from another log, is none (our choice)."""

LEAST_FOR_BASELINE = 20
"""Points from which a baseline may be fixed, else its limits are loose (20 to 25: common practice, no source)."""


def asked_of(about: str, since: date, until: date) -> Asked:
    """The question of a counting (`Asked.about`) over these days. Raises ValueError."""
    by, group, type_ = about.split("/", 2)
    return Asked(by=By(by), group=group, type=type_, since=since, until=until)


def printed_about(asked: Asked) -> str:
    """What the paper of a chart is about: its counting and its very days, so that a copy shows the same."""
    return f"{asked.about}/{asked.since}/{asked.until}"


def asked_in_print(about: str) -> Asked:
    """The question of a chart's paper (`printed_about`). Raises ValueError."""
    counting, since, until = about.rsplit("/", 2)
    return asked_of(counting, date.fromisoformat(since), date.fromisoformat(until))


def chart_subject(asked: Asked) -> str:
    """What the page of this chart is called: its days, then what it counts."""
    return f"{(asked.until - asked.since).days + 1}/{asked.about}"


@dataclass(frozen=True, slots=True, kw_only=True)
class Baseline:
    """What is usual, as a supervisor fixed it: `found` of `of`, counted over these days.

    Of findings `of` are lumens, trays or days, and `found` may be more.
    """

    since: date
    until: date
    found: int
    of: int


@dataclass(frozen=True, slots=True, kw_only=True)
class Spot:
    """One point: `found` among `of`, the usual limits as shares from 0 to 1, and what stands out about it.

    Of lumens between finds `found` is their number, `of` is 1, and the limits are in lumens. Of findings `found` is
    their number, `of` the lumens or trays of the day (1: the day itself), and the limits are findings a unit. `value`
    and the limits of a running average, or of the upper of two running sums, are in standard deviations; `second`: the
    lower sum, not above 0; `since`: where the sum that signals began to grow.
    """

    label: str
    found: int
    of: int
    lower: float
    upper: float
    above: bool = False
    below: bool = False
    run: bool = False
    value: float | None = None
    second: float | None = None
    since: str = ""

    @property
    def out(self) -> bool:
        """Does it stand out in any way?"""
        return self.above or self.below or self.run


@dataclass(frozen=True, slots=True, kw_only=True)
class Figures:
    """A chart. `center`: the usual share, or the usual lumens between finds; `few`: too few crossings of it;
    `counts`: samples too small for percentages.

    `small`: so little is expected at a point that the limits are exact ones,
    binomial (of findings: Poisson), and not three sigma; of running averages and sums, that they are rough.
    `fixed`: the baseline, if one holds. `flat`: what is usual is none or all, which has no spread to measure by.
    `looked`: lumens of each day, where findings a day are counted. `tuned`: weight and limit of a running average,
    slack and decision limit of running sums, the last three in standard deviations.
    """

    asked: Asked
    spots: tuple[Spot, ...]
    center: float
    few: bool = False
    counts: bool = False
    small: bool = False
    fixed: Baseline | None = None
    flat: bool = False
    looked: tuple[int, ...] = ()
    tuned: tuple[float, float] = (0.0, 0.0)

    @property
    def uneven(self) -> bool:
        """Did the days differ so much in what was looked at that findings a day mislead?"""
        mean = sum(self.looked) / max(1, len(self.looked))
        return any(abs(each - mean) > EVEN * mean for each in self.looked)

    @property
    def found(self) -> int:
        """All findings of the chart."""
        return sum(spot.found for spot in self.spots)

    @property
    def of(self) -> int:
        """All that was looked at."""
        return sum(spot.of for spot in self.spots)


@dataclass(frozen=True, slots=True, kw_only=True)
class Bar:
    """One bar: a finding code or an item type, and how many."""

    what: str
    n: int


@dataclass(frozen=True, slots=True, kw_only=True)
class Marks:
    """Where findings lay: shares of the length from ENTRY, and how many had no place or no known length."""

    shares: tuple[float, ...]
    unplaced: int


class Numbers(Protocol):
    """What the quality desk can be told of the past, over all stations known here."""

    def figures(self, asked: Asked, shifts: Shifts, baseline: Baseline | None = None) -> Figures:
        """The samples of a chart with their limits; no samples where nothing was looked at."""
        ...

    def limits(self, found: int, of: int) -> tuple[float, float]:
        """Between which shares the true one lies with 95 % confidence (Wilson)."""
        ...

    def look_again(self, lot: int, allow: int) -> int:
        """How many of a lot to look at so that none wrong among them means at most `allow` wrong, 95 % confidence."""
        ...

    def trips(self, asked: Asked, label: str, shifts: Shifts) -> Sequence[tuple[str, int]]:
        """The trips behind a point, those with findings first: (trip, findings)."""
        ...

    def codes(self, since: date, until: date, type_: str = "") -> Sequence[Bar]:
        """Findings that stand, by code, most first."""
        ...

    def types(self, since: date, until: date) -> Sequence[Bar]:
        """Findings that stand, by item type, most first."""
        ...

    def marks(self, since: date, until: date, type_: str = "") -> Marks:
        """Where findings lay along their lumens."""
        ...
