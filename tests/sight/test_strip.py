"""Unrolling and the way back, against known places and scipy's own resampling."""

import numpy as np
import pytest
from scipy.ndimage import geometric_transform

from kiosk.sight.axis import Axis, Field
from kiosk.sight.color import Array
from kiosk.sight.outline import outline
from kiosk.sight.strip import Grid, grid, roll_back, unroll

AXIS = Axis(x=161.3, y=88.7, agree=1.0, field=None)
CELLS = grid(AXIS, 320, 180)


def test_the_strip_is_scipys_resampling_by_lines_at_the_same_log_polar_places() -> None:
    """scipy.ndimage.geometric_transform, order 1, with the log-polar places written out anew."""
    picture = np.random.default_rng(3).integers(0, 256, (180, 320)).astype(np.uint8)
    strip, seen = unroll(picture, CELLS)

    def place(cell: tuple[int, ...]) -> tuple[float, float]:
        away = CELLS.first * np.exp(cell[0] * 2 * np.pi / CELLS.around)
        turn = cell[1] * 2 * np.pi / CELLS.around
        return AXIS.y + away * np.sin(turn), AXIS.x + away * np.cos(turn)

    wanted = geometric_transform(picture.astype(float), place, output_shape=(CELLS.rows, CELLS.around), order=1)
    inner = seen & np.roll(seen, 1, 1) & np.roll(seen, -1, 1)
    assert inner.mean() > 0.5
    assert strip[inner] == pytest.approx(wanted[inner], abs=0.5)


def test_a_place_goes_into_the_strip_and_comes_back() -> None:
    rng = np.random.default_rng(5)
    x, y = rng.uniform(0, 320, 500), rng.uniform(0, 180, 500)
    far = np.hypot(x - AXIS.x, y - AXIS.y) > 1
    rows, columns = CELLS.strip_points(x[far], y[far])
    back = CELLS.picture_points(rows, columns)
    assert back[0] == pytest.approx(x[far])
    assert back[1] == pytest.approx(y[far])
    assert columns.min() >= 0
    assert columns.max() < CELLS.around


def test_a_turned_and_scaled_picture_is_the_strip_shifted() -> None:
    """A pattern written as a function of angle and distance, drawn twice: once turned by 30 degrees, 1.25 as large."""
    y, x = np.mgrid[:240, :240]
    cells = grid(Axis(x=119.5, y=119.5, agree=1, field=None), 240, 240)
    turn, scale = np.radians(30), 1.25

    def drawn(turn: float, scale: float) -> Array:
        away, angle = np.hypot(x - 119.5, y - 119.5) / scale, np.arctan2(y - 119.5, x - 119.5) - turn
        pattern: Array = (128 + 50 * np.sin(5 * angle) * np.cos(4 * np.log(away + 1e-9))).astype(np.float32)
        return pattern

    plain, moved = (unroll(drawn(*way), cells)[0] for way in ((0.0, 1.0), (turn, scale)))
    rows, columns = np.log(scale) / cells.step, turn / cells.step
    shifted = np.roll(plain, (round(rows), round(columns)), (0, 1))
    inside = slice(round(rows) + 10, cells.rows - 12)
    assert np.abs(shifted[inside] - moved[inside]).mean() < 3
    assert np.abs(plain[inside] - moved[inside]).mean() > 15


def test_an_outline_of_a_disc_in_the_picture_comes_back_as_that_disc() -> None:
    """A disc by its radius: the polygon's middle, area and farthest corner, also across the seam of the strip."""
    for angle in (0.0, 100.0):
        center = AXIS.x + 55 * np.cos(np.radians(angle)), AXIS.y + 55 * np.sin(np.radians(angle))
        rows, columns = np.mgrid[: CELLS.rows, : CELLS.around]
        x, y = CELLS.picture_points(rows, columns)
        mask = np.hypot(x - center[0], y - center[1]) < 14
        points = np.array(outline(mask, CELLS))
        away = np.hypot(*(points - center).T)
        assert away.min() > 11
        assert away.max() < 17
        px, py = points.T
        area = abs(np.dot(px, np.roll(py, -1)) - np.dot(py, np.roll(px, -1))) / 2
        assert area == pytest.approx(np.pi * 14**2, rel=0.05)
        back = roll_back(mask, CELLS)
        assert back.sum() == pytest.approx(np.pi * 14**2, rel=0.05)
        assert back[round(center[1]), round(center[0])]


def test_a_part_around_the_whole_bore_gives_its_near_edge() -> None:
    mask = np.zeros((CELLS.rows, CELLS.around), dtype=bool)
    mask[20:30] = True
    away = np.hypot(*(np.array(outline(mask, CELLS)) - (AXIS.x, AXIS.y)).T)
    near = CELLS.first * np.exp(29.5 * CELLS.step)
    assert away == pytest.approx(near, rel=0.02)


def test_a_cells_pixels_add_up_to_the_picture() -> None:
    cells = grid(Axis(x=159.5, y=89.5, agree=1, field=Field(x=159.5, y=89.5, radius=80)), 320, 180)
    disc = np.pi * 80**2 * (1 - (cells.first / 80) ** 2)
    assert cells.cell_px().sum() * cells.around == pytest.approx(disc, rel=0.05)


def test_a_picture_of_another_size_is_refused() -> None:
    with pytest.raises(ValueError, match="a picture of 100 x 50, cells for 320 x 180"):
        unroll(np.zeros((50, 100), dtype=np.uint8), CELLS)


def test_cells_can_be_laid_out_by_hand() -> None:
    cells = Grid(x=10, y=10, width=21, height=21, around=8, rows=3, first=2.0, turn=np.pi / 2)
    x, y = cells.picture_points(np.array([0]), np.array([0]))
    assert (x[0], y[0]) == pytest.approx((10, 12))
