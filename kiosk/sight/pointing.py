"""Pointing out: where color or texture departs from the tube's own wall, or from the known look. It decides nothing.

Imports numpy at the top: itself imported on first use, off the way of a touch. What departs is outlined with its color
difference as a number (CIEDE2000); what that means a person says. An aid, not a test: docs/sight.md has its misses.
"""

from dataclasses import dataclass

import numpy as np

from kiosk.sight.axis import Axis, find_axis
from kiosk.sight.color import Array, difference
from kiosk.sight.outline import Polygon, outline
from kiosk.sight.registration import Registration, register
from kiosk.sight.strip import Grid, grid
from kiosk.sight.wall import Strip, middle, one_sided, strip_of


@dataclass(frozen=True, slots=True, kw_only=True)
class Settings:
    """How far a place must depart to be outlined.

    `least_difference`: CIEDE2000 at a mark's strongest places. `spreads`: how many spreads of its ring (1.4826 times
    the median absolute deviation, as one standard deviation) it lies off in L*, a*, b* together. `edge`: share of
    that which still belongs to a mark once its middle reached it. `coarser`: how many times the ring's median fine
    detail counts as another texture. `least_px`: least size, as a share of the picture's height squared.
    `most_marks`: more are left out and counted. The three were chosen on 120 renderings (seeds from 100,000, which no
    table uses): of those tried, the least far that left a false mark in about one picture of ten (5 spreads: in half of
    them; 7: in none, with a tenth fewer of the soils). No real lumen was looked at.
    """

    least_difference: float = 4.0
    spreads: float = 6.0
    edge: float = 0.6
    coarser: float = 10.0
    least_px: float = 3e-5
    most_marks: int = 24


@dataclass(frozen=True, slots=True, kw_only=True)
class Mark:
    """One outlined place. `difference`: CIEDE2000 of its mean color from what the wall would show there; `most`: of its
    strongest tenth; `pixels`: its size in the picture; `by`: "color" or "texture"."""

    outline: Polygon
    difference: float
    most: float
    pixels: float
    by: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Pointed:
    """What was outlined, strongest first. `left_out`: marks beyond the most; `read`: share of the strip's picture area
    that was light enough and without glare; `against`: the known look laid on, None where the wall itself was."""

    marks: tuple[Mark, ...]
    left_out: int
    read: float
    axis: Axis
    against: Registration | None


DEFAULT = Settings()


def point_out(picture: Array, known: Array | None = None, settings: Settings = DEFAULT) -> Pointed | None:
    """Outline what departs in a picture (H, W, 3 uint8 sRGB), against the wall itself or against the known look.

    None where the bore's axis is not found, or where a known look was given and does not fit on the picture: then
    nothing was compared, which is not the same as nothing departing. Raises ValueError for pictures of two sizes.
    """
    against: Registration | None = None
    if known is None:
        axis = find_axis(picture)
    else:
        against = register(picture, known)
        axis = None if against is None else against.today
    if axis is None:
        return None
    high, wide = picture.shape[:2]
    cells = grid(axis, wide, high)
    strip = strip_of(picture, cells)
    wall, read = _expected(strip)
    if known is not None and against is not None:
        wall, read = _as_known(strip, strip_of(known, against.known_cells(cells)), read)
    off = _departure(strip, wall, read, settings)
    area = cells.cell_px()[:, None] * np.ones(cells.around)
    least = settings.least_px * high * high
    colored = _parts(off, off > 1, off > settings.edge, area, least)
    colored = _without_glow(colored, strip, wall)
    rough = _coarser(strip, wall, read, settings)
    rough[np.isin(colored, np.unique(colored[rough > 1])) & (colored > 0)] = 0
    textured = _parts(rough, rough > 1, rough > settings.edge, area, 4 * least)
    marks = [
        *_marks(colored, "color", strip, wall, cells, area),
        *_marks(textured, "texture", strip, wall, cells, area),
    ]
    marks.sort(key=_strength, reverse=True)
    return Pointed(
        marks=tuple(marks[: settings.most_marks]),
        left_out=max(0, len(marks) - settings.most_marks),
        read=float(area[read].sum() / area[strip.seen].sum()),
        axis=axis,
        against=against,
    )


def _strength(mark: Mark) -> float:
    return mark.most


def _expected(strip: Strip) -> tuple[Array, Array]:
    """What the wall alone would show in each cell (rows, around, 3), and the cells that can be read against it."""
    ring = middle(strip.lab, strip.read)
    read = strip.read & ~np.isnan(ring[:, :1])
    ring = np.nan_to_num(ring)
    off = strip.lab[..., 0] - ring[:, None, 0]
    spread = np.nan_to_num(1.4826 * middle(np.abs(off)[..., None], read)[:, 0])
    wall = np.repeat(ring[:, None, :], strip.lab.shape[1], axis=1)
    wall[..., 0] += one_sided(off, read, spread)
    return wall, read


