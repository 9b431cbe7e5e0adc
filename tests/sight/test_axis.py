"""The bore's axis: found where the scene put it, and said not to be there where there is none."""

from dataclasses import replace

import numpy as np
import pytest

from kiosk.sight.axis import find_axis
from kiosk.sight.rendered import Scene, by_chance, still


@pytest.mark.parametrize("seed", range(12))
def test_the_axis_is_found_within_a_hundredth_of_the_height(seed: int) -> None:
    """Bores, finishes, one-sided light, glare, drops and soil by chance; the true axis is the scene's."""
    scene = by_chance(seed, soil=seed % 2 == 0, width=640, height=360)
    axis = find_axis(still(scene).picture)
    assert axis is not None
    assert np.hypot(axis.x - scene.axis[0], axis.y - scene.axis[1]) < 3.6
    assert axis.field is None


def test_the_axis_is_found_far_off_the_middle_and_in_little_light() -> None:
    for scene in (
        Scene(seed=3, width=640, height=360, axis_at=(0.25, -0.2)),
        Scene(seed=4, width=640, height=360, exposure=0.15, defocus_px=2),
    ):
        axis = find_axis(still(scene).picture)
        assert axis is not None
        assert (axis.x, axis.y) == pytest.approx(scene.axis, abs=5)


def test_in_a_round_field_the_axis_and_the_field_are_told_apart() -> None:
    scene = Scene(seed=5, width=640, height=360, round_field=True, axis_at=(0.07, -0.05))
    axis = find_axis(still(scene).picture)
    assert axis is not None
    assert axis.field is not None
    assert (axis.x, axis.y) == pytest.approx(scene.axis, abs=5)
    assert (axis.field.x, axis.field.y) == pytest.approx((319.5, 179.5), abs=2)
    assert axis.field.radius == pytest.approx(0.48 * 360, abs=5)


def test_a_picture_without_a_lumen_has_no_axis() -> None:
    rng = np.random.default_rng(1)
    slope = np.repeat(np.tile(np.linspace(20, 200, 320), (180, 1))[..., None], 3, axis=2)
    for picture in (rng.integers(0, 256, (180, 320, 3)), slope, np.zeros((180, 320, 3)), np.full((180, 320, 3), 255)):
        assert find_axis(picture.astype(np.uint8)) is None


def test_half_a_lumen_whose_axis_lies_outside_the_picture_has_none() -> None:
    picture = still(replace(Scene(seed=6), width=640, height=360)).picture
    assert find_axis(np.ascontiguousarray(picture[:, 400:])) is None
