"""What the readers of a set of pictures answered: how many pairs of readings say the same, and where they part."""

import math
from collections import Counter
from collections.abc import Mapping, Sequence
from dataclasses import dataclass


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
class Split:
    """A picture that was not read alike: how often each answer was given (the most frequent first), not by whom."""

    picture: str
    answers: Mapping[str, int]
    share: PairShare


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


def total_of(counts: Sequence[Counter[str]]) -> Counter[str]:
    """How often each answer was given over all pictures."""
    total = Counter[str]()
    for count in counts:
        total.update(count)
    return total
