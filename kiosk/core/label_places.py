"""Where the words of several points stand so that none touches another. Pure; lengths in any one unit, y runs down."""

from collections.abc import Sequence
from dataclasses import dataclass


@dataclass(frozen=True, slots=True, kw_only=True)
class Words:
    """Words that want to stand with their left upper corner there."""

    left: float
    top: float
    width: float


def tops(wanted: Sequence[Words], *, height: float, gap: float, low: float, high: float) -> tuple[float | None, ...]:
    """The top of each, as near as can be to the wanted one, between `low` and `high`; the first ones choose first.

    All are `height` high, `gap` apart. None: no room is left for it.
    """
    placed: list[tuple[Words, float]] = []
    found: list[float | None] = []
    for words in wanted:
        beside = [
            top
            for other, top in placed
            if words.left < other.left + other.width + gap and other.left < words.left + words.width + gap
        ]
        free = [words.top, *(top + step for top in beside for step in (height + gap, -height - gap))]
        free = [min(max(top, low), high - height) for top in free]
        fits = [top for top in free if all(abs(top - other) >= height + gap - 1e-9 for other in beside)]
        best = min(fits, key=lambda top: abs(top - words.top), default=None)
        found.append(best)
        if best is not None:
            placed.append((words, best))
    return tuple(found)
