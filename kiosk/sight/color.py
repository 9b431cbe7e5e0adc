"""sRGB to CIELAB under D65, and the color difference CIEDE2000, over whole pictures.

Imports numpy at the top: itself imported on first use, off the way of a touch. Sources: IEC 61966-2-1:1999 (curve and
primaries of sRGB); CIE 15:2004 (CIELAB); CIE 142-2001, written as in Sharma, Wu, Dalal, Color Research & Application
30 (2005) 21-30, equations 2 to 22.
"""

import math
from typing import Any

import numpy as np
from numpy.typing import NDArray

Array = NDArray[Any]

D65 = (0.95047, 1.0, 1.08883)
"""White of the 2 degree observer, Y of 1 (ASTM E308, as color calculators print it)."""

_PRIMARIES = ((0.64, 0.33), (0.30, 0.60), (0.15, 0.06))
_EDGE = 6 / 29
_FAR = 25.0**7
_TURN = 2 * math.pi


def _matrix() -> Array:
    """Linear sRGB to XYZ, from the primaries of the standard and D65."""
    columns = np.array([(x / y, 1.0, (1 - x - y) / y) for x, y in _PRIMARIES]).T
    matrix: Array = columns * np.linalg.solve(columns, np.array(D65))
    return matrix


TO_XYZ: Array = _matrix()
_STEPS = np.arange(256) / 255
LINEAR: Array = np.where(_STEPS <= 0.04045, _STEPS / 12.92, ((_STEPS + 0.055) / 1.055) ** 2.4)
"""Light of each of the 256 steps of sRGB, from 0 to 1."""
_LINEAR = LINEAR.astype(np.float32)


def encoded(light: Array) -> Array:
    """Linear light (0 to 1, cut to it) as sRGB steps, 0 to 255, not yet rounded."""
    cut = np.clip(light, 0, 1)
    return 255 * np.where(cut <= 0.0031308, cut * 12.92, 1.055 * cut ** (1 / 2.4) - 0.055)


def lab_of_xyz(xyz: Array, white: tuple[float, float, float] = D65) -> Array:
    """CIELAB (..., 3) of XYZ (..., 3), both with the white's Y as 1."""
    share = xyz / np.array(white, dtype=xyz.dtype)
    root = np.cbrt(share)
    low = share <= _EDGE**3
    if low.any():
        root[low] = share[low] / (3 * _EDGE**2) + 4 / 29
    lab: Array = np.empty_like(root)
    lab[..., 0] = 116 * root[..., 1] - 16
    lab[..., 1] = 500 * (root[..., 0] - root[..., 1])
    lab[..., 2] = 200 * (root[..., 1] - root[..., 2])
    return lab


def lab(picture: Array) -> Array:
    """CIELAB (..., 3) of sRGB (..., 3): uint8 steps as float32, or floats from 0 to 255 in their own kind."""
    if picture.dtype == np.uint8:
        light = _LINEAR[picture]
    else:
        share = picture / 255
        light = np.where(share <= 0.04045, share / 12.92, ((share + 0.055) / 1.055) ** 2.4).astype(picture.dtype)
    return lab_of_xyz(light @ TO_XYZ.T.astype(light.dtype))


def difference(one: Array, other: Array) -> Array:
    """CIEDE2000 between CIELAB arrays (..., 3) that broadcast, kL = kC = kH = 1. Shape (...), kind of the input."""
    l1, a1, b1 = one[..., 0], one[..., 1], one[..., 2]
    l2, a2, b2 = other[..., 0], other[..., 1], other[..., 2]
    mean7 = ((np.hypot(a1, b1) + np.hypot(a2, b2)) / 2) ** 7
    stretch = 1.5 - 0.5 * np.sqrt(mean7 / (mean7 + _FAR))
    a1, a2 = a1 * stretch, a2 * stretch
    c1, c2 = np.hypot(a1, b1), np.hypot(a2, b2)
    h1, h2 = np.arctan2(b1, a1) % _TURN, np.arctan2(b2, a2) % _TURN
    # Hue turns the short way; where one color is gray it does not count (c1 c2 = 0), and the mean is their sum.
    gray = c1 * c2 == 0
    turn = h2 - h1
    turn = turn - _TURN * np.round(turn / _TURN)
    turn = np.where(gray, 0, turn)
    mean_h = np.where(gray, h1 + h2, h1 + turn / 2)
    light, chroma = l2 - l1, c2 - c1
    hue = 2 * np.sqrt(c1 * c2) * np.sin(turn / 2)
    mean_l, mean_c = (l1 + l2) / 2, (c1 + c2) / 2
    weight = (
        1
        - 0.17 * np.cos(mean_h - np.pi / 6)
        + 0.24 * np.cos(2 * mean_h)
        + 0.32 * np.cos(3 * mean_h + np.pi / 30)
        - 0.20 * np.cos(4 * mean_h - math.radians(63))
    )
    off = (mean_l - 50) ** 2
    by_l = light / (1 + 0.015 * off / np.sqrt(20 + off))
    by_c = chroma / (1 + 0.045 * mean_c)
    by_h = hue / (1 + 0.015 * mean_c * weight)
    # The mean hue of the paper lies in 0 to 360; here it may lie a turn lower, which only this term feels.
    degrees = np.degrees(mean_h) % 360
    angle = np.pi / 3 * np.exp(-(((degrees - 275) / 25) ** 2))
    mean7 = mean_c**7
    turned = -np.sin(angle) * 2 * np.sqrt(mean7 / (mean7 + _FAR))
    total: Array = np.sqrt(np.maximum(by_l**2 + by_c**2 + by_h**2 + turned * by_c * by_h, 0))
    return total
