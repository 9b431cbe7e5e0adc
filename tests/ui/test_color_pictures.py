"""The pictures of fewer colors are what they say: the simulation against coloraide's, and the answers apart in gray."""

import numpy as np
import pytest
from coloraide import Color
from PySide6.QtWidgets import QApplication

from kiosk.ui.parts.answers import AnswerPlate
from kiosk.ui.theme import BENCH, Tokens
from tests.ui.color_pictures import SEEN, pixels_of, seen_as
from tests.ui.screens.every_page import stood_up, turned

TOKENS = sorted({str(getattr(BENCH, name)) for name in Tokens.__slots__ if str(getattr(BENCH, name)).startswith("#")})


@pytest.mark.parametrize("kind", [kind for kind in SEEN if kind != "gray"])
def test_the_simulation_is_that_of_an_independent_library(kind: str) -> None:
    """coloraide, method machado, severity 1, for every color of the house; both round to a 255th."""
    assert len(TOKENS) > 15
    for token in TOKENS:
        color = Color(token)
        wanted = color.filter(kind, 1, method="machado").convert("srgb").clip().coords()
        got = seen_as(np.array([[[round(255 * part) for part in color.coords()]]]), kind)[0, 0]
        assert got == pytest.approx([255 * part for part in wanted], abs=1.0), token


def test_gray_keeps_the_luminance() -> None:
    """Relative luminance of WCAG 2.x (coloraide) before and after; a 255th of rounding in a channel."""
    for token in TOKENS:
        gray = seen_as(np.array([[[round(255 * part) for part in Color(token).coords()]]]), "gray")[0, 0]
        assert len(set(gray.tolist())) == 1
        after = Color("srgb", [part / 255 for part in gray]).luminance()
        assert after == pytest.approx(Color(token).luminance(), abs=0.005), token


@pytest.mark.parametrize("kind", SEEN)
def test_the_three_answers_differ_in_shape_where_color_is_lost(qapp: QApplication, kind: str) -> None:
    """Two of the three plates laid over each other, dark on light: a tenth of the pixels of their ink differs at least
    (a choice, no source); the same plate twice differs in none."""
    with stood_up("15.6 in") as window:
        _, _, screen = next(page for page in turned(window) if page[0] == "ask_check")
        rings = []
        for name in ("no", "unsure", "yes"):
            plate = next(part for part in screen.findChildren(AnswerPlate) if part.answer == name)
            light = seen_as(pixels_of(plate.grab().toImage()), kind).mean(axis=2)
            wide = light.shape[1]
            rings.append(light[:, (wide - 300) // 2 : (wide + 300) // 2] < 160)
    for one, other in ((0, 1), (1, 2), (0, 2)):
        ink = (rings[one] | rings[other]).sum()
        assert (rings[one] != rings[other]).sum() > ink / 10
