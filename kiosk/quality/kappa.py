"""Agreement beyond chance: Cohen's kappa of two readers, Fleiss' kappa of any number."""

import math
from collections import Counter
from dataclasses import dataclass
from fractions import Fraction
from statistics import NormalDist

from kiosk.quality.picture_set import PictureSet, percent_agreement, total_of
from kiosk.quality.rates import check_level


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


def cohens_kappa(pictures: PictureSet, *, level: float = 0.95) -> CohensKappa | None:
    """Cohen's kappa (1960) over the pictures that both read; every difference counts alike.

    None unless there are exactly two readers, where they read no picture in common, and where both gave one and the
    same answer throughout (0/0). Standard errors: Fleiss, Cohen and Everitt (1969). Limits: kappa -/+ z times its
    standard error, cut at -1 and 1.
    """
    check_level(level)
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
    shares = [Fraction(n, number * each) for n in total_of(counts).values()]
    expected = sum(p * p for p in shares)
    if expected == 1:
        return None
    kappa = (Fraction(share.agreeing, share.pairs) - expected) / (1 - expected)
    varied = 1 - expected  # the sum of p (1 - p)
    spread = varied**2 - sum(p * (1 - p) * (1 - 2 * p) for p in shares)
    error = math.sqrt(2 * spread / (number * each * (each - 1))) / float(varied) if spread > 0 else 0.0
    return FleissKappa(kappa=float(kappa), z=float(kappa) / error if error else None)
