"""The drawing of a lumen: its length true to scale, its stations, what a touch means."""

import itertools
import math
from dataclasses import replace
from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from kiosk.core.catalogue import Kit, Landmark, Lumen
from kiosk.core.place import Place
from kiosk.core.policy import Policy
from kiosk.core.vocabulary import Feature, Opening
from kiosk.lumen.drawing import (
    SCALES,
    LumenDrawing,
    draw_lumen,
    moved,
    snap,
    station_at,
    station_of,
    unseen_stretch,
)
from kiosk.lumen.section import HATCH_PITCH_MM, WALL_MM, Box, hatch
from tests.lumen.bench import planned, tube

WIDTH = 250.0


def _draw(
    inside: str | None = "2.6", length: str | None = "250", *features: Feature, width: float = WIDTH
) -> LumenDrawing:
    return draw_lumen(tube(inside, length, *features), width)


@pytest.mark.parametrize(
    ("length", "words"),
    [
        ("250", "actual size"),
        ("250.1", "drawn at two thirds"),
        ("375", "drawn at two thirds"),
        ("376", "drawn at half"),
        ("501", "drawn at one third"),
        ("751", "drawn at one fifth"),
        ("1251", "drawn at one tenth"),
        ("2501", "not to scale"),
    ],
)
def test_the_largest_scale_that_fits_is_taken_and_said(length: str, words: str) -> None:
    assert _draw(length=length).scale_words == words


@given(st.integers(1, 2500), st.sampled_from(["2.6", None]))
def test_the_drawn_length_is_the_true_length_at_scale(length: int, inside: str | None) -> None:
    drawing = _draw(inside, str(length))
    assert drawing.scale is not None
    assert drawing.drawn_mm == pytest.approx(length * float(drawing.scale))
    assert drawing.drawn_mm <= WIDTH
    larger = [scale for scale, _ in SCALES if scale > drawing.scale]
    assert all(length * scale > WIDTH for scale in larger)


def test_a_closed_end_is_drawn_inside_the_width() -> None:
    drawing = draw_lumen(tube("3", "250", open=Opening.ONE), WIDTH)
    assert drawing.scale_words == "drawn at two thirds"
    assert draw_lumen(tube("3", "247", open=Opening.ONE), WIDTH).scale_words == "actual size"
    assert drawing.blind
    assert max(wall.right for wall in drawing.walls) == pytest.approx(drawing.drawn_mm + WALL_MM)


@pytest.mark.parametrize(
    ("inside", "bore", "words"),
    [
        ("1.2", 7.2, "width drawn 6 times"),
        ("2.6", 7.8, "width drawn 3 times"),
        ("4.0", 8.0, "width drawn 2 times"),
        ("0.7", 6.0, "width drawn 8.6 times"),
        ("10", 10.0, "width actual size"),
        ("13", 10.0, "width drawn 0.77 times"),
        (None, 8.0, "inside size not known"),
    ],
)
def test_the_bore_is_drawn_six_to_ten_millimeters_wide_and_said(inside: str | None, bore: float, words: str) -> None:
    drawing = _draw(inside)
    assert drawing.bore_mm == pytest.approx(bore)
    assert drawing.width_words == words


def test_stations_are_two_centimeters_at_actual_size_and_the_last_takes_the_rest() -> None:
    labels = [station.label for station in _draw().stations]
    assert labels == ["0–2", "2–4", "4–6", "6–8", "8–10", "10–12", "12–14", "14–16", "16–18", "18–20", "20–22", "22–25"]


@pytest.mark.parametrize(
    ("length", "first"), [("300", "0–5"), ("400", "0–5"), ("600", "0–10"), ("1000", "0–10"), ("2000", "0–20")]
)
def test_stations_grow_as_the_scale_shrinks(length: str, first: str) -> None:
    assert _draw(length=length).stations[0].label == first


@given(st.integers(1, 2500))
def test_stations_cover_the_lumen_and_are_wide_enough_for_a_glove(length: int) -> None:
    stations = _draw(length=str(length)).stations
    assert stations[0].left == 0
    assert stations[-1].to_mm == length
    assert all(one.right == two.left for one, two in itertools.pairwise(stations))
    if len(stations) > 1:
        assert min(station.right - station.left for station in stations) >= 20 - 1e-6


