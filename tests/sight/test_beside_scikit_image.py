"""Color, unrolling and turning beside scikit-image, where it is installed."""

from dataclasses import replace

import numpy as np
import pytest

from kiosk.sight.axis import Axis
from kiosk.sight.color import difference, lab
from kiosk.sight.registration import register
from kiosk.sight.rendered import by_chance, still
from kiosk.sight.strip import grid, unroll

WHY_NOT = "scikit-image is not installed: add it to the test extra"
COLOR, TRANSFORM, REGISTRATION = (
    pytest.importorskip(f"skimage.{part}", reason=WHY_NOT) for part in ("color", "transform", "registration")
)


def test_cielab_and_color_difference_of_random_pictures() -> None:
    """Its matrix is rounded to six places: that moves CIELAB by less than 0.02."""
    steps = np.random.default_rng(9).integers(0, 256, (2, 64, 64, 3)).astype(np.uint8)
    ours = lab(steps)
    assert ours == pytest.approx(np.stack([COLOR.rgb2lab(each) for each in steps]), abs=0.02)
    exact = ours.astype(float)
    assert difference(exact[0], exact[1]) == pytest.approx(COLOR.deltaE_ciede2000(exact[0], exact[1]), abs=1e-6)


def test_unrolling_is_its_log_polar_warp() -> None:
    """warp_polar: row by angle, column by the logarithm of the distance from 1 pixel on."""
    picture = np.random.default_rng(4).integers(0, 256, (200, 200)).astype(float)
    cells = replace(grid(Axis(x=101.2, y=97.6, agree=1, field=None), 200, 200), first=1.0)
    cells = replace(cells, rows=int(np.log(90) / cells.step))
    strip, _ = unroll(picture, cells)
    radius = float(np.exp(cells.rows * cells.step))
    shape = (cells.around, cells.rows)
    theirs = TRANSFORM.warp_polar(
        picture, center=(97.6, 101.2), radius=radius, output_shape=shape, scaling="log", order=1
    )
    assert strip == pytest.approx(theirs.T, abs=0.5)


def test_the_turn_is_that_of_its_phase_correlation() -> None:
    """phase_cross_correlation of its own polar pictures about the scene's axis."""
    before = replace(by_chance(3, soil=False, width=640, height=360), axis_at=(0.0, 0.0))
    now = replace(before, seed=903, roll_deg=before.roll_deg + 37)
    pictures = [still(scene).picture for scene in (now, before)]
    polar = [TRANSFORM.warp_polar(picture[..., 1] / 255, center=(179.5, 319.5), radius=170) for picture in pictures]
    polar = [each - np.median(each, axis=0) for each in polar]
    shift = REGISTRATION.phase_cross_correlation(polar[0], polar[1], upsample_factor=10)[0]
    found = register(pictures[0], pictures[1])
    assert found is not None
    assert found.turn_deg == pytest.approx(((float(shift[0]) + 180) % 360) - 180, abs=1.0)
