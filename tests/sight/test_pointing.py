"""Pointing out: what departs is outlined where it is, with a number and no verdict."""

from dataclasses import fields, replace

import numpy as np
import pytest

from kiosk.sight.color import difference, lab
from kiosk.sight.pointing import Mark, Pointed, Settings, point_out
from kiosk.sight.rendered import Scene, Still, depth_at, still
from kiosk.sight.rendered_wall import DRIED_BLOOD, TAN_FILM, Color, Soil
from tests.sight.truth import filled, met

WALL = Scene(seed=11, wall_seed=3, width=640, height=360)


def soiled(color: Color = DRIED_BLOOD, cover: float = 0.9, across: float = 0.8, scene: Scene = WALL) -> Still:
    soil = Soil(angle_deg=70, depth_mm=depth_at(scene, 0.55), across_mm=across, color=color, cover=cover, seed=2)
    return still(replace(scene, soil=(soil,)))


def pointed(seen: Still, **changes: float) -> Pointed:
    found = point_out(seen.picture, settings=replace(Settings(), **changes))  # type: ignore[arg-type]
    assert found is not None
    return found


@pytest.mark.parametrize("color", [DRIED_BLOOD, TAN_FILM])
def test_soil_is_outlined_where_it_lies_and_nothing_else(color: Color) -> None:
    seen = soiled(color)
    (mark,) = pointed(seen).marks
    mask = filled(mark.outline, seen.picture.shape)
    shared = (mask & seen.soil).sum() / (mask | seen.soil).sum()
    assert shared > 0.6
    assert mark.by == "color"
    assert mark.pixels == pytest.approx(seen.soil.sum(), rel=0.35)


def test_the_number_of_a_mark_is_the_color_difference_that_the_soil_made() -> None:
    """Against CIEDE2000 of the mean colors of the same pixels with and without the soil, by the published formula."""
    seen, bare = soiled(), still(WALL)
    (mark,) = pointed(seen).marks
    mask = filled(mark.outline, seen.picture.shape)
    one, other = (lab(picture.picture)[mask].mean(0, dtype=float) for picture in (seen, bare))
    assert mark.difference == pytest.approx(float(difference(one, other)), abs=2.0)
    assert mark.most >= mark.difference


def test_a_bare_wall_has_no_marks_and_says_how_much_of_it_was_read() -> None:
    found = pointed(still(WALL))
    assert found.marks == ()
    assert 0.5 < found.read < 1.0


def test_in_too_little_light_nothing_is_read_and_that_is_said() -> None:
    dark = soiled(scene=replace(WALL, exposure=0.02))
    found = point_out(dark.picture)
    assert found is None or (found.read < 0.3 and not found.marks)


def test_soil_too_faint_for_the_settings_is_missed_and_lower_settings_meet_it() -> None:
    faint = soiled(TAN_FILM, cover=0.2)
    assert met(faint, pointed(faint, spreads=12, least_difference=10)).soils == (False,)
    assert met(faint, pointed(faint, spreads=4, least_difference=2)).soils == (True,)


def test_more_marks_than_the_most_are_counted() -> None:
    found = pointed(still(WALL), spreads=4, least_difference=2, most_marks=3)
    assert len(found.marks) == 3
    assert found.left_out > 0
    assert [mark.most for mark in found.marks] == sorted((mark.most for mark in found.marks), reverse=True)


def test_drops_and_glare_are_left_out_and_not_outlined() -> None:
    found = pointed(still(replace(WALL, droplets=4, glare=2)))
    assert len(found.marks) <= 1
    assert found.read < pointed(still(WALL)).read


def test_a_rough_patch_of_the_walls_own_color_is_outlined_by_texture() -> None:
    """A checkerboard of 8 x 8 pixels, lighter and darker than the wall by 50 steps: its mean is the wall's."""
    picture = still(WALL).picture.copy()
    y, x = np.mgrid[:60, :60]
    board = np.where((x // 8 + y // 8) % 2 == 0, 50, -50)[..., None]
    picture[230:290, 380:440] = np.clip(picture[230:290, 380:440].astype(int) + board, 0, 255)
    found = point_out(picture, settings=Settings(least_difference=30))
    assert found is not None
    assert "texture" in {mark.by for mark in found.marks}
    there = [filled(mark.outline, picture.shape)[230:290, 380:440].any() for mark in found.marks]
    assert all(there)


def test_against_the_known_look_what_was_there_before_is_not_outlined_and_what_is_new_is() -> None:
    old = Soil(angle_deg=200, depth_mm=depth_at(WALL, 0.6), across_mm=0.9, seed=5)
    new = Soil(angle_deg=70, depth_mm=depth_at(WALL, 0.55), across_mm=0.7, seed=6)
    known = still(replace(WALL, soil=(old,)))
    today = still(replace(WALL, seed=12, roll_deg=40, scale=1.06, soil=(old, new), exposure=0.9))
    assert met(today, pointed(today)).soils == (True, True)
    found = point_out(today.picture, known.picture)
    assert found is not None
    assert found.against is not None
    assert found.against.turn_deg == pytest.approx(40, abs=1)
    assert met(today, found).soils == (False, True)


def test_a_known_look_that_does_not_fit_gives_nothing_rather_than_a_comparison() -> None:
    assert point_out(still(WALL).picture, still(replace(WALL, wall_seed=77, seed=5)).picture) is None


def test_a_picture_without_a_bore_gives_nothing() -> None:
    noise = np.random.default_rng(2).integers(0, 256, (360, 640, 3)).astype(np.uint8)
    assert point_out(noise) is None


def test_a_mark_carries_numbers_and_no_verdict() -> None:
    assert [field.name for field in fields(Mark)] == ["outline", "difference", "most", "pixels", "by"]
    mark = pointed(soiled()).marks[0]
    assert {type(value) for value in (mark.difference, mark.most, mark.pixels)} == {float}
    assert mark.by in {"color", "texture"}


def test_outlines_stay_in_the_picture() -> None:
    seen = still(replace(WALL, soil=(Soil(angle_deg=90, depth_mm=depth_at(WALL, 1.0), across_mm=1.5),)))
    for mark in pointed(seen).marks:
        points = np.array(mark.outline)
        assert points.min() >= 0
        assert (points <= (639, 359)).all()
