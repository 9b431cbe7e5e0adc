"""Do the readers of one set of pictures answer alike? Figures of the group; there is none of a single reader.

A figure that is not defined is None, never 0 or 1. Agreement is not correctness: all readers can be wrong together.
"""

import math
from collections import Counter
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction
from itertools import accumulate
from statistics import NormalDist
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

    Floats = NDArray[np.float64]

_AT_ONCE = 2_000_000
"""Numbers held at once while resampling: about 16 MB for each table. A choice."""


@dataclass(frozen=True, slots=True, kw_only=True)
class PictureSet:
    """What was answered: a row for each picture, a place in it for each reader, None where one did not read it.

    Readers have places and no names. Raises ValueError where rows and pictures do not match, or a picture stands twice.
    """

    pictures: tuple[str, ...]
    rows: tuple[tuple[str | None, ...], ...]

    def __post_init__(self) -> None:
        if len(self.pictures) != len(self.rows) or len({len(row) for row in self.rows}) > 1:
            raise ValueError("a row for each picture, and all rows of one length")
        if len(set(self.pictures)) < len(self.pictures):
            raise ValueError("a picture stands twice")

    @property
    def readers(self) -> int:
        """How many readers read at least one picture."""
        return len(self.columns())

    def columns(self) -> list[tuple[str | None, ...]]:
        """The readings by place, without places that hold none."""
        return [column for column in zip(*self.rows, strict=True) if any(reading is not None for reading in column)]

    def counts(self) -> list[Counter[str]]:
        """For each picture how often each answer was given."""
        return [Counter(reading for reading in row if reading is not None) for row in self.rows]


@dataclass(frozen=True, slots=True, kw_only=True)
class PairShare:
    """Of all pairs of readings of one picture, how many say the same."""

    agreeing: int
    pairs: int

    @property
    def percent(self) -> float:
        """0 to 100."""
        return 100 * self.agreeing / self.pairs


@dataclass(frozen=True, slots=True, kw_only=True)
class CohensKappa:
    """Kappa of two readers (-1 to 1), from `pictures` that both read.

    `limits` is None where the standard error is 0, as where all was read alike: no width would claim to be sure.
    `z` is kappa over its standard error if the two answered independently; None where that error is 0.
    """

    kappa: float
    standard_error: float
    limits: tuple[float, float] | None
    z: float | None
    pictures: int


@dataclass(frozen=True, slots=True, kw_only=True)
class FleissKappa:
    """Kappa of any number of readers, and kappa over its standard error if all answered independently."""

    kappa: float
    z: float | None


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


@dataclass(frozen=True, slots=True, kw_only=True)
class Split:
    """A picture that was not read alike: how often each answer was given (the most frequent first), not by whom."""

    picture: str
    answers: Mapping[str, int]
    share: PairShare


@dataclass(frozen=True, slots=True, kw_only=True)
class Agreement:
    """All figures of one set. `compared`: pictures read at least twice; `even`: all were read equally often."""

    pictures: int
    readers: int
    compared: int
    even: bool
    share: PairShare | None
    cohen: CohensKappa | None
    fleiss: FleissKappa | None
    alpha: float | None
    limits: AlphaLimits
    split: tuple[Split, ...]


def agreement_of(
    pictures: PictureSet,
    *,
    order: Sequence[str] | None = None,
    level: float = 0.95,
    resamples: int = 2000,
    seed: int = 1,
) -> Agreement:
    """Every figure of a set. `order`: the answers from least to most, where they are steps; then alpha is ordinal."""
    counts = pictures.counts()
    return Agreement(
        pictures=len(counts),
        readers=pictures.readers,
        compared=sum(count.total() > 1 for count in counts),
        even=len({count.total() for count in counts}) == 1,
        share=percent_agreement(pictures),
        cohen=cohens_kappa(pictures, level=level),
        fleiss=fleiss_kappa(pictures),
        alpha=krippendorffs_alpha(pictures, order=order),
        limits=alpha_limits(pictures, order=order, level=level, resamples=resamples, seed=seed),
        split=split_pictures(pictures),
    )


def percent_agreement(pictures: PictureSet) -> PairShare | None:
    """Pairs of readings of one picture that say the same, of all such pairs. None where no picture was read twice.

    With two readers: the share of pictures read alike. With every picture read equally often: the mean observed
    agreement of Fleiss (1971).
    """
    shares = [_pairs(count) for count in pictures.counts()]
    pairs = sum(share.pairs for share in shares)
    return PairShare(agreeing=sum(share.agreeing for share in shares), pairs=pairs) if pairs else None


def split_pictures(pictures: PictureSet) -> tuple[Split, ...]:
    """The pictures that were not read alike, those with the fewest agreeing pairs first: what to look at together."""
    found = [
        Split(picture=name, answers=dict(sorted(count.items(), key=lambda one: (-one[1], one[0]))), share=_pairs(count))
        for name, count in zip(pictures.pictures, pictures.counts(), strict=True)
        if len(count) > 1
    ]
    return tuple(sorted(found, key=lambda one: one.share.percent))


