"""Looking again: how many pieces must be looked at once more for a sentence about all of them. Nothing here clears one.

A plan says what a sample can show of a lot, and only if the pieces are drawn at random from all of it. A piece in which
something was found is dealt with by itself, whatever the plan says of the others.
"""

from collections.abc import Callable
from dataclasses import dataclass


class SampleFault(ValueError):
    """A lot, a number or a share that no plan is made for."""


LARGEST = 10**9
"""Larger lots are none."""

MOST_ACCEPTED = 2000
"""Plans that would accept more are not searched for (a choice, for seconds)."""

_NEARLY = 1e-9
"""So large a part of a chance may be the arithmetic of the machine alone."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Plan:
    """Look at `n` pieces; the lot passes with at most `accept` wrong ones among them."""

    n: int
    accept: int


def look_again(lot: int, allow: int, confidence: float) -> int:
    """The fewest pieces of a lot to look at so that none wrong among them means at most `allow` wrong in all of it.

    Were there one more than allowed, a sample of this size would show none of them with a chance of at most
    1 - `confidence`: the hypergeometric rule of acceptance on none. Raises SampleFault.
    """
    if not 1 <= lot <= LARGEST or not 0 <= allow <= lot:
        raise SampleFault(
            f"{allow} wrong among {lot} is no lot: 1 to {LARGEST} pieces, and no more wrong than there are"
        )
    if not 0 < confidence < 1:
        raise SampleFault(f"{confidence} is no confidence: between 0 and 1, 0.95 as a rule")
    if allow == lot:
        return 0
    low, high = 1, lot - allow  # so many show one for certain
    while low < high:
        middle = (low + high) // 2
        if passes_of(lot, allow + 1, middle, 0) <= (1 - confidence) * (1 + _NEARLY):
            high = middle
        else:
            low = middle + 1
    return low


def smallest_plan(
    good: float, bad: float, *, producer: float = 0.05, consumer: float = 0.10, lot: int | None = None
) -> Plan:
    """The single plan with the fewest pieces that seldom fails what is good and seldom passes what is bad.

    `good` (AQL) and `bad` (LTPD) are shares of pieces wrong, 0 to 1. A lot as good as the one fails with a chance of at
    most `producer`, one as bad as the other passes with one of at most `consumer`. In a lot of known size the shares
    are whole pieces, good rounded down and bad up, and the chances hypergeometric; without one, binomial. Of plans with
    as few pieces the one that accepts fewest. Raises SampleFault.
    """
    if not 0 < good < bad < 1 or not 0 < producer < 1 or not 0 < consumer < 1:
        raise SampleFault(
            f"good {good} and bad {bad} with risks {producer} and {consumer} are no plan: "
            "shares between 0 and 1, good under bad, risks between 0 and 1"
        )
    if lot is None:
        return _smallest(LARGEST, producer, consumer, lambda n, c: passes(good, n, c), lambda n, c: passes(bad, n, c))
    if not 1 <= lot <= LARGEST:
        raise SampleFault(f"{lot} pieces are no lot: 1 to {LARGEST}")
    from math import ceil, floor

    few, many = floor(lot * good * (1 + _NEARLY)), ceil(lot * bad * (1 - _NEARLY))
    if few >= many:
        raise SampleFault(f"{good} and {bad} are the same number of pieces in a lot of {lot}: look at all of it")
    return _smallest(
        lot, producer, consumer, lambda n, c: passes_of(lot, few, n, c), lambda n, c: passes_of(lot, many, n, c)
    )


def _smallest(
    most: int,
    producer: float,
    consumer: float,
    good: Callable[[int, int], float],
    bad: Callable[[int, int], float],
) -> Plan:
    """For each number accepted the fewest pieces that the bad seldom pass; the first with which the good mostly pass.

    With more accepted the fewest pieces are no fewer, so the first that does is the smallest.
    """
    accept, n = 0, 1
    while accept <= MOST_ACCEPTED:
        low = high = n
        while high < most and bad(high, accept) > consumer * (1 + _NEARLY):
            low, high = high + 1, min(2 * high, most)
        while low < high:
            middle = (low + high) // 2
            if bad(middle, accept) <= consumer * (1 + _NEARLY):
                high = middle
            else:
                low = middle + 1
        n = low
        if bad(n, accept) > consumer * (1 + _NEARLY):
            break
        if good(n, accept) >= (1 - producer) * (1 - _NEARLY):
            return Plan(n=n, accept=accept)
        accept += 1
    raise SampleFault(f"good and bad are too near each other, or too rare: no plan of {most} pieces or fewer is found")


def passes_of(lot: int, wrong: int, n: int, accept: int) -> float:
    """The chance that a lot with so many wrong pieces passes a plan, drawn without putting back (hypergeometric)."""
    if not 0 <= wrong <= lot or not 0 <= n <= lot or accept < 0:
        raise SampleFault(f"{n} pieces cannot be drawn from {lot} with {wrong} wrong ones")
    from scipy.stats import hypergeom

    return float(hypergeom.cdf(accept, lot, wrong, n))


def passes(share_wrong: float, n: int, accept: int) -> float:
    """The chance that a plan passes a long run of pieces of which this share is wrong (binomial)."""
    if not 0 <= share_wrong <= 1 or n < 0 or accept < 0:
        raise SampleFault(f"{share_wrong} is no share, or {n} and {accept} are no plan")
    from scipy.stats import binom

    return float(binom.cdf(accept, n, share_wrong))


def none_wrong_of(confidence: float, share_right: float) -> int:
    """How many without a single failure show that at least this share is right, in a long run (success run)."""
    if not 0 < confidence < 1 or not 0 < share_right < 1:
        raise SampleFault("confidence and share lie between 0 and 1")
    from math import ceil, log

    return ceil(log(1 - confidence) / log(share_right) * (1 - _NEARLY))
