"""The renderer: the same scene is the same picture, and its truth lies where geometry puts it."""

from dataclasses import replace

import numpy as np
import pytest

from kiosk.sight.color import difference, lab
from kiosk.sight.rendered import Scene, by_chance, depth_at, film, still
from kiosk.sight.rendered_wall import DRIED_BLOOD, RUST, WHITE_CRUST, Soil

SMALL = Scene(seed=1, width=480, height=270)


def with_soil(scene: Scene, share: float = 0.6, angle: float = 0.0, across: float = 0.8) -> Scene:
    soil = Soil(angle_deg=angle, depth_mm=depth_at(scene, share), across_mm=across)
    return replace(scene, soil=(soil,))


def middle_of(mask: np.ndarray[tuple[int, ...], np.dtype[np.bool_]]) -> tuple[float, float]:
    y, x = np.nonzero(mask)
    return float(x.mean()), float(y.mean())


def test_the_same_scene_is_the_same_picture_and_another_seed_is_another() -> None:
    one, again, other = (still(by_chance(seed, soil=True, width=480, height=270)) for seed in (4, 4, 5))
    assert np.array_equal(one.picture, again.picture)
    assert np.array_equal(one.parts, again.parts)
    assert not np.array_equal(one.picture, other.picture)
    assert one.picture.shape == (270, 480, 3)
    assert one.picture.dtype == np.uint8


@pytest.mark.parametrize("angle", [0, 90, 200])
def test_soil_lies_at_the_angle_and_depth_that_perspective_gives_it(angle: float) -> None:
    """A place on the wall at depth z shows at f R / z from the axis; a patch small beside its depth hardly bends."""
    scene = with_soil(SMALL, share=0.6, angle=angle, across=0.2)
    x, y = middle_of(still(scene).soil)
    away = 0.6 * scene.height / 2
    assert x == pytest.approx(scene.axis[0] + away * np.cos(np.radians(angle)), abs=2)
    assert y == pytest.approx(scene.axis[1] + away * np.sin(np.radians(angle)), abs=2)


def test_a_roll_turns_the_soil_about_the_axis_and_a_scale_takes_it_outward() -> None:
    scene = with_soil(SMALL, share=0.5, angle=0, across=0.2)
    x, y = middle_of(still(replace(scene, roll_deg=90)).soil)
    assert (x, y) == pytest.approx((scene.axis[0], scene.axis[1] + 0.5 * 135), abs=2)
    x, _ = middle_of(still(replace(scene, scale=1.4)).soil)
    assert x - scene.axis[0] == pytest.approx(1.4 * 0.5 * 135, abs=2)


def test_drawn_on_along_the_tube_the_soil_comes_nearer_to_the_edge_of_the_picture() -> None:
    frames = list(film(with_soil(SMALL, share=0.4, across=0.3), 4, step_mm=0.5))
    ways = [middle_of(frame.soil)[0] for frame in frames]
    assert ways == sorted(ways)
    assert ways[-1] > ways[0] + 10


def test_light_falls_along_the_axis_and_the_far_end_is_dark() -> None:
    light = lab(still(replace(SMALL, uneven=0.0)).picture)[..., 0]
    x, y = (round(at) for at in SMALL.axis)
    rings = [float(np.median(light[y, x + away - 3 : x + away + 4])) for away in (4, 30, 70, 130)]
    assert rings == sorted(rings)
    assert rings[0] < 20 < 60 < rings[-1]


def test_the_told_difference_is_that_of_the_two_pictures_where_the_soil_is() -> None:
    scene = replace(with_soil(SMALL), noise=0.0)
    soiled, bare = still(scene), still(replace(scene, soil=()))
    seen = difference(lab(soiled.picture), lab(bare.picture))
    assert float(seen[soiled.soil].mean()) == pytest.approx(soiled.differences[0], abs=0.2)
    assert float(seen[~soiled.soil].mean()) < 0.3


def test_less_cover_is_less_difference_and_a_white_crust_is_lighter_than_the_wall() -> None:
    apart = []
    for cover in (0.1, 0.4, 1.0):
        scene = with_soil(SMALL)
        apart.append(still(replace(scene, soil=(replace(scene.soil[0], cover=cover),))).differences[0])
    assert apart == sorted(apart)
    scene = with_soil(SMALL)
    light = {}
    for color in (DRIED_BLOOD, WHITE_CRUST):
        seen = still(replace(scene, soil=(replace(scene.soil[0], color=color),)))
        light[color] = float(lab(seen.picture)[seen.soil][:, 0].mean())
    bare = float(lab(still(SMALL).picture)[still(scene).soil][:, 0].mean())
    assert light[DRIED_BLOOD] < bare < light[WHITE_CRUST]


def test_rust_and_bristles_are_told_apart_from_soil() -> None:
    seen = still(replace(SMALL, rust=2, bristles=1))
    assert seen.other.any()
    assert not seen.soil.any()
    reddest = lab(seen.picture)[seen.other][:, 1:].max(0)
    assert reddest.min() > 8, RUST


def test_scratches_glare_drops_defocus_and_exposure_change_the_picture_and_not_the_truth() -> None:
    scene = with_soil(SMALL)
    plain = still(scene)
    for change in ({"scratches": 3}, {"glare": 2}, {"droplets": 4}, {"defocus_px": 3.0}, {"exposure": 0.1}):
        seen = still(replace(scene, **change))
        assert not np.array_equal(seen.picture, plain.picture), change
        assert np.array_equal(seen.parts, plain.parts), change


def test_a_round_field_is_black_outside() -> None:
    picture = still(replace(SMALL, round_field=True)).picture
    assert picture[:20, :20].max() < 12
    assert picture[135, 240 + 110].min() > 40