def _pairs(count: Counter[str]) -> PairShare:
    return PairShare(agreeing=sum(math.comb(n, 2) for n in count.values()), pairs=math.comb(count.total(), 2))


def cohens_kappa(pictures: PictureSet, *, level: float = 0.95) -> CohensKappa | None:
    """Cohen's kappa (1960) over the pictures that both read; every difference counts alike.

    None unless there are exactly two readers, where they read no picture in common, and where both gave one and the
    same answer throughout (0/0). Standard errors: Fleiss, Cohen and Everitt (1969). Limits: kappa -/+ z times its
    standard error, cut at -1 and 1.
    """
    _check_level(level)
    columns = pictures.columns()
    if len(columns) != 2:
        return None
    cells = Counter((a, b) for a, b in zip(*columns, strict=True) if a is not None and b is not None)
    n = cells.total()
    rows, cols = Counter[str](), Counter[str]()
    for (a, b), times in cells.items():
        rows[a] += times
        cols[b] += times
    by_chance = sum(rows[answer] * cols[answer] for answer in rows)
    if by_chance == n * n:  # also with n = 0
        return None
    row = {answer: Fraction(times, n) for answer, times in rows.items()}
    col = {answer: Fraction(times, n) for answer, times in cols.items()}
    both = row.keys() & col.keys()
    expected = Fraction(by_chance, n * n)
    observed = Fraction(sum(times for (a, b), times in cells.items() if a == b), n)
    kappa = (observed - expected) / (1 - expected)
    left = 1 - kappa
    spread = -((kappa - expected * left) ** 2)
    for (a, b), times in cells.items():
        met = col.get(a, 0) + row.get(b, 0)
        spread += Fraction(times, n) * ((1 - met * left) if a == b else met * left) ** 2
    chance_spread = expected + expected**2 - sum(row[a] * col[a] * (row[a] + col[a]) for a in both)
    scale = (1 - expected) ** 2 * n
    error = math.sqrt(spread / scale)
    reach = NormalDist().inv_cdf((1 + level) / 2) * error
    return CohensKappa(
        kappa=float(kappa),
        standard_error=error,
        limits=(max(-1.0, float(kappa) - reach), min(1.0, float(kappa) + reach)) if error else None,
        z=float(kappa) / math.sqrt(chance_spread / scale) if chance_spread else None,
        pictures=n,
    )


def fleiss_kappa(pictures: PictureSet) -> FleissKappa | None:
    """Fleiss' kappa (1971); its standard error of no agreement beyond chance: Fleiss, Nee and Landis (1979).

    None unless every picture was read equally often and at least twice, and where one answer was given throughout.
    """
    counts = pictures.counts()
    readings = {count.total() for count in counts}
    if len(readings) != 1 or (each := readings.pop()) < 2:
        return None
    share = percent_agreement(pictures)
    assert share is not None
    number = len(counts)
    shares = [Fraction(n, number * each) for n in _total(counts).values()]
    expected = sum(p * p for p in shares)
    if expected == 1:
        return None
    kappa = (Fraction(share.agreeing, share.pairs) - expected) / (1 - expected)
    varied = 1 - expected  # the sum of p (1 - p)
    spread = varied**2 - sum(p * (1 - p) * (1 - 2 * p) for p in shares)
    error = math.sqrt(2 * spread / (number * each * (each - 1))) / float(varied) if spread > 0 else 0.0
    return FleissKappa(kappa=float(kappa), z=float(kappa) / error if error else None)


def krippendorffs_alpha(pictures: PictureSet, *, order: Sequence[str] | None = None) -> float | None:
    """Krippendorff's alpha (2011), nominal; with `order` (the answers from least to most) ordinal.

    Readings may be missing; a picture read once tells nothing and is left out. None where no picture was read twice,
    and where one answer was given throughout. Raises ValueError for a reading that is not in `order`.

    alpha = 1 - observed / expected. For readings that lie together, the differences of all ordered pairs are summed
    and divided by the number of readings less one. Observed: within each picture, summed. Expected: all in one heap.
    """
    counts = _compared(pictures)
    answers = _answers(counts, order)
    total = _total(counts)
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

    _check_level(level)
    if resamples < 1:
        raise ValueError("at least one resample")
    counts = _compared(pictures)
    answers = _answers(counts, order)
    if len(_total(counts)) < 2:
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


def _check_level(level: float) -> None:
    if not 0 < level < 1:
        raise ValueError("a level lies between 0 and 1")


def _compared(pictures: PictureSet) -> list[Counter[str]]:
    return [count for count in pictures.counts() if count.total() > 1]


def _total(counts: Sequence[Counter[str]]) -> Counter[str]:
    total = Counter[str]()
    for count in counts:
        total.update(count)
    return total


def _answers(counts: Sequence[Counter[str]], order: Sequence[str] | None) -> list[str]:
    """The answers that were given, in their order."""
    given = _total(counts)
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
