"""Where the bore's axis lies in a picture: the point that the light of the wall falls toward on all sides.

Imports numpy at the top: itself imported on first use, off the way of a touch. How: the point nearest to all lines
along the gradient of brightness, weighed by its strength, as in Parthasarathy, Nature Methods 9 (2012) 724-726 (radial
symmetry centers), taken again and again with lines that pass far from it counting less.
"""

from dataclasses import dataclass

import numpy as np

from kiosk.sight.color import Array

_HIGH = 120
"""Rows of the small picture in which the axis is sought: seeks in milliseconds, and is found to about a pixel of it."""
_BLACK = 10
"""Steps of sRGB (0 to 255) under which a place outside the lit field is taken for the field's black surround."""
_POINTS = 4000
"""Gradients used at most: more do not move the axis by a tenth of a pixel."""
_SECTORS = 8
_LEAST_AGREE = 0.6
"""Least mean, over eight sectors about the axis, of how brightness goes with distance (both as logarithms, Pearson's r,
less than none as none). Chosen on rendered pictures: lumens gave 0.92 and more, noise and plain slopes under 0.45."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Field:
    """The lit round field of a scope: center and radius in pixels."""

    x: float
    y: float
    radius: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Axis:
    """The axis: `x`, `y` in pixels (centers of pixels at whole numbers); `agree`: how steadily
    brightness grows away from it on all sides, 0 to 1; `field`: the lit round field,
    None where the picture is filled to its corners."""

    x: float
    y: float
    agree: float
    field: Field | None


def find_axis(picture: Array) -> Axis | None:
    """The axis in a picture (H, W, 3 uint8), or None where the light falls toward no one point in it."""
    green = picture[..., 1]
    step = max(1, green.shape[0] // _HIGH)
    small = _shrunk(green, step)
    field, lit = _field(small)
    starts = _starts(small, lit)
    found = max(((*at, _agree(small, lit, at)) for at in _settled(small, lit, starts)), key=_by_agree, default=None)
    rows, columns = small.shape
    if found is None or found[2] < _LEAST_AGREE or not (-0.5 <= found[0] < columns and -0.5 <= found[1] < rows):
        return None
    middle = (step - 1) / 2
    x, y = _closer(green, found[0] * step + middle, found[1] * step + middle)
    round_field = None
    if field is not None:
        round_field = Field(x=field.x * step + middle, y=field.y * step + middle, radius=field.radius * step)
    return Axis(x=x, y=y, agree=found[2], field=round_field)


def _by_agree(found: tuple[float, float, float]) -> float:
    return found[2]


def _shrunk(green: Array, step: int) -> Array:
    """Means of squares of `step` pixels, float32."""
    rows, columns = green.shape[0] // step, green.shape[1] // step
    cut = green[: rows * step, : columns * step].astype(np.float32)
    small: Array = cut.reshape(rows, step, columns, step).mean((1, 3))
    return small


def _closer(green: Array, x: float, y: float) -> tuple[float, float]:
    """The axis again in the dark middle alone, where light that is stronger on one side leads least astray."""
    high = len(green)
    half = max(16, high // 8)
    top, left = max(0, int(y) - half), max(0, int(x) - half)
    window = green[top : int(y) + half + 1, left : int(x) + half + 1]
    step = max(1, high // 360)
    small = _shrunk(window, step)
    if min(small.shape) < 12:
        return x, y
    middle = (step - 1) / 2
    start = ((x - left - middle) / step, (y - top - middle) / step)
    for at in _settled(small, np.ones(small.shape, dtype=bool), [start]):
        moved = (at[0] * step + middle + left, at[1] * step + middle + top)
        if np.hypot(moved[0] - x, moved[1] - y) < high / 50:
            return moved
    return x, y


def _settled(small: Array, lit: Array, starts: list[tuple[float, float]]) -> list[tuple[float, float]]:
    """Where the search ends from each start; nowhere in a picture without any gradient."""
    from scipy.ndimage import gaussian_filter

    down, right = np.gradient(gaussian_filter(np.log(small + 2), 1.5))
    strong = np.hypot(down, right) * lit
    if strong.max() < 1e-4:
        return []
    y, x = np.nonzero(strong > 0.05 * np.quantile(strong[lit], 0.98))
    every = len(x) // _POINTS + 1
    y, x = y[::every], x[::every]
    weight = np.minimum(strong[y, x], np.quantile(strong[lit], 0.9))
    across, up = right[y, x] / strong[y, x], down[y, x] / strong[y, x]
    return [_settle(x, y, across, up, weight, start) for start in starts]


def _field(small: Array) -> tuple[Field | None, Array]:
    """The lit round field in the small picture, and where gradients count: in it, away from its edge."""
    from scipy.ndimage import binary_erosion, binary_fill_holes, label

    everywhere = np.ones(small.shape, dtype=bool)
    corners = small[[0, 0, -1, -1], [0, -1, 0, -1]]
    if corners.max() > _BLACK:
        return None, everywhere
    parts, count = label(small > _BLACK)
    if not count:
        return None, everywhere
    filled = binary_fill_holes(parts == 1 + np.argmax(np.bincount(parts.ravel())[1:]))
    y, x = np.nonzero(filled)
    radius = float(np.sqrt(filled.sum() / np.pi))
    center = (float(x.mean()), float(y.mean()))
    # A disc's mean distance from its middle is 2/3 of its radius: what is far from that is no round field.
    spread = float(np.hypot(x - center[0], y - center[1]).mean()) / radius
    if not 0.64 < spread < 0.70:
        return None, everywhere
    lit: Array = binary_erosion(filled, iterations=7)
    return Field(x=center[0], y=center[1], radius=radius), lit if lit.any() else everywhere


def _starts(small: Array, lit: Array) -> list[tuple[float, float]]:
    """Where to begin: the middle of the field, and the middle of its darkest part."""
    y, x = np.nonzero(lit)
    dark = small[y, x] <= np.quantile(small[y, x], 0.03)
    return [(float(x.mean()), float(y.mean())), (float(x[dark].mean()), float(y[dark].mean()))]


def _settle(
    x: Array, y: Array, across: Array, up: Array, weight: Array, start: tuple[float, float]
) -> tuple[float, float]:
    """The nearest point to the lines, sought from a start: x, y."""
    at = np.array(start, dtype=float)
    reach = 30.0
    for _ in range(10):
        to_x, to_y = x - at[0], y - at[1]
        away = np.hypot(to_x, to_y)
        off = up * to_x - across * to_y
        outward = across * to_x + up * to_y > 0
        counts = weight * outward / (1 + (off / reach) ** 2) / (away + 3) ** 2
        one, two, both = (counts * up * up).sum(), (counts * across * across).sum(), (counts * up * across).sum()
        side = counts * (up * x - across * y)
        matrix = np.array([[one, -both], [-both, two]])
        if np.linalg.det(matrix) < 1e-9 * max(one, two, 1e-12) ** 2:
            break
        at = np.linalg.solve(matrix, np.array([(side * up).sum(), -(side * across).sum()]))
        reach = max(2.0, reach * 0.7)
    return float(at[0]), float(at[1])


def _agree(small: Array, lit: Array, at: tuple[float, float]) -> float:
    y, x = np.nonzero(lit)
    every = len(x) // _POINTS + 1
    y, x = y[::every], x[::every]
    right, down = x - at[0], y - at[1]
    away, bright = np.log(np.hypot(right, down) + 1), np.log(small[y, x] + 2.0)
    sector = ((np.arctan2(down, right) / (2 * np.pi)) % 1 * _SECTORS).astype(np.intp) % _SECTORS
    total = 0.0
    for each in range(_SECTORS):
        one, other = away[sector == each], bright[sector == each]
        if one.size > _POINTS / 400 and one.std() > 1e-6 and other.std() > 1e-6:
            total += max(0.0, float(np.corrcoef(one, other)[0, 1]))
    return total / _SECTORS
