"""EWMA and CUSUM against published charts and run lengths, a reference library, and second writings."""

import math
import random
from collections.abc import Callable
from statistics import fmean, stdev

import pytest
from hypothesis import given
from hypothesis import strategies as st

from kiosk.quality.memory_charts import cusum_chart, ewma_chart, moving_range_sd
from kiosk.quality.points import Chart, ChartFault, Signal
from tests.quality.charted import CASES, beyond_limits, signaling


def _run_lengths(name: str) -> list[tuple[float, float]]:
    """Pairs of a shift, in standard deviations, and the published mean number of readings until a signal."""
    case = CASES[name]
    return list(zip(case["inputs"]["shift_sigma"], case["expected"]["arl"], strict=True))


READINGS = st.lists(st.floats(-1e4, 1e4).map(lambda x: round(x, 3)), min_size=1, max_size=40)
SD = st.floats(0.1, 50)


def test_ewma_agrees_with_the_published_table() -> None:
    case = CASES["spc-ewma-montgomery"]
    given_, expected, tolerance = case["inputs"], case["expected"], case["tolerance"]["abs"]
    chart = ewma_chart(
        given_["x"], target=given_["target"], sd=given_["sigma"], weight=given_["lambda"], sigmas=given_["L"]
    )
    assert [point.value for point in chart.points] == pytest.approx(expected["z"], abs=tolerance)
    assert chart.points[0].lower == pytest.approx(expected["first_lcl"], abs=1e-12)
    assert chart.points[0].upper == pytest.approx(expected["first_ucl"], abs=1e-12)
    assert signaling(chart, *Signal) == expected["signals"]


def test_ewma_limits_settle_on_the_published_width() -> None:
    """9.3806 and 10.6194: the steady limits of the same example, in the note of the case."""
    chart = ewma_chart([10.0] * 200, target=10, sd=1, weight=0.1, sigmas=2.7)
    assert chart.points[-1].lower == pytest.approx(9.3806, abs=6e-5)
    assert chart.points[-1].upper == pytest.approx(10.6194, abs=6e-5)


def test_cusum_agrees_with_the_published_table() -> None:
    case = CASES["spc-cusum-montgomery"]
    given_, expected, tolerance = case["inputs"], case["expected"], case["tolerance"]["abs"]
    chart = cusum_chart(given_["x"], target=given_["target"], sd=1, slack=given_["K"], decision=given_["H"])
    sums = [point.sums for point in chart.points]
    assert [s.up for s in sums if s] == pytest.approx(expected["c_plus"], abs=tolerance)
    assert [s.down for s in sums if s] == pytest.approx(expected["c_minus"], abs=tolerance)
    first = signaling(chart, Signal.ABOVE)[0]
    assert first == expected["first_signal"]
    at_signal = sums[first - 1]
    assert at_signal is not None
    assert at_signal.up_for == expected["n_plus_at_signal"]
    assert signaling(chart, Signal.BELOW) == []


def test_the_larger_sum_is_drawn_the_lower_one_with_a_minus_sign() -> None:
    """By hand: slack 0.5, steps of 2 below the target, then one of 4 above it."""
    points = cusum_chart([-2.0, -2.0, 4.0], target=0, sd=1).points
    assert [point.value for point in points] == [-1.5, -3.0, 3.5]
    assert [(p.sums.up_for, p.sums.down_for) for p in points if p.sums] == [(0, 1), (0, 2), (1, 0)]


def test_moving_ranges_give_the_limits_of_the_published_chart_of_single_readings() -> None:
    case = CASES["sd-nist-flowrate"]
    values, expected = case["inputs"]["x"], case["expected"]
    chart = ewma_chart(values, weight=1)  # with weight 1 an EWMA is the reading itself
    assert [point.value for point in chart.points] == pytest.approx(values)
    assert chart.center == pytest.approx(expected["mean"])
    for point in chart.points:
        assert point.lower == pytest.approx(expected["lcl"], abs=case["tolerance"]["abs"])
        assert point.upper == pytest.approx(expected["ucl"], abs=case["tolerance"]["abs"])
    assert moving_range_sd(values) == pytest.approx(expected["mean_moving_range"] / 1.128, rel=1e-3)


def _first_signal(run: Callable[[list[float]], Chart], shift: float, chances: random.Random) -> int:
    """How many readings, with the mean moved by `shift` sd, until the chart signals."""
    length = 64
    values: list[float] = []
    while True:
        values += [chances.gauss(shift, 1) for _ in range(length)]
        if at := beyond_limits(run(values)):
            return at[0]
        length = len(values)


