"""Today's picture laid on the known look: known turns and scales are found, and what does not fit is said not to."""

from dataclasses import replace

import numpy as np
import pytest

from kiosk.sight.registration import LEAST_FIT, best_match, register
from kiosk.sight.rendered import Scene, by_chance, still


def known(seed: int) -> Scene:
    return by_chance(seed, soil=False, width=640, height=360)


@pytest.mark.parametrize("seed", range(6))
def test_a_known_turn_and_scale_are_found_again(seed: int) -> None:
    """The same wall with other noise, glare and light; the true turn and scale are the scene's."""
    rng = np.random.default_rng(seed)
    turn, scale = float(rng.uniform(-170, 170)), float(rng.uniform(0.8, 1.3))
    before = known(seed)
    now = replace(before, seed=900 + seed, roll_deg=before.roll_deg + turn, scale=scale)
    found = register(still(now).picture, still(before).picture)
    assert found is not None
    assert found.turn_deg == pytest.approx(turn, abs=1.0)
    assert found.scale == pytest.approx(scale, rel=0.015)


@pytest.mark.parametrize("seed", range(6))
def test_another_wall_does_not_fit_and_that_is_said(seed: int) -> None:
    one, other = known(seed), replace(known(seed), wall_seed=500 + seed, seed=seed + 40)
    best = best_match(still(one).picture, still(other).picture)
    assert best is not None
    assert best.fit < LEAST_FIT
    assert register(still(one).picture, still(other).picture) is None


def test_a_picture_too_blurred_to_show_its_finish_does_not_fit() -> None:
    blurred = replace(known(2), defocus_px=25.0)
    assert register(still(blurred).picture, still(known(2)).picture) is None


def test_a_picture_without_an_axis_is_not_compared() -> None:
    noise = np.random.default_rng(1).integers(0, 256, (360, 640, 3)).astype(np.uint8)
    assert best_match(noise, still(known(1)).picture) is None
    assert best_match(still(known(1)).picture, noise) is None


def test_the_same_picture_fits_without_turn_or_scale() -> None:
    picture = still(known(3)).picture
    found = best_match(picture, picture)
    assert found is not None
    assert (found.turn_deg, found.scale, found.fit) == pytest.approx((0, 1, 1), abs=0.01)


def test_two_sizes_are_refused() -> None:
    with pytest.raises(ValueError, match=r"pictures of two sizes: \(640, 360\) and \(480, 270\)"):
        best_match(still(known(1)).picture, still(replace(known(1), width=480, height=270)).picture)
