"""CIELAB and CIEDE2000 over arrays: the published values, and a kept library on colors drawn at random."""

from typing import Any

import numpy as np
import pytest
from coloraide import Color

from kiosk.sight.color import D65, TO_XYZ, difference, encoded, lab, lab_of_xyz
from tests.sight.reference import color_cases

CASES = color_cases()
PAIRS = [case for case in CASES if "dE00" in case["expected"]]
D50 = (0.3457 / 0.3585, 1.0, (1 - 0.3457 - 0.3585) / 0.3585)
D65_XY = (0.3127 / 0.329, 1.0, (1 - 0.3127 - 0.329) / 0.329)


@pytest.mark.parametrize("case", PAIRS, ids=lambda case: case["id"])
def test_each_published_pair_has_its_color_difference_either_way_around(case: dict[str, Any]) -> None:
    """Sharma, Wu, Dalal 2005, Table I."""
    one, other = (np.array(case["inputs"][key], dtype=float) for key in ("lab1", "lab2"))
    wanted = pytest.approx(case["expected"]["dE00"], abs=case["tolerance"]["abs"])
    assert [float(difference(one, other)), float(difference(other, one))] == [wanted, wanted]


def test_all_published_pairs_at_once_in_the_short_floats_that_pictures_use() -> None:
    one, other = (np.array([case["inputs"][key] for case in PAIRS], dtype=np.float32) for key in ("lab1", "lab2"))
    got = difference(one, other)
    assert got.dtype == np.float32
    assert got == pytest.approx([case["expected"]["dE00"] for case in PAIRS], abs=2e-3)


@pytest.mark.parametrize("case", [case for case in CASES if "rgb8" in case["inputs"]], ids=lambda case: case["id"])
def test_each_published_srgb_color_has_its_cielab(case: dict[str, Any]) -> None:
    """Lindbloom's calculator, as scikit-image's tests print it; short floats add up to two thousandths."""
    steps = np.array(case["inputs"]["rgb8"])
    assert lab(steps.astype(float)) == pytest.approx(case["expected"]["lab"], abs=case["tolerance"]["abs"])
    assert lab(steps.astype(np.uint8)) == pytest.approx(case["expected"]["lab"], abs=2e-3)


@pytest.mark.parametrize("case", [case for case in CASES if "XYZ" in case["inputs"]], ids=lambda case: case["id"])
def test_each_published_xyz_color_has_its_cielab(case: dict[str, Any]) -> None:
    white = {0.3127: D65_XY, 0.3457: D50}[case["inputs"]["white_xy"][0]]
    got = lab_of_xyz(np.array(case["inputs"]["XYZ"]), white)
    assert got == pytest.approx(case["expected"]["lab"], abs=case["tolerance"]["abs"])


def test_the_matrix_is_the_standards_to_its_four_places() -> None:
    """IEC 61966-2-1:1999, from memory: 0.4124 0.3576 0.1805 / 0.2126 0.7152 0.0722 / 0.0193 0.1192 0.9505."""
    printed = [[0.4124, 0.3576, 0.1805], [0.2126, 0.7152, 0.0722], [0.0193, 0.1192, 0.9505]]
    assert np.array(printed) == pytest.approx(TO_XYZ, abs=3e-4)
    assert TO_XYZ.sum(1) == pytest.approx(D65)


def test_random_colors_agree_with_a_kept_library() -> None:
    """coloraide; its white of D65 is rounded otherwise, which moves CIELAB by less than 0.02."""
    steps = np.random.default_rng(20261130).integers(0, 256, (400, 2, 3)).astype(np.uint8)
    steps[:40] = steps[:40, :, :1]  # grays
    ours = lab(steps)
    theirs = [[Color("srgb", list(color / 255)).convert("lab-d65") for color in pair] for pair in steps]
    assert ours == pytest.approx(np.array([[list(color.coords()) for color in pair] for pair in theirs]), abs=0.02)
    wanted = [one.delta_e(other, method="2000", space="lab-d65") for one, other in theirs]
    assert difference(ours[:, 0], ours[:, 1]) == pytest.approx(wanted, abs=0.03)


def test_random_lab_pairs_agree_with_a_kept_library_to_the_last_places() -> None:
    pairs = np.random.default_rng(7).uniform([0, -90, -90], [100, 90, 90], (500, 2, 3))
    pairs[:50, 1, 1:] = -pairs[:50, 0, 1:]  # hues across from each other, where the mean hue jumps
    wanted = [
        Color("lab-d65", list(one)).delta_e(Color("lab-d65", list(other)), method="2000", space="lab-d65")
        for one, other in pairs
    ]
    off = np.abs(difference(pairs[:, 0], pairs[:, 1]) - wanted)
    assert off[50:].max() < 1e-9
    # Exactly across, the last bit of rounding may decide which way the mean hue lies.
    assert (off[:50] < 1e-9).mean() > 0.8


def test_every_step_of_srgb_comes_back_from_its_light() -> None:
    from kiosk.sight.color import LINEAR

    assert np.array_equal(np.round(encoded(LINEAR)), np.arange(256))
