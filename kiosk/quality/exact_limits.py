"""Exact upper limits of counts, where so little is expected that three standard deviations are rough.

By hand: a page of the desk does not wait for scipy to load.
"""

from collections.abc import Callable, Iterator, Sequence
from itertools import count
from math import exp, lgamma, log, log1p

from kiosk.core.past.figures import Spot
from kiosk.quality.points import Chart, Signal

ENOUGH_EXPECTED = 5.0
"""Findings expected at a point from which on normal limits are no longer rough (a common rule, n p of 5 or more)."""

PAST_THREE_SIGMA = 0.00135
"""How often chance passes a limit of three standard deviations on one side, where it is normal."""


def usual_most(of: int, share: float) -> int:
    """The most findings among `of` that chance still gives oftener than it passes a three-sigma limit: exact, binomial.

    More than that come by chance less often than PAST_THREE_SIGMA.
    """
    if not 0.0 < share < 1.0:
        return of if share else 0
    return _first_past(
        exp(lgamma(of + 1) - lgamma(n + 1) - lgamma(of - n + 1) + n * log(share) + (of - n) * log1p(-share))
        for n in range(of + 1)
    )


def usual_most_counted(expected: float) -> int:
    """The same of findings without a most: exact, by the Poisson distribution, `expected` of them or none."""
    if expected <= 0:
        return 0
    return _first_past(exp(n * log(expected) - expected - lgamma(n + 1)) for n in count())


def _first_past(chances: Iterator[float]) -> int:
    """The first number above which less than PAST_THREE_SIGMA is left; the last where rounding leaves more."""
    below, last = 0.0, 0
    for n, chance in enumerate(chances):
        below, last = below + chance, n
        if 1.0 - below <= PAST_THREE_SIGMA:
            break
    return last


def judged(
    chart: Chart, samples: Sequence[tuple[str, int, int]], most_of: Callable[[int], int], *, in_time: bool
) -> tuple[tuple[Spot, ...], bool]:
    """The points of a chart, and whether their limits are exact: so where too little is expected at any of them.

    `samples`: (label, found, of). `most_of`: the most findings among so many that chance gives; it then is the upper
    limit, and none is below. Long runs count `in_time` alone.
    """
    small = chart.least is not None and chart.least < ENOUGH_EXPECTED
    most_among = {of: most_of(of) for of in {of for _, _, of in samples}} if small else {}
    spots = []
    for (label, found, of), point in zip(samples, chart.points, strict=True):
        most = most_among.get(of, 0)
        spots.append(
            Spot(
                label=label,
                found=found,
                of=of,
                lower=0.0 if small else point.lower,
                upper=most / of if small else point.upper,
                above=found > most if small else Signal.ABOVE in point.signals,
                below=not small and Signal.BELOW in point.signals,
                run=in_time and Signal.LONG_RUN in point.signals,
            )
        )
    return tuple(spots), small
