"""The run rules: an unusually long run on one side of the center, unusually few crossings of it.

Source: J. Anhøj and A. V. Olesen, Run charts revisited, PLoS ONE 2014 9(11): e113825. Useful observations are those
not on the center; the others neither break a run nor add to it. A run is unusually long when it holds more than
round(log2(n) + 3) of n useful observations; crossings are unusually few when they are fewer than the 5th percentile of
a binomial distribution of n - 1 tries at 0.5. The rules take each side of the center for equally likely, and the
observations for independent. The source finds about 5 false signals in 100 charts without a change.
"""

import math
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import groupby, pairwise


@dataclass(frozen=True, slots=True, kw_only=True)
class Runs:
    """What the run rules counted about `middle`.

    `long`: places, from 0, of the points that lie in runs longer than `longest_usual`; empty without such a run.
    """

    middle: float
    useful: int
    longest: int
    longest_usual: int
    crossings: int
    fewest_usual: int
    long: tuple[int, ...]

    @property
    def few(self) -> bool:
        """Whether the crossings are unusually few."""
        return self.crossings < self.fewest_usual


def longest_usual(useful: int) -> int:
    """The longest run, in points, that is still usual among `useful` observations; 0 for none."""
    return round(math.log2(useful) + 3) if useful else 0


def fewest_usual(useful: int) -> int:
    """The fewest crossings that are still usual among `useful` observations.

    The smallest k to which a binomial distribution of `useful` - 1 tries at 0.5 gives a probability of 0.05 or more,
    k and all below it together. Counted down from the middle in whole numbers, so nothing is rounded.
    """
    tries = max(useful - 1, 0)
    crossings = tries // 2
    ways = math.comb(tries, crossings)
    below = 2**tries // 2 if tries % 2 else (2**tries + ways) // 2  # up to the middle, which is half of all
    while crossings and 20 * (below - ways) >= 2**tries:
        below -= ways
        ways = ways * crossings // (tries - crossings + 1)
        crossings -= 1
    return crossings


def run_rules(values: Sequence[float], middle: float) -> Runs:
    """Count runs and crossings of `values`, in the order of time, about `middle`, in the same unit."""
    sides = [(place, value > middle) for place, value in enumerate(values) if value != middle]
    runs = [[place for place, _ in run] for _, run in groupby(sides, key=lambda side: side[1])]
    usual = longest_usual(len(sides))
    return Runs(
        middle=middle,
        useful=len(sides),
        longest=max(map(len, runs), default=0),
        longest_usual=usual,
        crossings=sum(before != after for (_, before), (_, after) in pairwise(sides)),
        fewest_usual=fewest_usual(len(sides)),
        long=tuple(place for run in runs if len(run) > usual for place in run),
    )
