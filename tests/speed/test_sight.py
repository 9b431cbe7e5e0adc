"""What pointing out costs on a still of 1280 x 720, against the same arithmetic in bare numpy.

Told as a ratio in one run; a time is never passed or failed. The bare side has the axis given and its places reckoned
before the clock starts; it stops at the mask: no search for the axis, no joined parts, no outlines.
"""

from dataclasses import replace

import numpy as np
import pytest
from scipy.ndimage import gaussian_filter, uniform_filter

from kiosk.sight.color import LINEAR, TO_XYZ, Array
from kiosk.sight.pointing import point_out
from kiosk.sight.rendered import by_chance, still
from kiosk.sight.strip import Grid, grid
from tests.speed.conftest import Tell
from tests.speed.figures import Figure, in_turn

ROUNDS = 9
STEPS = LINEAR.astype(np.float32)
MATRIX = (TO_XYZ / np.array([[0.95047], [1.0], [1.08883]])).T.astype(np.float32)


class Bare:
    """The arithmetic alone: places once, then picture to mask."""

    def __init__(self, cells: Grid) -> None:
        x, y = cells.picture_points(np.arange(cells.rows)[:, None], np.arange(cells.around)[None, :])
        self.seen = (x >= 0) & (y >= 0) & (x <= cells.width - 1) & (y <= cells.height - 1)
        x, y = np.clip(x, 0, cells.width - 1.001), np.clip(y, 0, cells.height - 1.001)
        self.at = y.astype(np.int32) * cells.width + x.astype(np.int32)
        self.right, self.down = ((each % 1).astype(np.float32)[..., None] for each in (x, y))
        self.wide = cells.width
        turn = np.arange(cells.around, dtype=np.float32) * np.float32(cells.step)
        self.waves = np.stack([np.cos(turn), np.sin(turn)])

    def mask(self, picture: Array) -> Array:
        flat = uniform_filter(picture, (3, 3, 1)).reshape(-1, 3)
        upper = flat[self.at] * (1 - self.right) + flat[self.at + 1] * self.right
        lower = flat[self.at + self.wide] * (1 - self.right) + flat[self.at + self.wide + 1] * self.right
        steps = (upper * (1 - self.down) + lower * self.down + 0.5).astype(np.uint8)
        root = np.cbrt(STEPS[steps] @ MATRIX)
        colors = np.empty_like(root)
        colors[..., 0] = 116 * root[..., 1] - 16
        colors[..., 1] = 500 * (root[..., 0] - root[..., 1])
        colors[..., 2] = 200 * (root[..., 1] - root[..., 2])
        read = self.seen & (colors[..., 0] > 8) & (picture.min(2).ravel()[self.at] < 245)
        ring = self.middle(colors, read)
        off = colors - ring[:, None]
        cut = np.where(read, np.clip(off[..., 0], -10, 10), 0)
        wall = np.repeat(ring[:, None], colors.shape[1], 1)
        wall[..., 0] += (2 * (cut @ self.waves.T) / np.maximum(read.sum(1), 1)[:, None]) @ self.waves
        away = np.abs(colors - wall)
        spread = np.maximum(1.4826 * self.middle(away, read), np.float32(0.5))
        beyond = np.minimum(np.sqrt(((away / spread[:, None]) ** 2).sum(2)) / 6, self.difference(colors, wall) / 4)
        light = np.where(read, colors[..., 0] - wall[..., 0], 0)
        fine = light - gaussian_filter(light, 2.0, mode=("nearest", "wrap"))
        power = gaussian_filter(fine * fine, 2.0, mode=("nearest", "wrap"))
        usual = np.maximum(self.middle(power[..., None], read)[:, 0], 0.15)
        found: Array = read & ((beyond > 1) | (np.sqrt(power / usual[:, None]) > 10))
        return found

    @staticmethod
    def middle(values: Array, read: Array) -> Array:
        count = read.sum(1)
        ordered = np.sort(np.where(read[..., None], values, np.float32(200)), axis=1)
        half: Array = ordered[np.arange(len(count)), np.maximum(count // 2, 0) % values.shape[1]]
        return half

    @staticmethod
    def difference(one: Array, other: Array) -> Array:
        (l1, a1, b1), (l2, a2, b2) = (np.moveaxis(each, 2, 0) for each in (one, other))
        mean = ((np.hypot(a1, b1) + np.hypot(a2, b2)) / 2) ** 7
        stretch = 1.5 - 0.5 * np.sqrt(mean / (mean + 25.0**7))
        a1, a2 = a1 * stretch, a2 * stretch
        c1, c2 = np.hypot(a1, b1), np.hypot(a2, b2)
        h1, h2 = np.arctan2(b1, a1) % 6.2831853, np.arctan2(b2, a2) % 6.2831853
        turn = h2 - h1
        turn -= 6.2831853 * np.round(turn / 6.2831853)
        hue, chroma, low = h1 + turn / 2, (c1 + c2) / 2, ((l1 + l2) / 2 - 50) ** 2
        weight = 1 - 0.17 * np.cos(hue - 0.5236) + 0.24 * np.cos(2 * hue)
        weight += 0.32 * np.cos(3 * hue + 0.10472) - 0.2 * np.cos(4 * hue - 1.09956)
        by_l = (l2 - l1) / (1 + 0.015 * low / np.sqrt(20 + low))
        by_c = (c2 - c1) / (1 + 0.045 * chroma)
        by_h = 2 * np.sqrt(c1 * c2) * np.sin(turn / 2) / (1 + 0.015 * chroma * weight)
        power = chroma**7
        angle = 1.0472 * np.exp(-(((np.degrees(hue) % 360 - 275) / 25) ** 2))
        cross = -2 * np.sin(angle) * np.sqrt(power / (power + 25.0**7))
        total: Array = np.sqrt(np.maximum(by_l**2 + by_c**2 + by_h**2 + cross * by_c * by_h, 0))
        return total


@pytest.mark.slow
def test_pointing_out_on_a_still_against_the_same_arithmetic_in_bare_numpy(tell: Tell) -> None:
    """Against the wall itself, one soil on it; and against the known look, which is registered first."""
    scene = by_chance(8, soil=True)
    picture, known = still(scene).picture, still(replace(scene, seed=1, soil=())).picture
    pointed = point_out(picture)
    assert pointed is not None
    assert pointed.marks
    bare = Bare(grid(pointed.axis, 1280, 720))
    assert bare.mask(picture).any()
    against = "the same arithmetic in bare numpy, axis given"
    ours, base = in_turn(lambda: point_out(picture), lambda: bare.mask(picture), ROUNDS)
    tell(Figure(what="pointing out on 1280 x 720", against=against, ours=ours, base=base, goal=1.5))
    ours, base = in_turn(lambda: point_out(picture, known), lambda: bare.mask(picture), ROUNDS)
    tell(Figure(what="pointing out on 1280 x 720, against the known look", against=against, ours=ours, base=base))
