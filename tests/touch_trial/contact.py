"""One contact of the glass, as its panel would tell it: places and widths in mm, times in ms."""

from collections.abc import Iterable
from dataclasses import dataclass
from enum import StrEnum
from itertools import count

FRESH = count(1)
"""Numbers of contacts: no two of a trial are alike."""


class Phase(StrEnum):
    """What a contact does at one moment."""

    DOWN = "down"
    MOVE = "move"
    UP = "up"


@dataclass(frozen=True, slots=True, kw_only=True)
class Moment:
    """A contact at a time: `at_ms` from the beginning of what happens, `x`, `y`, `width` in mm of the window."""

    at_ms: float
    contact: int
    phase: Phase
    x: float
    y: float
    width: float = 8.0


Happening = tuple[Moment, ...]
"""What one touch, palm, drip or cloth does, in the order of time."""


def stroke(places: Iterable[tuple[float, float, float, float]]) -> Happening:
    """A contact along its places, each (at_ms, x, y, width): down at the first, up at the last. Needs two at least."""
    number, told = next(FRESH), list(places)
    phases = [Phase.DOWN, *[Phase.MOVE] * (len(told) - 2), Phase.UP]
    return tuple(
        Moment(at_ms=at, contact=number, phase=phase, x=x, y=y, width=width)
        for (at, x, y, width), phase in zip(told, phases, strict=True)
    )


def together(*happenings: Happening) -> Happening:
    """What happens at once, in the order of time."""
    return tuple(sorted((each for one in happenings for each in one), key=_when))


def _when(moment: Moment) -> float:
    return moment.at_ms
