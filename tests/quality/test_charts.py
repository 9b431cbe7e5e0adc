"""p, u, c and g charts against published charts, and what must hold of every such chart."""

from collections.abc import Callable
from itertools import pairwise
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from kiosk.core.past.figures import LARGEST
from kiosk.quality.charts import c_chart, g_chart, p_chart, u_chart
from kiosk.quality.points import Chart, ChartFault, Signal
from tests.quality.charted import CASES, beyond_limits, signaling

COUNTS = st.lists(st.integers(0, 60), min_size=1, max_size=40)
SAMPLES = st.lists(
    st.integers(1, 400).flatmap(lambda of: st.tuples(st.integers(0, of), st.just(of))), min_size=1, max_size=40
)
SIGMAS = st.floats(0.5, 4)


def _case(name: str) -> tuple[dict[str, Any], dict[str, Any], float]:
    case = CASES[name]
    return case["inputs"], case["expected"], case["tolerance"]["abs"]


def _agrees(chart: Chart, expected: dict[str, Any], tolerance: float, *, times: float = 1.0) -> None:
    assert chart.center * times == pytest.approx(expected["center"], abs=tolerance)
    for point in chart.points:
        assert point.lower * times == pytest.approx(expected["lcl"], abs=tolerance)
        assert point.upper * times == pytest.approx(expected["ucl"], abs=tolerance)


def test_p_chart_of_thirty_samples_agrees_with_the_published_chart() -> None:
    given_, expected, tolerance = _case("spc-p-orangejuice")
    chart = p_chart(given_["defectives"], [given_["n"]] * 30, sigmas=given_["sigmas"])
    _agrees(chart, expected, tolerance)
    assert signaling(chart, *Signal) == expected["signals"]


def test_p_chart_keeps_the_limits_of_a_published_baseline_for_new_samples() -> None:
    """Beyond the limits: point 20 of the baseline and the eleventh new one, from the note of the case (computed)."""
    given_, expected, tolerance = _case("spc-p-orangejuice-phase2")
    found = given_["phase1_defectives"] + given_["phase2_defectives"]
    chart = p_chart(found, [given_["n"]] * len(found), baseline=len(given_["phase1_defectives"]))
    _agrees(chart, expected, tolerance)
    assert beyond_limits(chart) == [20, 28 + 11]


def test_a_count_of_samples_of_one_size_is_the_share_times_that_size() -> None:
    given_, expected, tolerance = _case("spc-np-orangejuice")
    chart = p_chart(given_["defectives"], [given_["n"]] * 30)
    _agrees(chart, expected, tolerance, times=given_["n"])
    assert beyond_limits(chart) == expected["signals"]


