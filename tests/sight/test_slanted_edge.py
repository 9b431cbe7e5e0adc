"""The slanted edge's response against closed forms. A Gaussian blur of s pixels has the response
exp(-2 (pi s f)^2) (Fourier transform of a Gaussian: Bracewell, The Fourier Transform and Its Applications, table of
pairs; from memory), and a square pixel's own aperture, along a direction near an axis, sin(pi f)/(pi f)."""

import math

import numpy as np
import pytest
from scipy.optimize import brentq
from scipy.special import erf

from kiosk.sight.color import Array
from kiosk.sight.slanted_edge import NoEdge, edge_response, mtf50

WIDE, HIGH = 220, 200


def edge(sigma: float, degrees: float, *, fine: int = 6, noise: float = 0.0) -> Array:
    """A blurred edge through the middle, integrated over each pixel's square."""
    step = (np.arange(fine) + 0.5) / fine - 0.5
    x = (np.arange(WIDE)[:, None] + step).ravel() - (WIDE - 1) / 2
    y = (np.arange(HIGH)[:, None] + step).ravel() - (HIGH - 1) / 2
    turn = math.radians(degrees)
    off = x[None, :] * math.cos(turn) - y[:, None] * math.sin(turn)
    light = 0.12 + 0.18 * (1 + erf(off / (sigma * math.sqrt(2))))
    made: Array = light.reshape(HIGH, fine, WIDE, fine).mean((1, 3))
    return made + np.random.default_rng(5).normal(0, noise, made.shape) if noise else made


def ends(degrees: float, along: float = 150.0) -> tuple[tuple[float, float], tuple[float, float]]:
    turn = math.radians(degrees)
    middle = (WIDE - 1) / 2, (HIGH - 1) / 2
    way = math.sin(turn), math.cos(turn)
    return tuple((middle[0] + s * along / 2 * way[0], middle[1] + s * along / 2 * way[1]) for s in (-1, 1))  # type: ignore[return-value]


def theory(frequency: float, sigma: float) -> float:
    return math.exp(-2 * (math.pi * sigma * frequency) ** 2) * float(np.sinc(frequency))


@pytest.mark.parametrize("sigma", [0.5, 0.8, 1.5, 3.0, 5.0])
@pytest.mark.parametrize("degrees", [5.0, -8.0])
def test_the_half_of_a_blurred_edge_is_where_the_closed_form_has_it(sigma: float, degrees: float) -> None:
    found = mtf50(*edge_response(edge(sigma, degrees), *ends(degrees), 40.0))
    expected = brentq(lambda f: theory(f, sigma) - 0.5, 0.001, 0.999)
    # The Hamming window of the standard narrows a broad edge: at 5 px of 40 read by some 4 percent.
    assert found == pytest.approx(expected, rel=0.03 if sigma < 5 else 0.05)


def test_the_whole_response_lies_on_the_closed_form() -> None:
    frequencies, response = edge_response(edge(1.0, 5.0), *ends(5.0), 40.0)
    for wanted in (0.05, 0.1, 0.2, 0.3, 0.4):
        assert np.interp(wanted, frequencies, response) == pytest.approx(theory(wanted, 1.0), abs=0.02)


def test_the_line_is_fitted_where_it_was_told_up_to_two_degrees_and_three_pixels_off() -> None:
    one, other = ends(7.0)
    moved = mtf50(*edge_response(edge(1.5, 5.0), (one[0] + 3, one[1]), (other[0] + 3, other[1]), 40.0))
    assert moved == pytest.approx(brentq(lambda f: theory(f, 1.5) - 0.5, 0.001, 0.999), rel=0.04)


def test_a_sensors_noise_moves_it_by_a_few_percent_only() -> None:
    quiet, noisy = (mtf50(*edge_response(edge(1.5, 5.0, noise=n), *ends(5.0), 40.0)) for n in (0.0, 0.01))
    assert noisy == pytest.approx(quiet, rel=0.06)


def test_no_contrast_or_an_edge_along_the_pixels_is_said_and_not_guessed() -> None:
    with pytest.raises(NoEdge):
        edge_response(np.full((HIGH, WIDE), 0.3), *ends(5.0), 40.0)
    with pytest.raises(NoEdge, match="along the rows"):
        edge_response(edge(1.0, 0.0), *ends(0.0), 40.0)
