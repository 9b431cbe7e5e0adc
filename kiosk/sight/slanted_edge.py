"""How sharp an edge shows: the spatial frequency response of a slanted edge, after ISO 12233 (e-SFR).

Imports numpy at the top: itself imported on first use, off the way of a touch. Steps of the standard: linear light, the
edge's line fitted, pixels laid along the line's normal in quarters of a pixel, differences, a Hamming window, the
Fourier transform's magnitude, corrected for the differences. Any turn of the edge is read, not only a near upright one.
"""

import numpy as np

from kiosk.sight.color import Array

PER_PX = 4
"""Places a pixel along the normal (ISO 12233: four)."""
_LEAST_PX = 8
_SLICES = 12
"""Parts of the edge in which its middle is sought to fit the line."""


class NoEdge(ValueError):
    """The edge can not be read: too few pixels, no contrast, or it lies along the pixels' rows."""


def edge_response(
    light: Array, one: tuple[float, float], other: tuple[float, float], half: float
) -> tuple[Array, Array]:
    """Frequencies (cycles per pixel) and response of the edge from `one` to `other` (x, y), read `half` pixels to both
    sides; `light` (H, W) is linear. Raises NoEdge."""
    along_px = float(np.hypot(other[0] - one[0], other[1] - one[1]))
    if along_px < _LEAST_PX or half < _LEAST_PX:
        raise NoEdge("the edge is too short in the picture")
    middle = np.array([(one[0] + other[0]) / 2, (one[1] + other[1]) / 2])
    way = np.array([other[0] - one[0], other[1] - one[1]]) / along_px
    high, wide = light.shape
    reach = along_px / 2 + half
    left, right = max(0, int(middle[0] - reach)), min(wide, int(middle[0] + reach) + 2)
    top, bottom = max(0, int(middle[1] - reach)), min(high, int(middle[1] + reach) + 2)
    y, x = np.mgrid[top:bottom, left:right]
    values = light[top:bottom, left:right]
    for _ in range(3):
        normal = np.array([-way[1], way[0]])
        off = (x - middle[0]) * normal[0] + (y - middle[1]) * normal[1]
        at = (x - middle[0]) * way[0] + (y - middle[1]) * way[1]
        near = (np.abs(off) <= half) & (np.abs(at) <= along_px / 2)
        middle, way = _fitted(off[near], at[near], values[near], middle, way, along_px)
    normal = np.array([-way[1], way[0]])
    off = (x - middle[0]) * normal[0] + (y - middle[1]) * normal[1]
    at = (x - middle[0]) * way[0] + (y - middle[1]) * way[1]
    near = (np.abs(off) <= half) & (np.abs(at) <= along_px / 2)
    return _response(_spread(off[near], values[near], half))


def mtf50(frequencies: Array, response: Array) -> float:
    """The frequency at which the response falls to one half, between the values by a straight line. Raises NoEdge."""
    under = np.nonzero(response < 0.5)[0]
    if not len(under) or under[0] == 0:
        raise NoEdge("the response does not fall to one half")
    at = int(under[0])
    before, after = response[at - 1], response[at]
    share = (before - 0.5) / (before - after)
    return float(frequencies[at - 1] + share * (frequencies[at] - frequencies[at - 1]))


def _fitted(off: Array, at: Array, values: Array, middle: Array, way: Array, along_px: float) -> tuple[Array, Array]:
    """The edge's line again: in each slice the middle of its light's change, a straight line through them."""
    slices = np.minimum(((at / along_px + 0.5) * _SLICES).astype(int), _SLICES - 1)
    found: list[tuple[float, float]] = []
    for n in range(_SLICES):
        mine = slices == n
        if mine.sum() < 20:
            continue
        places, light = off[mine], values[mine]
        far = np.quantile(np.abs(places), 0.6)
        low, high = light[places < -far], light[places > far]
        if not low.size or not high.size or abs(float(high.mean() - low.mean())) < 1e-3:
            continue
        low, high = low.mean(), high.mean()
        # The area under the edge says where its middle lies, whatever its shape.
        reach = float(np.abs(places).max())
        share = float(((light - low) / (high - low)).mean())
        found.append((float(at[mine].mean()), reach * (1 - 2 * share)))
    if len(found) < _SLICES // 2:
        raise NoEdge("no edge is seen there")
    where, moved = np.array(found).T
    slope, start = np.polyfit(where, moved, 1)
    normal = np.array([-way[1], way[0]])
    turned = way + slope * normal
    return middle + start * normal, turned / np.hypot(*turned)


def _spread(off: Array, values: Array, half: float) -> Array:
    """The edge spread: means in quarters of a pixel along the normal; few empty places are bridged."""
    places = np.floor((off + half) * PER_PX).astype(int)
    count = int(2 * half * PER_PX)
    inside = (places >= 0) & (places < count)
    number = np.bincount(places[inside], minlength=count)
    total = np.bincount(places[inside], weights=values[inside], minlength=count)
    if (number == 0).mean() > 0.2:
        raise NoEdge("the edge lies along the rows of pixels")
    known = np.nonzero(number)[0]
    spread: Array = np.interp(np.arange(count), known, total[known] / number[known])
    return spread


def _response(spread: Array) -> tuple[Array, Array]:
    line = np.diff(spread)
    if abs(float(line.sum())) < 1e-3:
        raise NoEdge("no contrast at the edge")
    center = round(float((np.arange(len(line)) * np.abs(line)).sum() / np.abs(line).sum()))
    reach = min(center, len(line) - 1 - center)
    if reach < _LEAST_PX:
        raise NoEdge("the edge does not lie in the middle")
    line = line[center - reach : center + reach + 1] * np.hamming(2 * reach + 1)
    size = 8 * len(line)
    frequencies = np.fft.rfftfreq(size, 1 / PER_PX)
    response = np.abs(np.fft.rfft(line, size))
    response /= response[0]
    response /= np.maximum(np.sinc(frequencies / PER_PX), 0.1)
    return frequencies, response
