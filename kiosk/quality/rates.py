"""A rate with its two numbers and its limits: what a count of so many among so many can be said to mean."""

import math
from dataclasses import dataclass
from statistics import NormalDist

from kiosk.core.past.figures import LARGEST

LEAST_FOR_PERCENT = 50
"""Below so many checked a count stays a count: one more or less moves a percentage by over two points (a choice)."""


Limits = tuple[float, float]


class CountFault(ValueError):
    """Numbers that are no count (fewer than none, more found than looked at), or no confidence level."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Rate:
    """`found` among `of`. `wilson`, `exact`: two-sided limits at `level`, shares of one; None without data."""

    found: int
    of: int
    level: float
    wilson: Limits | None
    exact: Limits | None

    @property
    def share(self) -> float | None:
        """Found by looked at, or None where nothing was looked at: that is no data, and not none found."""
        return self.found / self.of if self.of else None

    @property
    def percent(self) -> float | None:
        """The share as a percentage, or None where too few were looked at to say one."""
        return 100 * self.found / self.of if self.of >= LEAST_FOR_PERCENT else None


def check_level(level: float) -> None:
    """Raises CountFault for a confidence level that is not between 0 and 1."""
    if not 0 < level < 1:
        raise CountFault(f"{level} is no confidence level: between 0 and 1, 0.95 as a rule")


def rate(found: int, of: int, level: float = 0.95) -> Rate:
    """A rate with its limits at a confidence level between 0 and 1. Raises CountFault.

    Source: Wilson's score limits without continuity correction, and the exact ones of Clopper and Pearson, as in
    Newcombe, Statistics in Medicine 17 (1998) 857-872, methods 3 and 5.
    """
    if not 0 <= found <= of <= LARGEST:
        raise CountFault(f"{found} of {of} is no count: from 0 up to the number looked at, and no more than {LARGEST}")
    check_level(level)
    if not of:
        return Rate(found=found, of=of, level=level, wilson=None, exact=None)
    from scipy.stats import binomtest

    exact = binomtest(found, of).proportion_ci(level, method="exact")
    limits = float(exact.low), float(exact.high)
    return Rate(found=found, of=of, level=level, wilson=wilson(found, of, level), exact=limits)


def wilson(found: int, of: int, level: float = 0.95) -> Limits:
    """Wilson's score limits of `found` among `of`, one or more, as shares of one: a page shows them before scipy loads.

    Source: E. B. Wilson, J. American Statistical Association 22 (1927) 209-212; Newcombe 1998, method 3.
    """
    z = NormalDist().inv_cdf((1 + level) / 2)
    middle, reach = found + z * z / 2, z * math.sqrt(found * (of - found) / of + z * z / 4)
    whole = of + z * z
    return max(0.0, (middle - reach) / whole) if found else 0.0, (middle + reach) / whole if found < of else 1.0
