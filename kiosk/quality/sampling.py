"""Looking again: how many pieces must be looked at once more for a sentence about all of them. Nothing here clears one.

A plan says what a sample can show of a lot, and only if the pieces are drawn at random from all of it. A piece in which
something was found is dealt with by itself, whatever the plan says of the others.
"""

from dataclasses import dataclass


class SampleFault(ValueError):
    """A lot, a number or a share that no plan is made for."""


LARGEST = 10**9
"""Larger lots are none."""

_NEARLY = 1e-9
"""So large a part of a chance may be the arithmetic of the machine alone."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Plan:
    """Look at `n` pieces; the lot passes with at most `accept` wrong ones among them. Source: see `sampling_tables`."""

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
