"""How good a picture is to read: focus, light, glare, drops. Measures with their rules, said before a YES.

Imports numpy at the top: itself imported on first use, off the way of a touch. Focus: variance of the Laplacian
(Pech-Pacheco et al., Proc. 15th Int. Conf. Pattern Recognition 3 (2000) 314-317, LAPV; the five-point Laplacian) and
Tenengrad (mean squared Sobel gradient; both as collected by Pertuz, Puig, Garcia, Pattern Recognition 46 (2013)
1415-1432). Both are numbers of one picture: they are compared with other pictures of one scope, at one exposure.
The blur effect needs no other picture (Crete, Dolmiere, Ladret, Nicolas, Proc. SPIE 6492 (2007) 64920I): it is how
little a picture loses when it is blurred once more.
"""

from dataclasses import dataclass

import numpy as np

from kiosk.sight.color import Array, lab

DARK_L = 15.0
"""Under this L* a place is too dark to tell soil from wall: a third of what L* 50, a middle gray, is (a choice)."""
BRIGHT_L = 96.5
"""Over this L* nothing of the wall's color is left (a choice)."""
MOST_DARK = 0.55
"""Share of a picture that may be dark. The lumen's deep end is dark in every picture: renderings as they should be have
0.15 and less, at an eighth of the light 0.75 and more."""
MOST_BRIGHT = 0.20
"""Share of a picture that may be without color for brightness (a choice)."""
LEAST_MEDIAN_L = 20.0
"""Least L* of the middle place of a picture (a choice)."""
MOST_BLUR = 0.65
"""Largest blur effect of a picture to be read (a choice). Renderings in focus have 0.54 and less; blurred by 4 px of
1280 across 0.59 to 0.63, by 8 px 0.73 and more (eight renderings each, seeds 100,200 to 100,207)."""
_BLUR_PX = 320
"""The blur effect is measured on fields, so many across a picture: a sensor's noise is sharp in every picture."""
_BLUR_WIDE = 11
"""Fields of the second blur, as in the paper's experiments."""
_DROP_MOST = 0.02
_DROP_LEAST_PX = 3
"""A drop's spot of light: at most this share of the height across, at least so many pixels in all (a choice)."""
_DROP_ROUND = 2.2
"""A disc's spot is at most so many times as long as wide (a choice): the lamp's own reflections are drawn out."""


@dataclass(frozen=True, slots=True, kw_only=True)
class PictureQuality:
    """`laplacian`, `tenengrad`: of gray from 0 to 255; `dark`, `bright`: shares of the field; `median_l`: its L*;
    `glare`: share of the field in spots of glare larger than a drop's; `drops`: small round bright spots; `blur`: the
    blur effect on 320 fields across, 0 sharp to 1 blurred."""

    laplacian: float
    tenengrad: float
    dark: float
    bright: float
    median_l: float
    glare: float
    drops: int
    blur: float

    @property
    def too_dark(self) -> bool:
        """Too dark to read: more than MOST_DARK of it is dark, or its middle place is darker than LEAST_MEDIAN_L."""
        return self.dark > MOST_DARK or self.median_l < LEAST_MEDIAN_L

    @property
    def too_bright(self) -> bool:
        """Too bright to read: more than MOST_BRIGHT of it has no color left."""
        return self.bright > MOST_BRIGHT

    @property
    def not_sharp(self) -> bool:
        """Not sharp: its blur effect is more than MOST_BLUR."""
        return self.blur > MOST_BLUR


def gray(picture: Array) -> Array:
    """Luma (H, W) float32 from 0 to 255 of a picture (H, W, 3 uint8): ITU-R BT.601 weights."""
    luma: Array = picture @ np.array([0.299, 0.587, 0.114], dtype=np.float32)
    return luma


