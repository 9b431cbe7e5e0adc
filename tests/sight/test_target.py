"""The printed test target read in pictures of which blur, light and tint are known.

Expected: sharpness where a Gaussian blur's response, exp(-2 (pi s f)^2), is one half (Fourier transform of a Gaussian:
Bracewell, The Fourier Transform and Its Applications; from memory). Gray steps and colors: CIELAB and CIEDE2000 by
scikit-image (skimage.color) of the printed colors in that light.
"""

import math

import numpy as np
import pytest
from skimage.color import deltaE_ciede2000, rgb2lab

from kiosk.core.scope_target import COLORS, GRAYS, TargetKept, TargetOn, sharp_share, worse
from kiosk.sight.color import LINEAR, encoded
from kiosk.sight.rendered import by_chance, still
from kiosk.sight.target import NoTarget, color_shift, read_target
from tests.sight.target_pictures import HIGH, seen


def half_at(blur_px: float) -> float:
    """Cycles per picture height at which a Gaussian's response is one half, in tenths."""
    return 10 * HIGH * math.sqrt(math.log(2) / 2) / (math.pi * blur_px)


@pytest.mark.parametrize("blur_px", [1.5, 2.5, 4.0, 6.0])
def test_sharpness_is_that_of_the_blur_that_was_put_on(blur_px: float) -> None:
    assert read_target(seen(blur_px=blur_px, noise=1.0)).sharp == pytest.approx(half_at(blur_px), rel=0.04)


@pytest.mark.parametrize("turn_deg", [0.0, 33.0, 90.0, 180.0, 250.0])
def test_however_the_scope_is_turned_the_figures_are_the_same(turn_deg: float) -> None:
    figures = read_target(seen(turn_deg=turn_deg, px_per_mm=20.0, blur_px=2.0, noise=1.0))
    assert figures.sharp == pytest.approx(half_at(2.0), rel=0.05)
    assert figures.steps == 10
    assert color_shift(read_target(seen(px_per_mm=20.0, blur_px=2.0)), figures) <= 5


def lab_in_light(exposure: float, tint: tuple[float, float, float]) -> np.ndarray:
    """By scikit-image: CIELAB of the printed colors in that light, in steps of 8 bits."""
    light = LINEAR[np.array([patch.color for patch in COLORS])] * exposure * np.array(tint)
    return rgb2lab((np.round(encoded(light)) / 255)[None])[0]  # type: ignore[no-any-return]


@pytest.mark.parametrize(
    ("exposure", "tint"), [(0.85, (1.0, 0.9, 0.7)), (0.85, (0.8, 1.0, 0.9)), (0.5, (1.0, 1.0, 1.0))]
)
def test_the_color_shift_is_the_ciede2000_of_that_light(exposure: float, tint: tuple[float, float, float]) -> None:
    first, now = read_target(seen()), read_target(seen(exposure=exposure, tint=tint))
    told = deltaE_ciede2000(lab_in_light(0.85, (1.0, 1.0, 1.0)), lab_in_light(exposure, tint)).max()  # type: ignore[no-untyped-call]
    assert color_shift(first, now) / 10 == pytest.approx(float(told), abs=0.4)


def test_the_grays_are_those_that_were_printed() -> None:
    light = LINEAR[np.array([patch.color for patch in GRAYS])] * 0.85
    told = rgb2lab((np.round(encoded(light)) / 255)[None])[0][:, 0]
    assert [gray[0] / 10 for gray in read_target(seen()).grays] == pytest.approx(list(told), abs=0.3)


def test_in_little_light_and_in_too_much_gray_steps_run_together() -> None:
    steps = {exposure: read_target(seen(exposure=exposure, noise=1.0)).steps for exposure in (0.85, 0.1, 0.03, 1.6)}
    assert steps[0.85] == 10
    assert steps[0.1] < 10
    assert steps[0.03] < steps[0.1]
    assert steps[1.6] < 10, "the lightest are white alike"


def test_light_that_falls_off_to_the_corners_is_read_all_the_same() -> None:
    figures = read_target(seen(falls=0.5, noise=3.0, blur_px=2.0))
    assert figures.sharp == pytest.approx(half_at(2.0), rel=0.05)


@pytest.mark.parametrize("seed", range(4))
def test_a_tube_is_no_target(seed: int) -> None:
    with pytest.raises(NoTarget, match="not_found"):
        read_target(still(by_chance(seed, soil=True)).picture)


def test_nothing_a_plain_gray_and_half_a_target_are_no_target() -> None:
    for picture in (np.zeros((720, 1280, 3), np.uint8), np.full((720, 1280, 3), 128, np.uint8), seen(px_per_mm=80.0)):
        with pytest.raises(NoTarget, match="not_found"):
            read_target(picture)


def test_turned_just_so_that_the_edge_lies_along_the_pixels_is_said_and_not_guessed() -> None:
    with pytest.raises(NoTarget, match="no_edge"):
        read_target(seen(turn_deg=5.0, px_per_mm=22.0))


def kept(**more: object) -> TargetKept:
    first, now = read_target(seen()), read_target(seen(**more))  # type: ignore[arg-type]
    on = TargetOn(figures=first, shift=0, at_ms=0, offset_min=0, by="T1")
    return TargetKept(
        first=on, last=TargetOn(figures=now, shift=color_shift(first, now), at_ms=1, offset_min=0, by="T1")
    )


@pytest.mark.parametrize(
    ("more", "said"),
    [
        ({}, ()),
        ({"noise": 2.0, "turn_deg": 1.5}, ()),
        ({"blur_px": 1.6}, ("sharp",)),
        ({"tint": (1.0, 0.9, 0.6)}, ("color",)),
        ({"exposure": 0.08}, ("steps", "color")),
    ],
    ids=["the same", "another hand", "blurred", "yellow", "dark"],
)
def test_what_is_worse_than_on_the_first_day_is_told_by_its_name(
    more: dict[str, object], said: tuple[str, ...]
) -> None:
    assert worse(kept(**more)) == said


def test_the_share_of_the_first_days_sharpness_is_in_percent() -> None:
    now = kept(blur_px=1.4)
    told = 100 * now.last.figures.sharp / now.first.figures.sharp
    assert sharp_share(now.first.figures, now.last.figures) == pytest.approx(told, abs=0.5)