def test_a_short_lumen_is_one_station() -> None:
    assert [station.label for station in _draw(length="15").stations] == ["0–1.5"]


def test_a_lumen_of_unknown_length_has_quarters_and_no_ruler() -> None:
    drawing = _draw(length=None)
    assert [station.label for station in drawing.stations] == ["1 of 4", "2 of 4", "3 of 4", "4 of 4"]
    assert (drawing.scale, drawing.scale_words, drawing.ticks) == (None, "length not known", ())
    assert snap(drawing, 100.0) is None
    assert station_at(drawing, 130.0).index == 2
    with pytest.raises(ValueError, match="length of bore is not known"):
        drawing.x_of(Decimal(10))
    with pytest.raises(ValueError, match="length of bore is not known"):
        moved(drawing, 10, 10)


@pytest.mark.parametrize(
    ("length", "x", "at"),
    [
        ("250", 127.0, 130),
        ("250", 124.9, 120),
        ("250", 125.0, 130),
        ("247", 246.0, 247),
        ("250", -3.0, 0),
        ("250", 999.0, 250),
        ("90", 44.0, 45),
        ("90", 42.0, 40),
        ("100", 44.0, 40),
    ],
)
def test_a_touch_means_the_nearest_centimeter_or_half_on_a_short_tube(length: str, x: float, at: int) -> None:
    assert snap(_draw(length=length), x) == at


def test_a_short_tube_drawn_smaller_still_snaps_to_whole_centimeters() -> None:
    assert snap(_draw(length="90", width=70.0), 30.0) == 50  # 45 mm true


@given(st.integers(20, 2500), st.floats(0, 1))
def test_a_mark_lies_in_the_station_that_was_touched_or_on_its_border(length: int, share: float) -> None:
    drawing = _draw(length=str(length))
    x = share * drawing.drawn_mm
    at = snap(drawing, x)
    assert at is not None
    assert abs(drawing.x_of(at) - x) <= drawing.snap_mm / 2 * drawing.drawn_mm / length + 1e-6 or at == length
    station = station_at(drawing, x)
    assert station.from_mm is not None
    assert station.to_mm is not None
    assert station.from_mm <= at <= station.to_mm


def test_a_place_on_a_border_belongs_to_the_station_that_begins_there() -> None:
    drawing = _draw()
    assert [station_of(drawing, at).label for at in (0, 12, 120, 130, 250)] == ["0–2", "0–2", "12–14", "12–14", "22–25"]


def test_a_correcting_key_moves_a_mark_and_keeps_it_on_the_lumen() -> None:
    drawing = _draw()
    assert [moved(drawing, 130, 10), moved(drawing, 5, -10), moved(drawing, 245, 10)] == [140, 0, 250]


@pytest.mark.parametrize(
    ("length", "step", "numbers"),
    [("250", 10.0, ["0", "2"]), ("600", 10 / 3, ["0", "5"]), ("1000", 4.0, ["0", "10"]), ("2000", 5.0, ["0", "20"])],
)
def test_ruler_ticks_stand_apart_and_some_have_numbers(length: str, step: float, numbers: list[str]) -> None:
    ticks = _draw(length=length).ticks
    assert ticks[1].x - ticks[0].x == pytest.approx(step)
    assert [tick.label for tick in ticks if tick.label][:2] == numbers


def test_walls_are_open_where_the_side_holes_are() -> None:
    drawing = _draw("2.6", "250", Feature.FENESTRATED)
    upper = sorted((wall.left, wall.right) for wall in drawing.walls if wall.bottom < 0)
    holes = [(mark.left, mark.right) for mark in drawing.marks]
    assert [(one[1], two[0]) for one, two in itertools.pairwise(upper)] == holes
    assert len(holes) == 3
    assert all(left >= 250 - 30 for left, _ in holes)
    assert drawing.guessed


