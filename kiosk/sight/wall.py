"""What a wall looks like around the axis: its median and its spread for each depth, with the light's one-sidedness.

Imports numpy at the top: itself imported on first use, off the way of a touch. Median and median absolute deviation
(Hampel, J. Amer. Statist. Assoc. 69 (1974) 383-393): up to half of a ring may be something else.
"""

from dataclasses import dataclass

import numpy as np

from kiosk.sight.color import Array, lab
from kiosk.sight.strip import Grid, nearest, unroll

DARK_L = 8.0
"""Under this L* a place is not read: a few steps of sRGB, where noise outweighs color (a choice)."""
GLARE_STEP = 245
"""All three colors of sRGB at this step or above are glare (L* of 96.5): the light of the lamp itself, no color of the
wall (a choice)."""
LEAST_OF_RING = 0.5
"""Share of a ring that must be read. On shorter arcs, as in a picture's corners, the light of one side is taken for the
wall's color: with a quarter most false marks on renderings lay there."""
_GLARE_EDGE = 3
"""Cells about glare that are left out with it."""
_DROP_PX = 0.02
"""A spot of glare smaller than this share of the picture's height is taken for a drop's: its rim, as far about it
again, is left out too (a choice, seen on renderings)."""


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Strip:
    """CIELAB along the strip (rows, around, 3) float32; which cells lie in the picture (`seen`), which are glare with
    its edge, and which are read: seen, light enough, no glare."""

    lab: Array
    seen: Array
    glare: Array
    read: Array


def strip_of(picture: Array, cells: Grid) -> Strip:
    """The picture (H, W, 3 uint8) along the strip, each cell the mean of about a cell of pixels."""
    flat, seen = unroll(_smoothed(picture), cells)
    colors = lab((flat + 0.5).astype(np.uint8))
    light = colors[..., 0]
    hot = np.minimum(np.minimum(picture[..., 0], picture[..., 1]), picture[..., 2]) >= GLARE_STEP
    glare = seen & nearest(_grown(hot), cells) if hot.any() else np.zeros_like(seen)
    glare = _with_edges(glare, cells)
    return Strip(lab=colors, seen=seen, glare=glare, read=seen & (light > DARK_L) & ~glare)


def _smoothed(picture: Array) -> Array:
    """Means of 3 x 3 pixels, each way cut to whole steps; beyond the edge its pixels count again.

    As scipy.ndimage.uniform_filter reckons it for uint8, in whole numbers.
    """
    wide = np.pad(picture, ((1, 1), (0, 0), (0, 0)), mode="edge").astype(np.uint16)
    down = (wide[:-2] + wide[1:-1] + wide[2:]) // np.uint16(3)
    wide = np.pad(down, ((0, 0), (1, 1), (0, 0)), mode="edge")
    smooth: Array = ((wide[:, :-2] + wide[:, 1:-1] + wide[:, 2:]) // np.uint16(3)).astype(np.uint8)
    return smooth


def _grown(mask: Array) -> Array:
    """The mask (H, W) with the neighbors above, below and beside it, as scipy.ndimage.binary_dilation grows it."""
    grown: Array = mask.copy()
    grown[1:] |= mask[:-1]
    grown[:-1] |= mask[1:]
    grown[:, 1:] |= mask[:, :-1]
    grown[:, :-1] |= mask[:, 1:]
    return grown


def _with_edges(glare: Array, cells: Grid) -> Array:
    """Glare with some cells about it, and with the rim of the drop where it is a drop's small spot."""
    from scipy.ndimage import binary_dilation, find_objects, label

    if not glare.any():
        return glare
    margin = _GLARE_EDGE
    around = np.pad(glare, ((0, 0), (margin, margin)), mode="wrap")
    wide: Array = binary_dilation(around, iterations=margin)[:, margin:-margin]
    drop = _DROP_PX * cells.height
    pixel = np.sqrt(cells.cell_px())
    spots, _ = label(glare)
    for rows, columns in find_objects(spots):
        middle_row = (rows.start + rows.stop - 1) / 2
        cell = float(pixel[round(middle_row)])
        if max(rows.stop - rows.start, columns.stop - columns.start) * cell > drop:
            continue
        reach = int(np.ceil(drop / cell))
        row = np.arange(max(0, int(middle_row) - reach), min(cells.rows, int(middle_row) + reach + 2))
        column = np.arange(columns.start - reach, columns.stop + reach)
        near = np.hypot(row[:, None] - middle_row, column[None, :] - (columns.start + columns.stop - 1) / 2) <= reach
        places = np.ix_(row, column % cells.around)
        wide[places] |= near
    return wide


def middle(values: Array, read: Array) -> Array:
    """Median of each row over the cells that are read: (rows, n) of (rows, around, n); NaN where too few are."""
    count = read.sum(1)
    ordered = np.sort(np.where(read[..., None], values, np.float32(np.inf)), axis=1)
    low, high = np.maximum((count - 1) // 2, 0), count // 2
    rows = np.arange(len(count))
    last = values.shape[1] - 1
    half: Array = (ordered[rows, low] + ordered[rows, np.minimum(high, last)]) / 2
    half[count < LEAST_OF_RING * read.shape[1]] = np.nan
    return half


def one_sided(residual: Array, read: Array, spread: Array) -> Array:
    """How L* goes once around the axis in each row: light that is stronger on one side. (rows, around) of residuals.

    Fitted as one cosine a row to residuals cut at two spreads, smooth along the depth; none where a ring is cut off.
    """
    from scipy.ndimage import gaussian_filter1d

    around = residual.shape[1]
    turn = np.arange(around, dtype=np.float32) * np.float32(2 * np.pi / around)
    cut = np.where(read, np.clip(residual, -2 * spread[:, None], 2 * spread[:, None]), 0)
    waves = np.stack([np.cos(turn), np.sin(turn)])
    # Weighed by what was read, so that a gap is not taken for a shade.
    whole = read.sum(1) > 0.7 * around
    count = np.maximum(read.sum(1), 1)[:, None]
    share = np.where(whole[:, None], 2 * (cut @ waves.T) / count, 0)
    if not whole.any():
        return np.zeros_like(residual)
    weight = gaussian_filter1d(whole.astype(np.float32), 6.0, mode="constant")
    smooth = gaussian_filter1d(share, 6.0, axis=0, mode="constant") / np.maximum(weight, 1e-6)[:, None]
    # Where rings are cut off by the picture's edge the light is taken to go on as in the last whole ring.
    rows = np.nonzero(whole)[0]
    beside = rows[np.abs(np.arange(len(whole))[:, None] - rows[None, :]).argmin(1)]
    side: Array = (smooth[beside] @ waves).astype(np.float32)
    return side