def _as_known(strip: Strip, known: Strip, read: Array) -> tuple[Array, Array]:
    """The known look in each cell, in today's light: each ring moved by the difference of both rings' medians."""
    both = read & known.read
    moved = middle(strip.lab, both) - middle(known.lab, both)
    both &= ~np.isnan(moved[:, :1])
    return known.lab + np.nan_to_num(moved)[:, None, :], both


def _departure(strip: Strip, wall: Array, read: Array, settings: Settings) -> Array:
    """How far beyond the settings each cell lies (1: just as far as asked): the lesser of spreads and of CIEDE2000.

    CIEDE2000 is reckoned only where the spreads alone would do, which is a small part of a picture.
    """
    from scipy.ndimage import median_filter

    off = np.abs(strip.lab - wall)
    spread = 1.4826 * middle(off, read)
    spread = median_filter(np.nan_to_num(spread, nan=0.0), size=(9, 1), mode="nearest")
    spread = np.maximum(spread, np.array([1.0, 0.5, 0.5], dtype=np.float32))
    off /= spread[:, None, :]
    beyond: Array = np.sqrt(np.einsum("ijk,ijk->ij", off, off)) / np.float32(settings.spreads)
    beyond[~read] = 0
    far = beyond > settings.edge
    apart = difference(strip.lab[far], wall[far]) / np.float32(settings.least_difference)
    beyond[far] = np.minimum(beyond[far], apart)
    return beyond


def _coarser(strip: Strip, wall: Array, read: Array, settings: Settings) -> Array:
    """How far the fine detail of L* lies beyond the ring's own, by the settings (1: just as far as asked)."""
    from scipy.ndimage import binary_erosion, gaussian_filter

    light = np.where(read, strip.lab[..., 0] - wall[..., 0], 0)
    ways = ("nearest", "wrap")
    fine = light - gaussian_filter(light, 2.0, mode=ways)
    power = gaussian_filter(fine * fine, 2.0, mode=ways)
    inner = binary_erosion(read, iterations=8, border_value=1)
    usual = np.nan_to_num(middle(power[..., None], inner)[:, 0])
    detail: Array = np.sqrt(power / np.maximum(usual, 0.15)[:, None]) / settings.coarser
    detail[~inner] = 0
    return detail


def _parts(score: Array, strong: Array, weak: Array, area: Array, least: float) -> Array:
    """Joined parts of the weak mask that hold a strong cell and are large enough, numbered from 1, around the seam."""
    from scipy.ndimage import label

    if not strong.any():
        return np.zeros(score.shape, dtype=np.int32)
    parts, count = label(weak, structure=np.ones((3, 3)))
    same = np.arange(count + 1)
    rows = len(parts)
    for shift in (-1, 0, 1):
        at = np.arange(max(0, -shift), min(rows, rows - shift))
        for left, right in zip(parts[at, 0].tolist(), parts[at + shift, -1].tolist(), strict=True):
            if left and right:
                low, high = sorted((int(same[left]), int(same[right])))
                same[same == high] = low
    parts = same[parts]
    size = np.bincount(parts.ravel(), weights=area.ravel(), minlength=count + 1)
    keep = (np.bincount(parts.ravel(), weights=strong.ravel(), minlength=count + 1) >= 2) & (size >= least)
    keep[0] = False
    kept: Array = np.where(keep[parts], parts, 0)
    return kept


def _without_glow(parts: Array, strip: Strip, wall: Array) -> Array:
    """Parts less those that touch glare and are brighter than the wall: the glow about it."""
    from scipy.ndimage import binary_dilation

    touching = np.unique(parts[binary_dilation(strip.glare, iterations=1) & (parts > 0)])
    brighter = strip.lab[..., 0] - wall[..., 0]
    glow = [number for number in touching.tolist() if brighter[parts == number].mean() > 0]
    kept: Array = np.where(np.isin(parts, glow), 0, parts)
    return kept


def _marks(parts: Array, by: str, strip: Strip, wall: Array, cells: Grid, area: Array) -> list[Mark]:
    marks = []
    for number in np.unique(parts[parts > 0]).tolist():
        mask = parts == number
        colors, expected = strip.lab[mask], wall[mask]
        mean = [each.mean(0, dtype=np.float64) for each in (colors, expected)]
        marks.append(
            Mark(
                outline=outline(mask, cells),
                difference=round(float(difference(mean[0], mean[1])), 1),
                most=round(float(np.quantile(difference(colors, expected), 0.9)), 1),
                pixels=round(float(area[mask].sum()), 1),
                by=by,
            )
        )
    return marks
