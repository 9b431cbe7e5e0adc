"""Do the readers of one set of pictures answer alike? Figures of the group; there is none of a single reader.

A figure that is not defined is None, never 0 or 1. Agreement is not correctness: all readers can be wrong together.
"""

from collections.abc import Sequence
from dataclasses import dataclass

from kiosk.quality.alpha import AlphaLimits, alpha_limits, krippendorffs_alpha
from kiosk.quality.kappa import CohensKappa, FleissKappa, cohens_kappa, fleiss_kappa
from kiosk.quality.picture_set import PairShare, PictureSet, Split, percent_agreement, split_pictures


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