def test_a_hole_with_a_place_on_record_is_drawn_there_and_is_no_guess() -> None:
    lumen = replace(tube("2.6", "200", Feature.SIDE_HOLE), landmarks=(Landmark(name="Side hole", at_mm=Decimal(180)),))
    drawing = draw_lumen(lumen, WIDTH)
    assert [(mark.left + mark.right) / 2 for mark in drawing.marks] == [180.0]
    assert not drawing.guessed
    assert [(leader.text, leader.x) for leader in drawing.leaders] == [("Side hole", 180.0)]


def test_a_bend_is_drawn_straight_with_a_leader() -> None:
    drawing = _draw("2.6", "240", Feature.CURVED)
    assert [(leader.text, leader.x, leader.guessed) for leader in drawing.leaders] == [("bend", 160.0, True)]
    assert len(drawing.walls) == 2


def test_teeth_sit_at_the_tip_unless_the_record_says_where() -> None:
    mark = _draw("2.6", "150", Feature.TOOTHED).marks[0]
    assert (mark.feature, mark.right, mark.guessed) == (Feature.TOOTHED, 150.0, True)


def test_a_plain_straight_tube_guesses_nothing() -> None:
    drawing = _draw()
    assert (drawing.marks, drawing.leaders, drawing.guessed, drawing.blind) == ((), (), False, False)


def test_landmarks_without_a_place_are_words_only() -> None:
    lumen = replace(tube("2.6", "200"), landmarks=(Landmark(name="hub"), Landmark(name="seam", at_mm=Decimal(50))))
    assert [leader.text for leader in draw_lumen(lumen, WIDTH).leaders] == ["seam"]


def test_a_place_lies_where_it_was_measured_named_or_touched() -> None:
    marks = (Landmark(name="hub"), Landmark(name="seam", at_mm=Decimal(50)))
    drawing = draw_lumen(replace(tube("2.6", "200"), landmarks=marks), WIDTH)
    assert drawing.spot_of(Place(lumen="bore", at_mm=120)) == 120.0
    assert drawing.spot_of(Place(lumen="bore", landmark="seam")) == 50.0
    assert drawing.spot_of(Place(lumen="bore", landmark="hub")) is None
    assert drawing.spot_of(Place(lumen="bore", all_along=True)) is None
    assert drawing.spot_of(Place(lumen="bore", landmark="0–2")) is None
    quarters = _draw(length=None)
    assert quarters.spot_of(Place(lumen="bore", landmark="3 of 4")) == quarters.drawn_mm * 5 / 8


@given(st.floats(-300, 300), st.floats(1, 300), st.floats(0.5, 30))
def test_hatching_runs_at_45_degrees_inside_the_wall(left: float, width: float, height: float) -> None:
    box = Box(left=left, top=-height / 2, right=left + width, bottom=height / 2)
    lines = hatch(box)
    for line in lines:
        assert box.left - 1e-6 <= line.x1 <= line.x2 <= box.right + 1e-6
        assert box.top - 1e-6 <= line.y2 <= line.y1 <= box.bottom + 1e-6
        assert line.x2 - line.x1 == pytest.approx(line.y1 - line.y2, abs=1e-6)
    feet = [line.x1 + line.y1 for line in lines]
    for one, two in itertools.pairwise(feet):
        assert (two - one) / math.sqrt(2) == pytest.approx(HATCH_PITCH_MM)
    assert len(lines) >= (width + height) / (HATCH_PITCH_MM * math.sqrt(2)) - 1


def _stretch(lumen: Lumen, policy: Policy, kit: Kit) -> tuple[float, float] | None:
    return unseen_stretch(draw_lumen(lumen, WIDTH), planned(lumen, policy, kit)[1])


def test_the_dark_stretch_is_the_middle_or_the_far_end_of_a_blind_tube(policy: Policy, kit: Kit) -> None:
    assert _stretch(tube("3.0", "1000"), policy, kit) == pytest.approx((78.0, 122.0))
    assert _stretch(tube("3.0", "600", open=Opening.ONE), policy, kit) == pytest.approx((400 / 3, 200.0))
    assert _stretch(tube("0.7", "200", air=50), policy, kit) == (0.0, 200.0)
    assert _stretch(tube("6.0", "200"), policy, kit) is None
