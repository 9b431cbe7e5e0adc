"""Exact upper limits of counts, where so little is expected that three standard deviations are rough.

By hand: a page of the desk does not wait for scipy to load.
"""

from collections.abc import Iterator
from itertools import count
from math import exp, lgamma, log, log1p

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
