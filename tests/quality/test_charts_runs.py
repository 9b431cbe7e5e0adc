"""The run rules against their published table, a reference library, and a second writing."""

from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from kiosk.quality.charts import c_chart
from kiosk.quality.points import Signal
from kiosk.quality.runs import fewest_usual, longest_usual, run_rules
from tests.quality.charted import CASES, signaling

SIDES = st.lists(st.sampled_from([-1, 0, 1]), max_size=60)


def test_usual_runs_and_crossings_are_those_of_the_published_table() -> None:
    table = CASES["runs-table-10-100"]
    useful = table["inputs"]["useful"]
    assert useful == list(range(10, 101))
    assert [longest_usual(n) for n in useful] == table["expected"]["longest_usual"]
    assert [fewest_usual(n) for n in useful] == table["expected"]["fewest_usual"]


def test_fewest_usual_crossings_are_the_percentile_of_a_reference_library() -> None:
    from scipy.stats import binom

    lengths = [*range(1, 200), 1000, 2500]
    assert [fewest_usual(n) for n in lengths] == [binom.ppf(0.05, n - 1, 0.5) if n > 1 else 0 for n in lengths]


def test_a_run_one_longer_than_usual_signals_at_each_of_its_points() -> None:
    """24 useful observations: up to 8 on one side are usual (published table)."""
    usual = [1] * 8 + [-1, 1] * 8
    longer = [1] * 9 + [-1, 1] * 7 + [-1]
    assert run_rules(usual, 0).long == ()
    assert run_rules(longer, 0).long == tuple(range(9))


def test_one_crossing_fewer_than_usual_signals() -> None:
    """24 useful observations: 8 crossings are usual, 7 are not (published table)."""
    eight = [1, 1, 1, -1, -1, -1, 1, 1, 1, -1, -1, -1, 1, 1, -1, -1, -1, 1, 1, 1, -1, -1, 1, 1]
    assert (run_rules(eight, 0).useful, run_rules(eight, 0).crossings, run_rules(eight, 0).few) == (24, 8, False)
    seven = [*eight[:-2], -1, -1]
    assert (run_rules(seven, 0).useful, run_rules(seven, 0).crossings, run_rules(seven, 0).few) == (24, 7, True)


@given(SIDES)
def test_points_on_the_center_neither_break_a_run_nor_add_to_it(sides: list[int]) -> None:
    with_, without = run_rules(sides, 0), run_rules([side for side in sides if side], 0)
    assert (with_.useful, with_.longest, with_.crossings, with_.few) == (
        without.useful,
        without.longest,
        without.crossings,
        without.few,
    )
    assert all(sides[place] for place in with_.long)


@given(SIDES)
def test_a_second_writing_counts_the_same_runs_and_crossings(sides: list[int]) -> None:
    useful = [side for side in sides if side]
    crossings = sum(before * after < 0 for before, after in pairwise(useful))
    longest = max(
        (to - start for start in range(len(useful)) for to in range(start + 1, len(useful) + 1)
         if abs(sum(useful[start:to])) == to - start),
        default=0,
    )  # fmt: skip
    runs = run_rules(sides, 0)
    assert (runs.crossings, runs.longest) == (crossings, longest)
    assert bool(runs.long) == (longest > runs.longest_usual)


@given(SIDES)
def test_turned_upside_down_or_told_backwards_a_chart_has_the_same_runs(sides: list[int]) -> None:
    runs = run_rules(sides, 0)
    for other in (run_rules([-side for side in sides], 0), run_rules(sides[::-1], 0)):
        assert (other.longest, other.crossings, len(other.long)) == (runs.longest, runs.crossings, len(runs.long))


def test_the_chart_shows_a_long_run_at_its_points_and_few_crossings_at_its_last() -> None:
    chart = c_chart([20] * 12 + [30] * 12)
    assert signaling(chart, Signal.LONG_RUN) == list(range(1, 25))
    assert signaling(chart, Signal.FEW_CROSSINGS) == [24]
    assert chart.points[-1].signals == (Signal.LONG_RUN, Signal.FEW_CROSSINGS)


def test_a_chart_that_never_leaves_its_center_has_no_run() -> None:
    chart = c_chart([4] * 30)
    assert chart.runs is not None
    assert (chart.runs.useful, chart.runs.longest, chart.runs.few) == (0, 0, False)
    assert signaling(chart, *Signal) == []


@pytest.mark.parametrize(("findings", "of_these"), [(1, 3), (2, 7), (5, 9)])
def test_a_share_equal_to_the_center_lies_on_it_whatever_the_sample_size(findings: int, of_these: int) -> None:
    """Shares that are equal as fractions are equal as charted: none becomes useful by rounding."""
    from kiosk.quality.charts import p_chart

    sizes = [1, 3, 10, 49, 77]
    chart = p_chart([findings * size for size in sizes], [of_these * size for size in sizes])
    assert chart.runs is not None
    assert chart.runs.useful == 0