@pytest.mark.parametrize("after", [False, True])
def test_p_chart_of_twenty_samples_agrees_with_the_published_solution(after: bool) -> None:
    """The samples are spread evenly: the source gives their total alone, and limits come from nothing else."""
    given_, expected, tolerance = _case("spc-p-montgomery-ex6-1")
    samples, total = (given_["m_after"], given_["total_after"]) if after else (given_["m"], given_["total_defectives"])
    found = [total // samples + (n < total % samples) for n in range(samples)]
    chart = p_chart(found, [given_["n"]] * samples)
    assert chart.center == pytest.approx(expected["center_after" if after else "center"], abs=tolerance)
    assert chart.points[0].upper == pytest.approx(expected["ucl_after" if after else "ucl"], abs=tolerance)
    assert chart.points[0].lower == expected["lcl"]


def test_c_chart_of_twenty_six_samples_agrees_with_the_published_chart() -> None:
    given_, expected, tolerance = _case("spc-c-circuit")
    chart = c_chart(given_["counts"])
    _agrees(chart, expected, tolerance)
    assert beyond_limits(chart) == expected["signals"]
    assert signaling(chart, Signal.BELOW) == [6]


def test_c_chart_keeps_the_limits_of_a_published_baseline_for_new_samples() -> None:
    given_, expected, tolerance = _case("spc-c-circuit-phase2")
    first = given_["phase1_counts"]
    chart = c_chart(first + given_["phase2_counts"], baseline=len(first))
    _agrees(chart, expected, tolerance)
    assert [n for n in beyond_limits(chart) if n > len(first)] == []


def test_a_point_on_the_limit_does_not_signal() -> None:
    given_, expected, tolerance = _case("spc-c-nist-wafers")
    chart = c_chart(given_["counts"])
    _agrees(chart, expected, tolerance)
    assert beyond_limits(chart) == expected["strictly_outside"]
    assert chart.points[expected["on_limit"][0] - 1].value == expected["ucl"]


def test_u_chart_of_twenty_samples_agrees_with_the_published_chart() -> None:
    given_, expected, tolerance = _case("spc-u-pcmanufact")
    chart = u_chart(given_["counts"], [given_["n"]] * 20)
    _agrees(chart, expected, tolerance)
    assert signaling(chart, *Signal) == expected["signals"]


@pytest.mark.parametrize("row", CASES["rates-surgical"]["inputs"]["rows"], ids=lambda row: str(row["expected"]))
def test_the_center_is_the_published_share_or_rate(row: dict[str, Any]) -> None:
    charts: dict[str, Callable[..., Chart]] = {"p": p_chart, "u": u_chart}
    chart = charts[row["chart"]](row["found"], row["of"])
    assert round(chart.center, row["digits"]) == row["expected"]


@given(st.lists(st.integers(0, 300), min_size=1, max_size=30).filter(any), SIGMAS)
def test_g_limits_are_those_of_the_geometric_distribution_of_a_reference_library(
    between: list[int], sigmas: float
) -> None:
    """scipy.stats.geom counts from 1, so it is moved down by 1; its mean is set to the mean of the points."""
    from scipy.stats import geom

    chart = g_chart(between, sigmas=sigmas)
    law = geom(1 / (chart.center + 1), loc=-1)
    assert chart.center == pytest.approx(law.mean())
    for point in chart.points:
        assert point.upper == pytest.approx(law.mean() + sigmas * law.std(), rel=1e-9)
        assert point.lower == pytest.approx(max(law.mean() - sigmas * law.std(), 0), rel=1e-9, abs=1e-9)


@given(st.lists(st.integers(0, 300), min_size=1, max_size=30))
def test_nothing_is_below_the_limits_of_a_g_chart(between: list[int]) -> None:
    assert signaling(g_chart(between), Signal.BELOW) == []


def test_a_g_chart_counts_its_runs_about_the_median() -> None:
    """Of a geometric count more than half lies below the mean: ten of fourteen here, but seven below the median."""
    chart = g_chart([2, 90, 4, 60, 1, 30, 3, 20, 5, 11, 2, 10, 6, 100])
    assert chart.runs is not None
    assert chart.runs.middle == 8
    assert chart.runs.useful == 14
    assert chart.runs.crossings == 13
    assert signaling(chart, Signal.LONG_RUN, Signal.FEW_CROSSINGS) == []


@given(SAMPLES, SIGMAS)
def test_limits_hold_the_center_and_stay_where_a_share_can_be(samples: list[tuple[int, int]], sigmas: float) -> None:
    found, of = [some for some, _ in samples], [all_ for _, all_ in samples]
    for chart in (p_chart(found, of, sigmas=sigmas), u_chart(found, of, sigmas=sigmas)):
        for point in chart.points:
            assert 0 <= point.lower <= chart.center <= point.upper
    assert all(point.upper <= 1 for point in p_chart(found, of, sigmas=sigmas).points)


@given(SAMPLES)
def test_a_larger_sample_has_narrower_limits(samples: list[tuple[int, int]]) -> None:
    found, of = [some for some, _ in samples], [all_ for _, all_ in samples]
    for chart in (p_chart(found, of), u_chart(found, of)):
        by_size = sorted(zip(of, chart.points, strict=True), key=lambda pair: pair[0])
        for (_, small), (_, large) in pairwise(by_size):
            assert large.upper <= small.upper
            assert large.lower >= small.lower


def test_the_limits_of_a_sample_four_times_as_large_are_half_as_far() -> None:
    chart = u_chart([20, 80], [10, 40])
    small, large = chart.points
    assert small.upper - chart.center == pytest.approx(2 * (large.upper - chart.center))


@given(COUNTS, st.randoms())
def test_center_and_limits_do_not_depend_on_the_order_of_the_points(counts: list[int], chances: Any) -> None:
    shuffled = list(counts)
    chances.shuffle(shuffled)
    for make in (c_chart, g_chart):
        before, after = make(counts), make(shuffled)
        assert (after.center, after.points[0].lower, after.points[0].upper) == (
            before.center,
            before.points[0].lower,
            before.points[0].upper,
        )


@given(SAMPLES, st.integers(2, 9))
def test_a_u_chart_of_units_counted_smaller_is_the_same_chart_on_a_smaller_scale(
    samples: list[tuple[int, int]], smaller: int
) -> None:
    """Ten trays are twenty half trays; the limits scale by the size of the unit and its number together."""
    found, of = [some for some, _ in samples], [all_ for _, all_ in samples]
    before, after = u_chart(found, of), u_chart(found, [all_ * smaller for all_ in of])
    assert after.center * smaller == pytest.approx(before.center)
    for old, new in zip(before.points, after.points, strict=True):
        assert new.upper * smaller == pytest.approx(old.upper)
        assert new.lower * smaller == pytest.approx(old.lower, abs=1e-12)


@given(COUNTS, COUNTS)
def test_points_after_the_baseline_do_not_move_the_limits(first: list[int], later: list[int]) -> None:
    for make in (c_chart, g_chart):
        alone, longer = make(first), make(first + later, baseline=len(first))
        assert longer.center == alone.center
        assert {(p.lower, p.upper) for p in longer.points} == {(p.lower, p.upper) for p in alone.points}
        assert longer.baseline == len(first)


def test_after_a_baseline_without_findings_the_first_finding_signals() -> None:
    chart = p_chart([0, 0, 0, 1], [40, 40, 40, 40], baseline=3)
    assert signaling(chart, Signal.ABOVE) == [4]


def test_a_point_keeps_the_name_that_leads_to_its_trips() -> None:
    chart = c_chart([3, 4], labels=["2031-03-03", "2031-03-04"])
    assert [point.label for point in chart.points] == ["2031-03-03", "2031-03-04"]
    with pytest.raises(ChartFault, match="names 1 points, there are 2"):
        c_chart([3, 4], labels=["2031-03-03"])


@pytest.mark.parametrize(
    ("found", "of", "field", "point", "sentence"),
    [
        ([3, 6], [5, 5], "found", 2, "is more than the 5 looked at"),
        ([3, 0], [5, 0], "of", 2, "is less than 1"),
        ([-1, 0], [5, 5], "found", 1, "is less than 0"),
        ([1, 1], [5, LARGEST + 1], "of", 2, "is more than"),
        ([1], [5, 5], "of", None, "gives 2 samples, found gives 1"),
        ([], [], "points", None, "there are no points"),
    ],
)
def test_samples_that_cannot_be_are_named_by_point_and_field(
    found: list[int], of: list[int], field: str, point: int | None, sentence: str
) -> None:
    with pytest.raises(ChartFault, match=sentence) as fault:
        p_chart(found, of)
    assert (fault.value.field, fault.value.point) == (field, point)


def test_a_u_chart_takes_more_findings_than_units() -> None:
    assert u_chart([9], [5]).center == 1.8


@pytest.mark.parametrize("sigmas", [0.0, -1.0, float("nan"), float("inf"), 1e101])
def test_limits_need_a_number_of_standard_deviations_above_zero(sigmas: float) -> None:
    with pytest.raises(ChartFault) as fault:
        c_chart([3, 4], sigmas=sigmas)
    assert fault.value.field == "sigmas"


@pytest.mark.parametrize("baseline", [0, -2, 3])
def test_a_baseline_is_as_long_as_the_chart_at_most(baseline: int) -> None:
    with pytest.raises(ChartFault) as fault:
        c_chart([3, 4], baseline=baseline)
    assert fault.value.field == "baseline"
