"""The group's figure of a set that was read, by `kiosk.quality.agreement`: kept answers in, what the desk shows out."""

from functools import lru_cache

from kiosk.core.readings import GroupFigure, ReadingPicture, Split
from kiosk.quality.agreement import agreement_of
from kiosk.quality.picture_set import PictureSet
from kiosk.quality.rates import LEAST_FOR_PERCENT


@lru_cache(maxsize=8)
def figure(pictures: tuple[ReadingPicture, ...], rows: tuple[tuple[str | None, ...], ...]) -> GroupFigure:
    """The figures of readings, a row for each picture, a place for each reader.

    The answers yes, no and unsure count as three names, not as steps: nobody has said that unsure lies between. A
    percentage only from `LEAST_FOR_PERCENT` pairs on.
    """
    found = agreement_of(PictureSet(pictures=tuple(one.name for one in pictures), rows=rows))
    by_name = {one.name: one for one in pictures}
    share, cohen = found.share, found.cohen
    return GroupFigure(
        pictures=found.pictures,
        readers=found.readers,
        compared=found.compared,
        alike=found.compared - len(found.split),
        agreeing=share.agreeing if share else 0,
        pairs=share.pairs if share else 0,
        percent=share.percent if share and share.pairs >= LEAST_FOR_PERCENT else None,
        cohen=cohen.kappa if cohen else None,
        cohen_limits=cohen.limits if cohen else None,
        fleiss=found.fleiss.kappa if found.fleiss else None,
        alpha=found.alpha,
        alpha_limits=found.limits.limits,
        level=found.limits.level,
        resamples=found.limits.resamples,
        seed=found.limits.seed,
        split=tuple(Split(picture=by_name[one.picture], answers=tuple(one.answers.items())) for one in found.split),
    )
