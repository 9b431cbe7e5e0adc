"""The quality of a picture: focus by its cited definitions, light, glare and drops on pictures made for them."""

from dataclasses import replace

import numpy as np
import pytest
from scipy.ndimage import convolve, sobel

from kiosk.sight.picture_quality import blur_effect, gray, laplacian_variance, measure, tenengrad
from kiosk.sight.rendered import Scene, still

SHARP = Scene(seed=21, wall_seed=2, width=640, height=360, noise=0.004, scratches=2)


def luma_by_chance() -> np.ndarray[tuple[int, ...], np.dtype[np.float32]]:
    picture = np.random.default_rng(8).integers(0, 256, (90, 130, 3)).astype(np.uint8)
    return gray(picture)


def test_variance_of_the_laplacian_is_scipys_five_point_convolution() -> None:
    """Pech-Pacheco 2000 as in Pertuz 2013 (LAP4 there); the mask 0 1 0 / 1 -4 1 / 0 1 0 from memory."""
    luma = luma_by_chance()
    bend = convolve(luma, np.array([[0, 1, 0], [1, -4, 1], [0, 1, 0]], dtype=np.float32))[1:-1, 1:-1]
    assert laplacian_variance(luma) == pytest.approx(float(bend.var()), rel=1e-5)


def test_tenengrad_is_scipys_sobel() -> None:
    """Pertuz 2013 (TENG): mean of the squared Sobel gradients."""
    luma = luma_by_chance().astype(np.float64)
    wanted = (sobel(luma, 0) ** 2 + sobel(luma, 1) ** 2)[1:-1, 1:-1].mean()
    assert tenengrad(luma) == pytest.approx(float(wanted), rel=1e-5)


def test_a_checkerboard_and_a_plain_gray_have_the_focus_that_hand_gives() -> None:
    """Board of 0 and 1: the Laplacian is +4 or -4 everywhere, variance 16; one pixel wide, Sobel sees nothing."""
    y, x = np.mgrid[:20, :20]
    board = ((x + y) % 2).astype(np.float32)
    assert laplacian_variance(board) == pytest.approx(16)
    assert tenengrad(board) == 0
    assert (laplacian_variance(board * 0 + 90), tenengrad(board * 0 + 90)) == (0, 0)


def test_both_focus_measures_fall_with_every_step_of_defocus() -> None:
    pictures = [measure(still(replace(SHARP, defocus_px=blur, noise=0.0)).picture) for blur in (0, 1, 2, 4, 8)]
    for name in ("laplacian", "tenengrad"):
        values = [getattr(each, name) for each in pictures]
        assert values == sorted(values, reverse=True)
        assert values[0] > 2 * values[-1]


def test_too_dark_to_read_is_said_of_dark_pictures_and_not_of_light_ones() -> None:
    said = {light: measure(still(replace(SHARP, exposure=light)).picture).too_dark for light in (1, 0.6, 0.03, 0.01)}
    assert said == {1: False, 0.6: False, 0.03: True, 0.01: True}


def test_the_shares_of_dark_and_bright_are_counted() -> None:
    """A quarter black, a quarter white, half middle gray."""
    picture = np.full((40, 40, 3), 119, dtype=np.uint8)
    picture[:20, :20], picture[:20, 20:] = 0, 255
    got = measure(picture)
    assert (got.dark, got.bright, got.glare) == (0.25, 0.25, 0.25)
    assert got.median_l == pytest.approx(50, abs=0.3)
    assert got.too_bright
    assert not got.too_dark


def test_only_the_lit_field_counts_where_one_is_given() -> None:
    picture = np.full((40, 40, 3), 119, dtype=np.uint8)
    picture[:, 20:] = 0
    field = np.zeros((40, 40), dtype=bool)
    field[:, :20] = True
    assert measure(picture).dark == 0.5
    assert measure(picture, field).dark == 0.0


def test_small_round_spots_are_drops_and_long_or_large_ones_glare() -> None:
    picture = np.full((400, 400, 3), 120, dtype=np.uint8)
    y, x = np.mgrid[:400, :400]
    for place in ((50, 50), (200, 90), (320, 310)):
        picture[np.hypot(y - place[0], x - place[1]) < 3] = 255
    picture[100:102, 200:240] = 255
    got = measure(picture)
    assert got.drops == 3
    assert got.glare == 80 / 160_000


def test_rendered_drops_and_glare_are_seen() -> None:
    assert measure(still(SHARP).picture).drops == 0
    assert measure(still(SHARP).picture).glare == 0
    assert 2 <= measure(still(replace(SHARP, droplets=4)).picture).drops <= 4
    assert measure(still(replace(SHARP, glare=2)).picture).glare > 0.001


def test_what_can_not_be_measured_is_refused() -> None:
    with pytest.raises(ValueError, match="too small to measure: 8 x 20 pixels, 16 x 16 at least"):
        measure(np.zeros((20, 8, 3), dtype=np.uint8))
    with pytest.raises(ValueError, match="a field without a pixel"):
        measure(np.zeros((20, 20, 3), dtype=np.uint8), np.zeros((20, 20), dtype=bool))


def test_the_blur_effect_is_scikit_images() -> None:
    """skimage.metrics/measure blur_effect, after the same paper (Crete 2007)."""
    theirs = pytest.importorskip("skimage.measure", reason="scikit-image is not installed: add it to the test extra")
    for luma in (luma_by_chance(), gray(still(SHARP).picture)):
        assert blur_effect(luma) == pytest.approx(
            float(theirs.blur_effect(luma, h_size=11, channel_axis=None)), abs=1e-5
        )
    assert blur_effect(np.full((40, 40), 90, dtype=np.float32)) == 1.0


def test_a_rendering_in_focus_is_sharp_and_one_out_of_focus_is_not() -> None:
    """Seeds that the bound was not chosen on; 8 px of 1280 across, so 4 of 640."""
    for seed in range(6):
        sharp = replace(SHARP, seed=seed, wall_seed=seed + 3)
        assert not measure(still(sharp).picture).not_sharp
        assert measure(still(replace(sharp, defocus_px=4.0)).picture).not_sharp