def _agrees_with_published_run_lengths(lengths: list[int], published: float, tolerance: float) -> None:
    error = stdev(lengths) / math.sqrt(len(lengths))
    assert abs(fmean(lengths) - published) < 4 * error + tolerance * published


@pytest.mark.parametrize(
    ("shift", "arl"),
    _run_lengths("spc-arl-cusum-lucas-crosier"),
)
def test_cusum_signals_after_the_published_number_of_readings(shift: float, arl: float) -> None:
    """Mean of simulated run lengths within four standard errors of the published mean."""
    case = CASES["spc-arl-cusum-lucas-crosier"]
    k, h = case["inputs"]["k"], case["inputs"]["h"]
    chances = random.Random(20310304)
    runs = [
        _first_signal(lambda x: cusum_chart(x, target=0, sd=1, slack=k, decision=h), shift, chances)
        for _ in range(300 if arl > 50 else 1500)
    ]
    _agrees_with_published_run_lengths(runs, arl, case["tolerance"]["rel"])


@pytest.mark.parametrize(
    ("shift", "arl"),
    _run_lengths("spc-arl-ewma-lucas-saccucci"),
)
def test_ewma_passes_its_settled_limits_after_the_published_number_of_readings(shift: float, arl: float) -> None:
    """The published lengths are for settled limits from the first reading, so the last point's limits are used."""
    case = CASES["spc-arl-ewma-lucas-saccucci"]
    weight, sigmas = case["inputs"]["lambda"], case["inputs"]["L"]
    settled = ewma_chart([0.0] * 2000, target=0, sd=1, weight=weight, sigmas=sigmas).points[-1]
    chances = random.Random(20310305)
    lengths = []
    for _ in range(120 if arl > 50 else 800):
        values: list[float] = []
        passed: list[int] = []
        while not passed:
            values += [chances.gauss(shift, 1) for _ in range(len(values) or 64)]
            points = ewma_chart(values, target=0, sd=1, weight=weight, sigmas=sigmas).points
            passed = [n for n, p in enumerate(points, 1) if not settled.lower <= p.value <= settled.upper]
        lengths.append(passed[0])
    _agrees_with_published_run_lengths(lengths, arl, case["tolerance"]["rel"])


@given(READINGS, st.floats(0.01, 1), st.floats(-1e4, 1e4))
def test_ewma_is_the_linear_filter_of_a_reference_library(values: list[float], weight: float, target: float) -> None:
    from scipy.signal import lfilter

    chart = ewma_chart(values, target=target, sd=1, weight=weight)
    filtered, _ = lfilter([weight], [1, weight - 1], values, zi=[(1 - weight) * target])
    assert [point.value for point in chart.points] == pytest.approx(list(filtered), rel=1e-9, abs=1e-6)


@given(st.integers(1, 60), st.floats(0.01, 1), SD, st.floats(0.5, 4))
def test_ewma_limits_are_the_spread_of_the_weights_added_up(
    points: int, weight: float, sd: float, sigmas: float
) -> None:
    """The variance of a weighted sum of independent readings, term by term, instead of the closed form."""
    chart = ewma_chart([0.0] * points, target=0, sd=sd, weight=weight, sigmas=sigmas)
    variance = math.fsum((weight * (1 - weight) ** age * sd) ** 2 for age in range(points))
    assert chart.points[-1].upper == pytest.approx(sigmas * math.sqrt(variance))


@given(READINGS, st.floats(-100, 100), SD, st.floats(0, 3), st.floats(1, 8))
def test_a_second_writing_of_the_cusum_has_the_same_sums(
    values: list[float], target: float, sd: float, slack: float, decision: float
) -> None:
    """Without recursion: a sum is how far the total of the steps stands above its lowest so far (Page's form)."""
    chart = cusum_chart(values, target=target, sd=sd, slack=slack, decision=decision)
    for sign in (1, -1):
        steps = [sign * (value - target) - slack * sd for value in values]
        for n, point in enumerate(chart.points, 1):
            totals = [0.0, *(math.fsum(steps[:i]) for i in range(1, n + 1))]
            assert point.sums is not None
            got = point.sums.up if sign > 0 else point.sums.down
            assert got == pytest.approx(totals[-1] - min(totals), rel=1e-9, abs=1e-6)
            signal = Signal.ABOVE if sign > 0 else Signal.BELOW
            if abs(got - decision * sd) > 1e-6:
                assert (signal in point.signals) == (got > decision * sd)


