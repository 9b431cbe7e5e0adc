"""Marks drawn over a picture: a light line within a dark one, so that one of them stands out on any ground.

Imports numpy at the top: itself imported on first use, off the way of a touch.
"""

from collections.abc import Iterable

import numpy as np

from kiosk.sight.color import Array
from kiosk.sight.outline import Polygon

DARK = (0, 0, 0)
LIGHT = (140, 255, 40)
"""A light green: of all colors as light it lies among the farthest from walls, soil, rust and glare for eyes of every
kind, and in gray it is nearly white. On the worst gray ground the better of the two lines has a contrast of 4.1 (WCAG
2.2 asks 3 of graphics)."""


def with_outlines(picture: Array, outlines: Iterable[Polygon]) -> Array:
    """A copy of the picture (H, W, 3 uint8) with the outlines over it; the lines are as wide as 1/240 of its height."""
    from PIL import Image, ImageDraw

    image = Image.fromarray(picture)
    brush = ImageDraw.Draw(image)
    thin = max(1, round(picture.shape[0] / 240))
    rings = [[*polygon, *polygon[:2]] for polygon in outlines if len(polygon) > 2]
    for color, wide in ((DARK, 3 * thin), (LIGHT, thin)):
        for ring in rings:
            brush.line(ring, fill=color, width=wide, joint="curve")
    drawn: Array = np.asarray(image).copy()
    return drawn
