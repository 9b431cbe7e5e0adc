"""Smoothing and growing as scipy.ndimage does them, value for value: there they are general, here they are quick."""

import numpy as np
import pytest
from scipy.ndimage import binary_dilation, uniform_filter

from kiosk.sight.rendered import by_chance, still
from kiosk.sight.strip import Grid, unroll
from kiosk.sight.wall import _grown, _smoothed


@pytest.mark.parametrize("seed", range(4))
def test_the_means_of_three_by_three_are_those_of_scipy_in_every_pixel(seed: int) -> None:
    noise = np.random.default_rng(seed).integers(0, 256, (61, 83, 3), dtype=np.uint8)
    for picture in (noise, still(by_chance(seed, soil=True)).picture, np.full((5, 7, 3), 255, np.uint8)):
        assert np.array_equal(_smoothed(picture), uniform_filter(picture, (3, 3, 1)))


def test_glare_is_grown_as_scipy_grows_it() -> None:
    for seed in range(4):
        mask = np.random.default_rng(seed).random((40, 50)) < 0.1
        assert np.array_equal(_grown(mask), binary_dilation(mask))


def test_colors_unrolled_together_are_those_of_each_channel_by_itself() -> None:
    picture = np.random.default_rng(3).integers(0, 256, (90, 120, 3), dtype=np.uint8)
    cells = Grid(x=60.2, y=44.7, width=120, height=90, around=128, rows=40, first=4.0)
    together, _ = unroll(picture, cells)
    apart = np.stack([unroll(picture[..., n].astype(np.float32), cells)[0] for n in range(3)], -1)
    assert np.array_equal(together, apart)
