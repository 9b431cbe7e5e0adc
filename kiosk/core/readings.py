"""The reading practice: sets of pictures that every reader is asked, blind. Apart from every tray.

No reader has a name here. A reader is a mark made from the set's own number and the person's code: another one in every
set, the same at every station, so that a reading goes on where it stopped. Whoever holds both the log and the list of
people can make the marks again; no screen, paper or figure does.
"""

import re
from collections.abc import Mapping
from dataclasses import dataclass, field
from hashlib import sha256

SAYS = ("yes", "no", "unsure")
"""What may be answered to "Is the wall clear of soil?"."""

MOST_SETS = 40
"""Sets that stay at hand: ten years of one each quarter. Older ones stay in the log."""

MOST_PICTURES = 60
"""Pictures of one set (a choice: a longer one is not read in one go, and ten are usual)."""

HASH = re.compile(r"[0-9a-f]{64}")
"""A SHA-256 as it is written."""


@dataclass(frozen=True, slots=True, kw_only=True)
class ReadingPicture:
    """A picture of a set: its name in the set ("7"), the file it is kept as, and the SHA-256 of its bytes."""

    name: str
    file: str
    sha256: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Reader:
    """One reading of a set: the seed of its order, and what was said of each picture: (Unix ms, yes, no or unsure)."""

    seed: int = 0
    said: dict[str, tuple[int, str]] = field(default_factory=dict)


@dataclass(frozen=True, slots=True, kw_only=True)
class ReadingSet:
    """A set: its number (random, hexadecimal), what the house calls it, its pictures, when it was made and ended."""

    id: str
    name: str
    pictures: tuple[ReadingPicture, ...]
    made_ms: int
    ended_ms: int | None = None

    @property
    def sound(self) -> bool:
        """May it be read: 2 to 60 pictures, none of them twice? What another station made is held to the same."""
        names, hashes = {one.name for one in self.pictures}, {one.sha256 for one in self.pictures}
        whole = len(names) == len(hashes) == len(self.pictures) and all(HASH.fullmatch(one) for one in hashes)
        return whole and 2 <= len(self.pictures) <= MOST_PICTURES


@dataclass(frozen=True, slots=True, kw_only=True)
class Readings:
    """What one station kept of the practice: sets made here, sets ended here, and readings by set and mark."""

    sets: dict[str, ReadingSet] = field(default_factory=dict)
    ended: dict[str, int] = field(default_factory=dict)
    read: dict[str, dict[str, Reader]] = field(default_factory=dict)


@dataclass(frozen=True, slots=True, kw_only=True)
class Split:
    """A picture that was not read alike: how often each answer was given, not by whom."""

    picture: ReadingPicture
    answers: tuple[tuple[str, int], ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class GroupFigure:
    """How far a group read a set alike. None: not defined for these readings, or too few for a percentage.

    `agreeing` of `pairs`: pairs of readings of one picture that say the same. `alike` of `compared`: pictures read at
    least twice that all read alike. Limits at `level` (0 to 1); `resamples` and `seed` are those of alpha's.
    """

    pictures: int
    readers: int
    compared: int
    alike: int
    agreeing: int
    pairs: int
    percent: float | None
    cohen: float | None
    cohen_limits: tuple[float, float] | None
    fleiss: float | None
    alpha: float | None
    alpha_limits: tuple[float, float] | None
    level: float
    resamples: int
    seed: int
    split: tuple[Split, ...]


def mark_of(set_id: str, person: str) -> str:
    """The mark of a person in one set: the first 12 figures of SHA-256 of set and code."""
    return sha256(f"{set_id}/{person}".encode()).hexdigest()[:12]


def order_of(pictures: tuple[ReadingPicture, ...], seed: int) -> tuple[ReadingPicture, ...]:
    """The pictures in a reader's own order.

    Each draws a lot, the SHA-256 of seed and name, and the lowest comes first: whoever has the seed can check it.
    """
    return tuple(sorted(pictures, key=lambda one: sha256(f"{seed}/{one.name}".encode()).digest()))


def still_to_read(found: ReadingSet, reader: Reader | None) -> tuple[ReadingPicture, ...]:
    """What this reader has not answered, in the reader's own order."""
    if reader is None:
        return found.pictures
    return tuple(one for one in order_of(found.pictures, reader.seed) if one.name not in reader.said)


def answers(found: ReadingSet, readers: Mapping[str, Reader]) -> tuple[tuple[str | None, ...], ...]:
    """A row for each picture, a place in it for each reader; None where one did not read it."""
    order = [readers[mark] for mark in sorted(readers)]
    return tuple(
        tuple(reader.said[one.name][1] if one.name in reader.said else None for reader in order)
        for one in found.pictures
    )
