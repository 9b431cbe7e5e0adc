"""Krippendorff's alpha of any number of readers, readings missing or not, and its limits by resampling."""

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass, replace
from fractions import Fraction
from itertools import accumulate
from typing import TYPE_CHECKING

from kiosk.quality.picture_set import PictureSet, total_of
from kiosk.quality.rates import check_level

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

    Floats = NDArray[np.float64]


_AT_ONCE = 2_000_000
"""Numbers held at once while resampling: about 16 MB for each table. A choice."""


@dataclass(frozen=True, slots=True, kw_only=True)
class AlphaLimits:
    """Limits of alpha by resampling; None where they would say nothing. `undefined` resamples had no alpha."""

    limits: tuple[float, float] | None
    level: float
    resamples: int
    undefined: int
    seed: int

    @property
    def too_many_undefined(self) -> bool:
        """More resamples have no alpha than the limits leave outside."""
        return self.undefined > (1 - self.level) * self.resamples


def krippendorffs_alpha(pictures: PictureSet, *, order: Sequence[str] | None = None) -> float | None:
    """Krippendorff's alpha (2011), nominal; with `order` (the answers from least to most) ordinal.

    Readings may be missing; a picture read once tells nothing and is left out. None where no picture was read twice,
    and where one answer was given throughout. Raises ValueError for a reading that is not in `order`.

    alpha = 1 - observed / expected. For readings that lie together, the differences of all ordered pairs are summed
    and divided by the number of readings less one. Observed: within each picture, summed. Expected: all in one heap.
    """
    counts = _compared(pictures)
    answers = _answers(counts, order)
    total = total_of(counts)
    steps = _steps([total[answer] for answer in answers]) if order is not None else None
    heap = _differences([total[answer] for answer in answers], steps)
    if not heap:
        return None
    within = sum(
        Fraction(_differences([count[answer] for answer in answers], steps), count.total() - 1) for count in counts
    )
    return float(1 - within / Fraction(heap, total.total() - 1))


def alpha_limits(
    pictures: PictureSet,
    *,
    order: Sequence[str] | None = None,
    level: float = 0.95,
    resamples: int = 2000,
    seed: int = 1,
) -> AlphaLimits:
    """Percentile bootstrap limits of alpha: the pictures read at least twice are drawn anew, with replacement.

    The order of pictures and of readers does not change them; other names of the answers only change what is drawn.
    A resample in which all answers are one has no alpha and is left out. No limits are given where more than
    1 - `level` of the resamples have none, and where all resamples give one figure: a set read alike throughout would
    have limits of no width, and they would claim what was not seen.

    On few pictures with a rare answer they hold the true figure less often than they say; the tests measure it.
    Raises ValueError for a level outside 0 to 1, or no resamples.
    """
    import numpy as np

    check_level(level)
    if resamples < 1:
        raise ValueError("at least one resample")
    counts = _compared(pictures)
    answers = _answers(counts, order)
    if len(total_of(counts)) < 2:
        return AlphaLimits(limits=None, level=level, resamples=resamples, undefined=resamples, seed=seed)
    table = np.array(sorted([count[answer] for answer in answers] for count in counts), dtype=np.float64)
    number, chance, alphas = len(counts), np.random.default_rng(seed), []
    at_once = max(1, _AT_ONCE // max(table.shape))
    for first in range(0, resamples, at_once):
        drawn = chance.integers(0, number, (min(at_once, resamples - first), number))
        times = np.zeros(drawn.shape)
        np.add.at(times, (np.arange(len(drawn))[:, None], drawn), 1)
        alphas.append(_alphas(table, times, ordinal=order is not None))
    every = np.concatenate(alphas)
    known = every[~np.isnan(every)]
    undefined = resamples - len(known)
    none = AlphaLimits(limits=None, level=level, resamples=resamples, undefined=undefined, seed=seed)
    if none.too_many_undefined:
        return none
    low, high = (float(edge) for edge in np.quantile(known, [(1 - level) / 2, (1 + level) / 2]))
    return replace(none, limits=(low, high)) if high - low > 1e-12 else none


def _compared(pictures: PictureSet) -> list[Counter[str]]:
    return [count for count in pictures.counts() if count.total() > 1]


def _answers(counts: Sequence[Counter[str]], order: Sequence[str] | None) -> list[str]:
    """The answers that were given, in their order."""
    given = total_of(counts)
    if order is None:
        return sorted(given)
    if given.keys() - set(order) or len(set(order)) < len(order):
        raise ValueError("the order names every answer once")
    return [answer for answer in order if answer in given]


def _steps(totals: Sequence[int]) -> list[int]:
    """Twice the mean rank of each answer: two answers are as far apart as readings lie between their middles."""
    return [2 * up_to - own for up_to, own in zip(accumulate(totals), totals, strict=True)]


def _differences(count: Sequence[int], steps: Sequence[int] | None) -> int:
    """Over all ordered pairs of readings: how many differ; with steps, their squared distances."""
    n = sum(count)
    if steps is None:
        return n * n - sum(times * times for times in count)
    mean = sum(times * step for times, step in zip(count, steps, strict=True))
    return 2 * (n * sum(times * step**2 for times, step in zip(count, steps, strict=True)) - mean**2)


def _alphas(table: "Floats", times: "Floats", *, ordinal: bool) -> "Floats":
    """The alpha of each resample, NaN where it has none. The formula is that of `krippendorffs_alpha`.

    `table`: pictures by answers, how often each was given; `times`: resamples by pictures, how often each was drawn.
    """
    import numpy as np

    each = table.sum(axis=1)
    totals = times @ table
    n = totals.sum(axis=1)
    if ordinal:
        # Mean ranks less their mean, which is half of n: what is not squared then falls out of the heap's sum.
        steps = totals.cumsum(axis=1) - (totals + n[:, None]) / 2
        heap = 2 * n * (totals * steps**2).sum(axis=1)
        squares = ((times * (each / (each - 1))) @ table * steps**2).sum(axis=1)
        within = 2 * (squares - (times / (each - 1) * (steps @ table.T) ** 2).sum(axis=1))
    else:
        heap = n**2 - (totals**2).sum(axis=1)
        within = times @ ((each**2 - (table**2).sum(axis=1)) / (each - 1))
    alphas = np.full(len(times), np.nan)
    np.divide(within * (n - 1), heap, out=alphas, where=heap > 0)
    found: Floats = 1 - alphas
    return found