@given(READINGS, SD, st.sampled_from([0.25, 0.5, 2.0, 8.0]), st.integers(-500, 500))
def test_in_another_unit_the_same_points_signal(values: list[float], sd: float, unit: float, zero: int) -> None:
    """Celsius or Fahrenheit: only the unit changes. A reading that a unit's rounding puts on a limit is left out."""
    other = [value * unit + zero for value in values]
    for before, after in (
        (ewma_chart(values, target=1, sd=sd), ewma_chart(other, target=unit + zero, sd=sd * unit)),
        (cusum_chart(values, target=1, sd=sd), cusum_chart(other, target=unit + zero, sd=sd * unit)),
    ):
        for old, new in zip(before.points, after.points, strict=True):
            if min(abs(old.value - old.lower), abs(old.value - old.upper)) > 1e-6:
                assert new.signals == old.signals
            assert new.upper - new.lower == pytest.approx((old.upper - old.lower) * unit)


@given(READINGS, SD)
def test_readings_turned_upside_down_swap_above_and_below(values: list[float], sd: float) -> None:
    swapped = {Signal.ABOVE: Signal.BELOW, Signal.BELOW: Signal.ABOVE}
    for make in (ewma_chart, cusum_chart):
        before, after = make(values, target=0, sd=sd), make([-value for value in values], target=0, sd=sd)
        for old, new in zip(before.points, after.points, strict=True):
            assert {swapped[signal] for signal in old.signals} == set(new.signals)
            if old.sums and new.sums:
                assert (old.sums.up, old.sums.down) == pytest.approx((new.sums.down, new.sums.up), abs=1e-6)


@given(READINGS, SD, st.floats(0.01, 1))
def test_ewma_limits_hold_the_center_and_widen(values: list[float], sd: float, weight: float) -> None:
    chart = ewma_chart(values, target=3, sd=sd, weight=weight)
    uppers = [point.upper for point in chart.points]
    assert uppers == sorted(uppers)
    assert all(point.lower <= chart.center <= point.upper for point in chart.points)


def test_target_and_spread_come_from_the_baseline() -> None:
    chart = cusum_chart([10, 12, 10, 12, 50, 50], baseline=4)
    assert chart.target == 11
    assert chart.sd == pytest.approx(2 / (2 / math.sqrt(math.pi)))
    assert signaling(chart, Signal.ABOVE) == [5, 6]


def test_charts_that_remember_have_no_run_rules() -> None:
    assert ewma_chart([1.0, 2.0]).runs is None
    assert signaling(ewma_chart([0.01] * 40, target=0, sd=9), *Signal) == []


@pytest.mark.parametrize(
    ("settings", "field"),
    [
        ({"weight": 0.0, "sd": 1.0}, "weight"),
        ({"weight": 1.01, "sd": 1.0}, "weight"),
        ({"weight": math.nan, "sd": 1.0}, "weight"),
        ({"sd": 0.0}, "sd"),
        ({"sd": -1.0, "target": 0.0}, "sd"),
        ({"baseline": 1}, "sd"),
        ({"baseline": 2, "sd": 1.0, "target": 0.0}, "baseline"),
        ({"target": math.inf}, "target"),
        ({"sigmas": 0.0}, "sigmas"),
    ],
)
def test_a_setting_that_cannot_be_is_named(settings: dict[str, float], field: str) -> None:
    with pytest.raises(ChartFault) as fault:
        ewma_chart([1.0, 2.0, 4.0], **settings)  # type: ignore[arg-type]  # as a caller without types would
    assert (fault.value.field, fault.value.point) == (field, None)


@pytest.mark.parametrize(("settings", "field"), [({"slack": -0.1}, "slack"), ({"decision": 0.0}, "decision")])
def test_slack_and_decision_of_a_cusum_have_their_bounds(settings: dict[str, float], field: str) -> None:
    with pytest.raises(ChartFault) as fault:
        cusum_chart([1.0, 2.0, 4.0], **settings)  # type: ignore[arg-type]  # as a caller without types would
    assert fault.value.field == field


def test_readings_all_alike_have_no_spread_to_chart_by() -> None:
    with pytest.raises(ChartFault, match="all alike"):
        ewma_chart([4.0, 4.0, 4.0])


@pytest.mark.parametrize("reading", [math.nan, -math.inf, 1e101])
def test_a_reading_that_is_no_number_is_named_by_its_point(reading: float) -> None:
    with pytest.raises(ChartFault) as fault:
        cusum_chart([1.0, reading], sd=1)
    assert (fault.value.field, fault.value.point) == ("value", 2)
