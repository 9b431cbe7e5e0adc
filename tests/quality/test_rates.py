"""Rates with their limits, against published tables, printed outputs and a general library."""

from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st
from statsmodels.stats.proportion import proportion_confint

from kiosk.quality.rates import LEAST_FOR_PERCENT, CountFault, rate
from tests.lumen.bench import reference_cases
from tests.quality.cases import is_near

CASES = {case["id"]: case for case in reference_cases("proportions.json") if case["id"].startswith("ci-")}
OTHERS = {"ci-n0", "ci-r-20-100"}
PRINTED = [case for case in CASES.values() if case["id"] not in OTHERS]


@pytest.mark.parametrize("case", PRINTED, ids=lambda case: str(case["id"]))
def test_the_limits_of_a_rate_are_those_that_were_printed(case: dict[str, Any]) -> None:
    """Sources: beside each case in tests/reference/proportions.json."""
    told = case["inputs"]
    found = rate(told["k"], told["n"], told["conf"])
    wanted = dict(case["expected"])
    if "ci" in wanted:
        wanted = {"wilson" if case["id"].endswith("wilson") else "exact": wanted["ci"]}
    got = {"wilson": found.wilson, "exact": found.exact, "exact_two_sided": found.exact}
    here = {key: value for key, value in wanted.items() if key in got}
    assert here
    for key, value in here.items():
        is_near(got[key], value, case["tolerance"])


def test_the_exact_limits_of_twenty_in_a_hundred_are_those_of_a_statistics_program() -> None:
    """Source: R 3.6.2, binom.test output, in tests/reference/proportions.json."""
    case = CASES["ci-r-20-100"]
    is_near(rate(20, 100).exact, case["expected"]["two_sided"], case["tolerance"])


def test_nothing_looked_at_is_no_data_and_not_none_found() -> None:
    found = rate(0, 0)
    assert (found.share, found.percent, found.wilson, found.exact) == (None, None, None, None)


@pytest.mark.parametrize(
    ("found", "of", "shown"),
    [(163, 187, "87"), (17, 18, None), (16, 18, None), (368, 23_357, "1.58"), (25, 50, "50"), (24, 49, None)],
)
def test_a_percentage_stands_only_on_fifty_looked_at_or_more(found: int, of: int, shown: str | None) -> None:
    """Source of 163 of 187 and 368 of 23,357: the check values 19 and 20 of the project's reference facts (papers)."""
    percent = rate(found, of).percent
    assert (percent is not None) == (of >= LEAST_FOR_PERCENT)
    if shown is not None:
        assert percent is not None
        assert f"{percent:.{len(shown.partition('.')[2])}f}" == shown


@pytest.mark.parametrize(("found", "of"), [(-1, 5), (6, 5), (0, -1)])
def test_what_is_no_count_is_refused(found: int, of: int) -> None:
    with pytest.raises(CountFault, match=f"{found} of {of}"):
        rate(found, of)


@pytest.mark.parametrize("level", [0, 1, -0.5, 95])
def test_a_level_outside_one_is_refused(level: float) -> None:
    with pytest.raises(CountFault, match=str(level)):
        rate(1, 5, level)


@given(st.integers(1, 5000).flatmap(lambda of: st.tuples(st.integers(0, of), st.just(of))), st.floats(0.5, 0.999))
def test_limits_are_those_of_a_general_library_and_hold_the_rate(count: tuple[int, int], level: float) -> None:
    found, of = count
    told = rate(found, of, level)
    assert told.wilson is not None
    assert told.exact is not None
    assert told.share is not None
    for limits, method in ((told.wilson, "wilson"), (told.exact, "beta")):
        assert limits == pytest.approx(proportion_confint(found, of, alpha=1 - level, method=method), abs=1e-9)
        assert 0 <= limits[0] <= told.share + 1e-12
        assert told.share - 1e-12 <= limits[1] <= 1
