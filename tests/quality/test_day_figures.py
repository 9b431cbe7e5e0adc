"""Charts of the days: findings a unit against published charts and a plain count, what remembers against a table."""

import math
from collections import Counter, defaultdict
from collections.abc import Iterator
from datetime import date

import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.signal import lfilter
from scipy.stats import binomtest, poisson

from kiosk.core.past.figures import Asked, Baseline, By, Figures
from kiosk.core.stamp import local_time
from kiosk.quality.day_figures import findings_figures, remembering_figures
from kiosk.quality.department import Department
from kiosk.quality.exact_limits import PAST_THREE_SIGMA, usual_most_counted
from kiosk.quality.memory_charts import WEIGHT
from kiosk.quality.rates import wilson
from kiosk.store.bench_store import BenchStore
from tests.quality.charted import CASES
from tests.quality.made_up import OFFSET_MIN, SHIFTS, SINCE, UNTIL, Look, made_up

LARGE = 10**8
"""Lumens of a day so many that a reading of the table, in two decimals, is a whole number of findings."""


@pytest.fixture(scope="module")
def looks() -> list[Look]:
    return [look for look in made_up()[0] if SINCE <= local_time(look.at_ms, OFFSET_MIN).date() <= UNTIL]


@pytest.fixture(scope="module")
def bench(tmp_path_factory: pytest.TempPathFactory) -> Iterator[BenchStore]:
    store = BenchStore(tmp_path_factory.mktemp("days") / "store", "B1")
    store.keep(made_up()[1])
    yield store
    store.close()


def _asked(by: By, group: str = "") -> Asked:
    return Asked(by=by, since=SINCE, until=UNTIL, group=group)


@pytest.mark.parametrize("group", ["", "soil"])
@pytest.mark.parametrize("by", [By.PER_LUMEN, By.PER_TRAY, By.A_DAY])
def test_findings_are_counted_each_on_the_day_its_lumen_was_looked_at(
    bench: BenchStore, looks: list[Look], by: By, group: str
) -> None:
    found: Counter[str] = Counter()
    lumens: Counter[str] = Counter()
    trays: dict[str, set[str]] = defaultdict(set)
    for look in looks:
        day = local_time(look.at_ms, OFFSET_MIN).date().isoformat()
        found[day] += sum(group in {"", each} for _, each, _ in look.found)
        lumens[day] += 1
        trays[day].add(look.trip)
    figures = Department(bench.records.ask).figures(_asked(by, group), SHIFTS)
    units = {By.PER_LUMEN: lumens, By.PER_TRAY: {day: len(each) for day, each in trays.items()}}.get(by, {})
    assert [(spot.label, spot.found, spot.of) for spot in figures.spots] == [
        (day, found[day], units.get(day, 1)) for day in sorted(lumens)
    ]
    assert figures.found > 0
    if not group:
        assert any(len(look.found) > 1 for look in looks)  # else nothing here tells findings from lumens


def _days(found: list[int], of: list[int]) -> list[tuple[str, int, int]]:
    return [(str(n), some, all_) for n, (some, all_) in enumerate(zip(found, of, strict=True), 1)]


def test_findings_a_unit_have_the_published_limits() -> None:
    """Source: qcc 2.7, data set pcmanufact, beside the case."""
    case = CASES["spc-u-pcmanufact"]
    counts, want, near = case["inputs"]["counts"], case["expected"], case["tolerance"]["abs"]
    days = _days(counts, [case["inputs"]["n"]] * len(counts))
    figures = findings_figures(_asked(By.PER_LUMEN), days, (), None)
    assert figures.center == pytest.approx(want["center"], abs=near)
    for spot in figures.spots:
        assert (spot.lower, spot.upper) == pytest.approx((want["lcl"], want["ucl"]), abs=near)
    assert [n for n, spot in enumerate(figures.spots, 1) if spot.above or spot.below] == want["signals"]


def test_findings_a_day_have_the_published_limits() -> None:
    """Source: NIST/SEMATECH e-Handbook 6.3.3.1, wafers, beside the case."""
    case = CASES["spc-c-nist-wafers"]
    counts, want = case["inputs"]["counts"], case["expected"]
    figures = findings_figures(_asked(By.A_DAY), _days(counts, [1] * len(counts)), [20] * len(counts), None)
    near = case["tolerance"]["abs"]
    assert figures.center == pytest.approx(want["center"], abs=near)
    assert (figures.spots[0].lower, figures.spots[0].upper) == pytest.approx((want["lcl"], want["ucl"]), abs=near)
    assert [n for n, spot in enumerate(figures.spots, 1) if spot.above or spot.below] == want["strictly_outside"]
    assert not figures.uneven


@pytest.mark.parametrize(
    ("looked", "uneven"), [([80, 100, 120], False), ([75, 100, 125], False), ([70, 100, 130], True)]
)
def test_days_are_uneven_from_a_quarter_off_their_mean(looked: list[int], uneven: bool) -> None:
    """A quarter: a common rule of control charts with unequal samples (from memory)."""
    assert findings_figures(_asked(By.A_DAY), _days([6, 7, 8], [1] * 3), looked, None).uneven == uneven


