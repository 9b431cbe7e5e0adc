"""The department's test target for scopes: where what lies on it, what was read of it, and how that stands to day one.

Places in millimeters from the upper left corner of the black frame, in the size that is printed as 1. A picture of it
is read in these places whatever its size in the picture is.
"""

from dataclasses import dataclass

PAPER = "scope_target"
"""The kind of its paper."""

FRAME_MM = (24.0, 18.0)
BAND_MM = 1.5
"""The frame's outer size, and how broad its black band is."""

SIZES = (1.0, 0.5, 2.0)
"""The target is printed in these sizes: one fills the picture of a fine scope, one that of a wide one (a choice)."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Patch:
    """A rectangle of one color: places in mm, color as sRGB steps."""

    left: float
    top: float
    width: float
    height: float
    color: tuple[int, int, int]


def _row(top: float, colors: tuple[tuple[int, int, int], ...]) -> tuple[Patch, ...]:
    wide = 19.0 / len(colors)
    return tuple(
        Patch(left=2.5 + n * wide, top=top, width=wide, height=3.0, color=color) for n, color in enumerate(colors)
    )


GRAYS = _row(2.3, tuple((step, step, step) for step in (240, 212, 185, 160, 136, 112, 90, 69, 49, 30)))
"""Steps from light to dark, some ten of L* apart and more (a choice)."""

COLORS = _row(12.7, ((186, 30, 40), (222, 196, 40), (40, 130, 62), (40, 132, 160), (38, 62, 148), (112, 62, 40)))
"""Red, yellow, green, cyan, blue, brown: their own first day is what they are held against (a choice)."""

EDGE_TOP_MM, EDGE_BOTTOM_MM = 6.2, 11.8
EDGE_LEFT_MM, EDGE_RIGHT_MM = 2.5, 21.5
EDGE_AT_MM = 12.0
EDGE_DEG = 5.0
"""The slanted edge: it leans so far from upright, through EDGE_AT_MM at half its height (5 degrees as in ISO 12233)."""
EDGE_DARK, EDGE_LIGHT = (96, 96, 96), (180, 180, 180)
"""A contrast of about four to one in light, as ISO 12233 asks of its edges, so that no picture is cut off at white."""


@dataclass(frozen=True, slots=True, kw_only=True)
class TargetFigures:
    """What was read of the target in one picture, as whole numbers.

    `sharp`: spatial frequency at which the slanted edge keeps half its contrast (MTF50), in tenths of cycles per
    picture height. `steps`: gray steps told apart, 10 at most. `grays`, `colors`: CIELAB of each patch, in tenths.
    `frame`: width of the frame, per mille of the picture's width.
    """

    sharp: int
    steps: int
    grays: tuple[tuple[int, int, int], ...]
    colors: tuple[tuple[int, int, int], ...]
    frame: int


@dataclass(frozen=True, slots=True, kw_only=True)
class TargetOn:
    """A reading of the target through one scope: when (Unix ms, minutes from UTC), by whom.

    `shift`: largest CIEDE2000 of a color from the first day's, in tenths; 0 on the first day.
    """

    figures: TargetFigures
    shift: int
    at_ms: int
    offset_min: int
    by: str


@dataclass(frozen=True, slots=True, kw_only=True)
class TargetKept:
    """The first reading of a scope at this bench, and the last one."""

    first: TargetOn
    last: TargetOn


LEAST_SHARP = 0.80
"""Share of the first day's sharpness under which it is said to be worse (a choice)."""
MOST_SHIFT = 50
"""Largest color shift, in tenths of CIEDE2000, that is not said to be worse (a choice)."""


def sharp_share(first: TargetFigures, now: TargetFigures) -> int:
    """Sharpness in percent of the first day's."""
    return round(100 * now.sharp / max(1, first.sharp))


def worse(kept: TargetKept) -> tuple[str, ...]:
    """What is worse than on the first day: sharp, steps, color. A person decides what that means."""
    first, now = kept.first.figures, kept.last.figures
    said = (
        ("sharp", now.sharp < LEAST_SHARP * first.sharp),
        ("steps", now.steps < first.steps),
        ("color", kept.last.shift > MOST_SHIFT),
    )
    return tuple(word for word, is_so in said if is_so)
