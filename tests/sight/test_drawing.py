"""The outlines are seen on any ground, by eyes of fewer colors and in gray.

Contrast: WCAG 2.2, 1.4.11 (3:1 for graphics). Color blindness: Machado, Oliveira, Fernandes, IEEE Trans. Visualization
and Computer Graphics 15 (2009) 1291-1298, full severity, as coloraide has it; Vienot 1999 as a second opinion.
"""

import numpy as np
import pytest
from coloraide import Color

from kiosk.sight.color import difference, lab
from kiosk.sight.drawing import DARK, LIGHT, with_outlines
from kiosk.sight.pointing import point_out
from kiosk.sight.rendered import Scene, depth_at, still
from kiosk.sight.rendered_wall import BRISTLE, DRIED_BLOOD, GRAY_GREEN, RUST, STEEL, TAN_FILM, WHITE_CRUST, Soil

EYES = ["normal", "protan-machado", "deutan-machado", "tritan-machado", "protan-vienot", "deutan-vienot"]
GROUNDS = [STEEL, DRIED_BLOOD, TAN_FILM, WHITE_CRUST, GRAY_GREEN, RUST, BRISTLE, (8, 8, 8), (255, 255, 255)]
GROUNDS += [(step, step, step) for step in range(0, 256, 5)]


def seen(color: tuple[int, ...], eyes: str) -> Color:
    plain = Color("srgb", [step / 255 for step in color])
    kind, _, method = eyes.partition("-")
    return plain.filter(kind, 1, method=method).clip("srgb") if method else plain


def contrast(one: Color, other: Color) -> float:
    return one.contrast(other, method="wcag21")


@pytest.mark.parametrize("eyes", EYES)
def test_on_every_ground_one_of_the_two_lines_stands_out(eyes: str) -> None:
    lines = [seen(line, eyes) for line in (DARK, LIGHT)]
    worst = min(max(contrast(line, seen(ground, eyes)) for line in lines) for ground in GROUNDS)
    assert worst >= 4.0


@pytest.mark.parametrize("eyes", EYES)
def test_the_two_lines_stand_out_from_each_other(eyes: str) -> None:
    assert contrast(seen(DARK, eyes), seen(LIGHT, eyes)) >= 7


@pytest.mark.parametrize("eyes", EYES)
def test_the_light_line_is_no_color_that_lies_in_a_lumen(eyes: str) -> None:
    """CIEDE2000 of 20 and more from wall, soil, rust, crust and glare alike: it is taken for none of them."""
    near = min(seen(LIGHT, eyes).delta_e(seen(ground, eyes), method="2000") for ground in GROUNDS)
    assert near >= 20


@pytest.mark.parametrize("color", [DRIED_BLOOD, TAN_FILM, WHITE_CRUST])
def test_drawn_over_a_rendered_soil_the_outline_changes_what_is_seen_in_gray_too(color: tuple[int, int, int]) -> None:
    """Beside every drawn light pixel lies a drawn dark one, and L* alone tells them apart by 60."""
    scene = Scene(seed=31, width=640, height=360)
    soil = Soil(angle_deg=20, depth_mm=depth_at(scene, 0.5), across_mm=0.9, color=color)
    picture = still(Scene(seed=31, width=640, height=360, soil=(soil,))).picture
    found = point_out(picture)
    assert found is not None
    drawn = with_outlines(picture, [mark.outline for mark in found.marks])
    changed = (drawn != picture).any(2)
    assert 50 < changed.sum() < 0.05 * changed.size
    light = lab(drawn)[..., 0][changed]
    assert light.max() - light.min() > 60
    assert {DARK, LIGHT} <= {tuple(color) for color in drawn[changed].tolist()}
    assert float(difference(lab(drawn), lab(picture))[changed].mean()) > 15


def test_without_outlines_the_picture_is_as_it_was() -> None:
    picture = still(Scene(seed=32, width=320, height=180)).picture
    assert np.array_equal(with_outlines(picture, []), picture)