def laplacian_variance(luma: Array) -> float:
    """Variance of the five-point Laplacian (H, W), edges left out: larger is sharper. Steps squared."""
    middle = luma[1:-1, 1:-1]
    bend = luma[:-2, 1:-1] + luma[2:, 1:-1] + luma[1:-1, :-2] + luma[1:-1, 2:] - 4 * middle
    return float(bend.var())


def tenengrad(luma: Array) -> float:
    """Mean squared Sobel gradient (3 x 3, weights 1 2 1), edges left out: larger is sharper. Steps squared."""
    down = luma[:-2] + 2 * luma[1:-1] + luma[2:]
    right = luma[:, :-2] + 2 * luma[:, 1:-1] + luma[:, 2:]
    across = down[:, 2:] - down[:, :-2]
    along = right[2:] - right[:-2]
    return float((across * across + along * along).mean())


def blur_effect(luma: Array, wide: int = _BLUR_WIDE) -> float:
    """Blur effect of (H, W), 0 sharp to 1 blurred, the worse of both ways; `wide`: places of the second blur.

    1 for a picture of one gray: nothing in it is sharp.
    """
    from scipy.ndimage import sobel, uniform_filter1d

    worst = 0.0
    inner = (slice(2, -1), slice(2, -1))
    for axis in (0, 1):
        edges = np.abs(sobel(luma, axis=axis))
        again = np.abs(sobel(uniform_filter1d(luma, wide, axis=axis), axis=axis))
        all_edges = float(edges[inner].sum())
        lost = float(np.maximum(edges - again, 0)[inner].sum())
        worst = max(worst, 1 - lost / all_edges if all_edges else 1.0)
    return worst


def _fields(luma: Array) -> Array:
    """Means of square fields, some _BLUR_PX across; a smaller picture stays as it is."""
    side = max(1, round(luma.shape[1] / _BLUR_PX))
    rows, columns = luma.shape[0] // side, luma.shape[1] // side
    squares = luma[: rows * side, : columns * side].reshape(rows, side, columns, side)
    fields: Array = squares.mean((1, 3))
    return fields


def measure(picture: Array, field: Array | None = None) -> PictureQuality:
    """Measure a picture (H, W, 3 uint8). `field` (H, W) bool: where a round field is lit; all of it else.

    Raises ValueError for a picture smaller than 16 by 16, or a field without a pixel.
    """
    if min(picture.shape[:2]) < 16:
        raise ValueError(f"too small to measure: {picture.shape[1]} x {picture.shape[0]} pixels, 16 x 16 at least")
    lit = np.ones(picture.shape[:2], dtype=bool) if field is None else field
    if not lit.any():
        raise ValueError("a field without a pixel")
    luma = gray(picture)
    light = lab(picture)[..., 0][lit]
    spots, glare = _spots(picture, lit)
    return PictureQuality(
        laplacian=laplacian_variance(luma),
        tenengrad=tenengrad(luma),
        dark=float((light < DARK_L).mean()),
        bright=float((light > BRIGHT_L).mean()),
        median_l=float(np.median(light)),
        glare=glare / light.size,
        drops=spots,
        blur=blur_effect(_fields(luma)),
    )


def _spots(picture: Array, lit: Array) -> tuple[int, int]:
    """How many spots of glare are small and round, and how many pixels all others have."""
    from scipy.ndimage import find_objects, label

    hot = (picture.min(2) >= 245) & lit
    parts, count = label(hot, structure=np.ones((3, 3)))
    sizes = np.bincount(parts.ravel(), minlength=count + 1)
    drops, glare = 0, 0
    for number, (rows, columns) in enumerate(find_objects(parts), start=1):
        high, wide = rows.stop - rows.start, columns.stop - columns.start
        small = max(high, wide) <= _DROP_MOST * picture.shape[0]
        if small and max(high, wide) <= _DROP_ROUND * min(high, wide):
            drops += int(sizes[number] >= _DROP_LEAST_PX)
        else:
            glare += int(sizes[number])
    return drops, glare
