"""Time and people as the quality desk is told of them: checks, every lumen, benches, a draft. Never by person. Pure.

Seconds are those that a question stood on the screen. Minutes a shift are those of all benches together.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date
from typing import Protocol

from kiosk.core.catalogue import Kit
from kiosk.core.policy import Policy
from kiosk.core.shift import Shifts

DAYS = 28
"""Four whole weeks, so that each day of the week counts alike."""

LEAST_DAYS = 7
"""Fewer days at one bench are the work of one or two people, and no figure here is about a person (a choice)."""

LEAST = 20
"""Of fewer timed answers, or trays, only the count is told (a choice)."""

CAP_S = 600
"""An answer that took longer was interrupted, and is counted apart (a choice)."""

WAITS_MIN = (15, 30, 60)
"""Waits of a tray that a need of benches is told for, in minutes (a choice)."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Spread:
    """Seconds of `n` timed answers."""

    n: int
    p25_s: float
    median_s: float
    p75_s: float
    p90_s: float
    mean_s: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Took:
    """How long one kind of check took. `method` empty: all of them; `type` empty: all, or the tray's own checks.

    `not_timed`: answers with no time; `interrupted`: longer than the cap. Neither is in `spread` or in the minutes.
    `spread` and `minutes_a_shift` are None where fewer than LEAST answers were timed.
    """

    method: str
    type: str
    answers: int
    not_timed: int
    interrupted: int
    spread: Spread | None
    minutes_a_shift: float | None

    @property
    def timed(self) -> int:
        """Answers with a time that counts."""
        return self.answers - self.not_timed - self.interrupted


@dataclass(frozen=True, slots=True, kw_only=True)
class Times:
    """The checks of a span, most answers first. `days`: days on which any was answered; `shifts`: shifts likewise."""

    days: int
    shifts: int
    whole: Took
    by_method: tuple[Took, ...]
    by_type: tuple[Took, ...]

    @property
    def short(self) -> bool:
        """Too few days for any figure of time?"""
        return self.days < LEAST_DAYS


@dataclass(frozen=True, slots=True, kw_only=True)
class Minutes:
    """What checks take together. `low`, `high`: every check at its 25th, its 75th percentile; `mean`: at its mean.

    `unknown`: how many checks of each method have no measured time. They are in no figure here.
    """

    low: float
    middle: float
    high: float
    mean: float
    unknown: Mapping[str, int]

    def over(self, parts: int) -> "Minutes":
        """The same for one of so many parts; nothing where there are none."""
        share = 1 / parts if parts else 0.0
        return Minutes(
            low=self.low * share,
            middle=self.middle * share,
            high=self.high * share,
            mean=self.mean * share,
            unknown=self.unknown,
        )


@dataclass(frozen=True, slots=True, kw_only=True)
class EveryLumen:
    """Minutes a shift for the checks of lumens: as the policy asks now, and with every check that can be done.

    `now_asked`, `all_asked`: answers of the whole span by method. `no_size`: pieces that wait for a lumen's size.
    """

    shifts: int
    trays: int
    lumens: int
    now: Minutes
    every: Minutes
    now_asked: Mapping[str, int]
    all_asked: Mapping[str, int]
    no_size: int


@dataclass(frozen=True, slots=True, kw_only=True)
class Hour:
    """One hour of the day. `an_hour`: trays opened in it a day; `at_work`: most benches at work in it at once.

    `benches`: the fewest that keep the wait, `load` and `wait_min` of trays with them; None for fewer than LEAST trays.
    `grows`: more comes in than the benches at work can pack.
    """

    hour: int
    trays: int
    an_hour: float
    at_work: int
    benches: int | None
    load: float | None
    wait_min: float | None
    grows: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class Need:
    """Benches by hour of the day, so that `share` of the trays waits no longer than `wait_min`.

    Minutes a tray at the bench are None for fewer than LEAST trays. `days`: those on which a tray was opened.
    """

    days: int
    wait_min: float
    share: float
    packed: int
    back: int
    left_lying: int
    not_ended: int
    median_min: float | None
    p90_min: float | None
    mean_min: float | None
    hours: tuple[Hour, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class LumenChange:
    """A lumen that a draft treats otherwise; `times`: passages of pieces. "" and 0: the same under both.

    `sight`: newly, not_more, further or less_far. `touched`, `proof`, `size`: 1 more, further or now known; -1 less.
    `held`: what holds it under the draft; `freed`: what held it, and does not under the draft.
    """

    tray: str
    item: str
    name: str
    lumen: str
    times: int
    sight: str
    touched: int
    proof: int
    size: int
    held: str
    freed: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Compared:
    """The trays of a span under the policy that holds (`now`) and under a draft (`then`).

    `minutes`: of the whole span, more under the draft, fewer below zero. `known`: trays whose own plan is in the log;
    `alike`: of those the ones that were asked just what the policy asks here. `elsewhere`: opened at other stations.
    `other`: keys that differ and that no plan rests on.
    """

    shifts: int
    trays: int
    elsewhere: int
    known: int
    alike: int
    now_asked: Mapping[str, int]
    then_asked: Mapping[str, int]
    minutes: Minutes
    now_held: int
    then_held: int
    lumens: tuple[LumenChange, ...]
    other: tuple[str, ...]

    @property
    def more(self) -> dict[str, int]:
        """Checks more under the draft by method, those that change most first; only methods that differ."""
        methods = sorted({*self.now_asked, *self.then_asked})
        both = ((method, self.then_asked.get(method, 0) - self.now_asked.get(method, 0)) for method in methods)
        return dict(sorted(((method, n) for method, n in both if n), key=lambda one: -abs(one[1])))


class Hours(Protocol):
    """What the desk can be told of time, over all stations known here. `since`, `until`: local days."""

    def times(self, since: date, until: date, shifts: Shifts) -> Times:
        """Seconds a check by method and by item type, and what all of them take a shift."""
        ...

    def every_lumen(self, since: date, until: date, policy: Policy, kit: Kit) -> EveryLumen:
        """What checking every lumen costs a shift."""
        ...

    def need(self, since: date, until: date, wait_min: float) -> Need:
        """Benches for a wanted wait in minutes."""
        ...

    def compared(self, since: date, until: date, now: Policy, then: Policy, kit: Kit) -> Compared:
        """The trays of these days planned again under both policies."""
        ...