def test_a_baseline_sets_what_is_usual_of_findings_and_of_running_sums() -> None:
    usual = Baseline(since=SINCE, until=UNTIL, found=30, of=100)
    days = _days([60, 10, 4], [100, 100, 100])
    assert findings_figures(_asked(By.PER_LUMEN), days, (), usual).center == 0.3
    sums = remembering_figures(_asked(By.SUMS), days, usual).spots
    assert sums[0].value == pytest.approx((0.6 - 0.3) / math.sqrt(0.3 * 0.7 / 100) - 0.5)


@given(st.floats(0.001, 60))
def test_the_exact_limit_of_findings_is_that_of_the_poisson_distribution(expected: float) -> None:
    """Source: scipy.stats.poisson, survival function."""
    most = usual_most_counted(expected)
    assert poisson.sf(most, expected) <= PAST_THREE_SIGMA * (1 + 1e-6)
    assert not most or poisson.sf(most - 1, expected) > PAST_THREE_SIGMA * (1 - 1e-6)


def _of_readings(by: By, readings: list[float]) -> Figures:
    """Days whose distance from a usual share of one half is each reading, in standard deviations."""
    found = [LARGE // 2 + round(reading * math.sqrt(LARGE) / 2) for reading in readings]
    half = Baseline(since=date(2031, 1, 1), until=date(2031, 1, 31), found=1, of=2)
    return remembering_figures(_asked(by), _days(found, [LARGE] * len(found)), half)


def test_running_sums_of_days_are_those_of_the_published_table() -> None:
    """Source: Montgomery, tabular CUSUM with k 0.5 and h 5, beside the case: a change at point 23, told at 29."""
    case = CASES["spc-cusum-montgomery"]
    want, near = case["expected"], case["tolerance"]["abs"]
    figures = _of_readings(By.SUMS, [x - case["inputs"]["target"] for x in case["inputs"]["x"]])
    assert figures.tuned == (case["inputs"]["K"], case["inputs"]["H"])
    assert [spot.value for spot in figures.spots] == pytest.approx(want["c_plus"], abs=near)
    assert [-(spot.second or 0.0) for spot in figures.spots] == pytest.approx(want["c_minus"], abs=near)
    first = next(n for n, spot in enumerate(figures.spots, 1) if spot.above)
    assert first == want["first_signal"]
    assert figures.spots[first - 1].since == str(first - want["n_plus_at_signal"] + 1)


@given(st.lists(st.tuples(st.integers(1, 39), st.integers(40, 90)), min_size=2, max_size=60))
def test_a_running_average_is_a_filter_over_days_that_count_by_their_own_size(days: list[tuple[int, int]]) -> None:
    """Source: scipy.signal.lfilter; the limits are the standard deviation of the same filter over independent days."""
    figures = remembering_figures(_asked(By.AVERAGE), _days(*map(list, zip(*days, strict=True))), None)
    usual = sum(found for found, _ in days) / sum(of for _, of in days)
    away = [(found - of * usual) / math.sqrt(of * usual * (1 - usual)) for found, of in days]
    assert [spot.value for spot in figures.spots] == pytest.approx(list(lfilter([WEIGHT], [1, WEIGHT - 1], away)))
    answer = lfilter([WEIGHT], [1, WEIGHT - 1], [1.0] + [0.0] * (len(days) - 1))
    spread = [math.sqrt(sum(answer[: n + 1] ** 2)) for n in range(len(days))]
    assert [spot.upper for spot in figures.spots] == pytest.approx([3 * each for each in spread])
    assert [spot.lower for spot in figures.spots] == pytest.approx([-3 * each for each in spread])


@pytest.mark.parametrize("found", [[0, 0, 0], [9, 9, 9]])
def test_days_that_are_all_alike_have_no_spread_to_measure_by(found: list[int]) -> None:
    figures = remembering_figures(_asked(By.AVERAGE), _days(found, [9, 9, 9]), None)
    assert figures.flat
    assert figures.spots == ()


@given(st.integers(1, 5000).flatmap(lambda of: st.tuples(st.integers(0, of), st.just(of))), st.floats(0.5, 0.999))
def test_limits_of_a_rate_without_a_library_are_those_of_the_library(sample: tuple[int, int], level: float) -> None:
    """Source: scipy.stats.binomtest, proportion_ci, method wilson."""
    known = binomtest(*sample).proportion_ci(level, method="wilson")
    assert wilson(*sample, level) == pytest.approx((known.low, known.high), abs=1e-9)


def test_where_days_differ_too_much_no_day_of_findings_stands_out() -> None:
    """The page says that the c chart misleads there; a point marked on it would say the contrary."""
    days = _days([3] * 24 + [30], [1] * 25)
    alike = findings_figures(_asked(By.A_DAY), days, [20] * 25, None)
    assert alike.spots[-1].above
    uneven = findings_figures(_asked(By.A_DAY), days, [20] * 24 + [200], None)
    assert uneven.uneven
    assert not any(spot.out for spot in uneven.spots)
    assert not uneven.few
