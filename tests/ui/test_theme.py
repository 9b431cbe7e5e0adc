"""Colors and sizes of the look, checked against published limits."""

import pytest
from coloraide import Color

from kiosk.ui.parts.icons import ICONS
from kiosk.ui.theme import BENCH, DUSK, Metrics, T, Tokens
from tests.ui.samples import PANELS

TEXT = [
    ("ink", "plate"), ("ink", "field"), ("ink", "well"), ("ink", "bench"), ("ink", "asleep"),
    ("ink2", "plate"), ("ink2", "field"), ("ink2", "well"), ("ink2", "bench"), ("ink2", "asleep"),
    ("onrail", "rail"), ("onrail2", "rail"), ("clear", "clear_tint"), ("ink", "clear_tint"), ("clear", "plate"),
    ("found", "found_tint"), ("ink", "found_tint"), ("found", "plate"), ("found", "field"), ("unsure", "unsure_tint"),
    ("unsure", "plate"), ("on_fill", "clear"), ("on_fill", "found"), ("on_fill", "unsure"), ("on_fill", "ink"),
    ("on_aid", "aid"), ("on_notice", "notice"),
]  # fmt: skip
EDGES = [
    ("line", "plate"), ("line", "field"), ("line", "well"), ("line", "bench"), ("clear_edge", "clear_tint"),
    ("clear_edge", "field"), ("found_edge", "found_tint"), ("found_edge", "plate"), ("found_edge", "field"),
    ("unsure", "field"), ("aid_edge", "bench"), ("clear_edge", "asleep"),
]  # fmt: skip


def _ratio(tokens: Tokens, one: str, other: str) -> float:
    return Color(getattr(tokens, one)).contrast(getattr(tokens, other), method="wcag21")


@pytest.mark.parametrize("tokens", [BENCH, DUSK], ids=["bench", "dusk"])
def test_words_reach_seven_to_one_and_edges_three(tokens: Tokens) -> None:
    """WCAG 2.2, success criteria 1.4.6 (7:1 for text) and 1.4.11 (3:1 for controls and graphics)."""
    assert not [(pair, ratio) for pair in TEXT if (ratio := _ratio(tokens, *pair)) < 7]
    assert not [(pair, ratio) for pair in EDGES if (ratio := _ratio(tokens, *pair)) < 3]


@pytest.mark.parametrize("tokens", [BENCH, DUSK], ids=["bench", "dusk"])
def test_yes_and_no_weigh_the_same(tokens: Tokens) -> None:
    """House rule: within 2.5 L* of each other, so that neither answer pulls."""
    one, other = (Color(getattr(tokens, name)).convert("lab-d65")["l"] for name in ("clear", "found"))
    assert abs(one - other) < 2.5


@pytest.mark.parametrize(
    ("size", "pixels"),
    [
        (T.T1, (28, 29, 18)), (T.T2, (33, 35, 22)), (T.T3, (37, 39, 24)), (T.T4, (43, 46, 28)), (T.T5, (52, 55, 34)),
        (T.T6, (63, 48, 41)), (T.T7, (92, 74, 60)), (T.T8, (120, 127, 78)),
    ],
)  # fmt: skip
def test_letters_have_the_pixels_of_the_type_table(size: T, pixels: tuple[int, int, int]) -> None:
    """House table; capital height over 0.668 em, measured in the face (tests/house/test_platform.py)."""
    got = [Metrics.for_screen(*PANELS[panel]).px(size) for panel in ("15.6 in", "10.1 in", "24 in")]
    assert got == [pytest.approx(px, abs=1) for px in pixels]


@pytest.mark.parametrize("panel", PANELS)
def test_the_smallest_letters_reach_16_minutes_of_arc_at_70_cm(panel: str) -> None:
    """NUREG-0700 rev. 2, 1.3.1-4: at least 16 minutes of arc; h = 6.283 D MA / 21600."""
    metrics = Metrics.for_screen(*PANELS[panel])
    arcmin = metrics.px(T.T1) * 0.668 / metrics.px_per_mm * 21600 / (6.283 * 700)
    assert arcmin >= 16


def test_nothing_grows_on_a_large_panel() -> None:
    metrics = Metrics.for_screen(*PANELS["24 in"])
    assert metrics.content_mm == pytest.approx(344.2)
    assert metrics.left_mm == pytest.approx((metrics.width_mm - 344.2) / 2)
    assert metrics.block_mm <= 200


@pytest.mark.parametrize("panel", PANELS)
def test_the_frame_fills_the_panel(panel: str) -> None:
    metrics = Metrics.for_screen(*PANELS[panel])
    parts = metrics.question_mm + metrics.band_mm + metrics.answers_mm + metrics.hand_mm
    assert parts <= metrics.block_mm <= metrics.height_mm - metrics.head_mm


def test_no_icon_is_a_tick_a_thumb_or_a_sign_of_safety_but_the_aid_cross() -> None:
    assert "aid" in ICONS
    assert not {name for name in ICONS if name in {"tick", "cross", "thumb", "shield", "octagon"}}
