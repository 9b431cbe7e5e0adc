"""Where the words of several points stand so that they touch neither each other nor a point. Pure; y runs down."""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from functools import partial


@dataclass(frozen=True, slots=True, kw_only=True)
class Box:
    """A rectangle by its left upper corner and its size, in any one unit."""

    left: float
    top: float
    width: float
    height: float

    @property
    def right(self) -> float:
        """Its right edge."""
        return self.left + self.width

    def touches(self, other: "Box", gap: float) -> bool:
        """Are the two nearer to each other than `gap`?"""
        return (
            self.left < other.right + gap
            and other.left < self.right + gap
            and self.top < other.top + other.height + gap - 1e-9
            and other.top < self.top + self.height + gap - 1e-9
        )


def beside(x: float, width: float, *, away: float, left: float, right: float) -> float:
    """The left edge of words beside a point at x: right of it, left of it, or where there is room at all."""
    if x + away + width <= right:
        return x + away
    return max(left, min(x - away - width if x - away - width >= left else right - width, right - width))


def placed(
    wanted: Sequence[Box], taken: Sequence[Box], *, gap: float, low: float, high: float
) -> tuple[Box | None, ...]:
    """Each as near as can be, up or down, to where it wants to stand, between `low` and `high`; the first choose first.

    None touches another, and none what is `taken` where there is another place. None in its place: there is no room.
    """
    found: list[Box | None] = []
    for box in wanted:
        others = [each for each in found if each is not None]
        edges = [top for each in (*others, *taken) for top in (each.top - box.height, each.top + each.height)]
        heights = [box.top, *(top - gap for top in edges), *(top + gap for top in edges)]
        tries = [replace(box, top=min(max(top, low), high - box.height)) for top in heights]
        free = [each for each in tries if not any(each.touches(other, gap) for other in others)]
        found.append(min(free, key=partial(_worth, box, taken), default=None))
    return tuple(found)


def _worth(wanted: Box, taken: Sequence[Box], place: Box) -> tuple[int, float]:
    """The fewer points it covers the better, then the nearer."""
    return sum(place.touches(each, 0.0) for each in taken), abs(place.top - wanted.top)
