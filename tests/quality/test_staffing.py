"""Waiting lines at the bench, against worked examples and tables of the handbooks."""

from math import exp, factorial, inf

import pytest
from hypothesis import given
from hypothesis import strategies as st

from kiosk.quality.staffing import LineFault, erlang_b, erlang_c, line, people_for
from tests.lumen.bench import reference_cases
from tests.quality.cases import is_near

CASES = {case["id"]: case for case in reference_cases("waiting_lines.json")}


@pytest.mark.parametrize("name", ["mmc-bronson-24.6", "mm1-bronson-23.3", "mm2-hospital"])
def test_the_wait_is_that_of_the_worked_example(name: str) -> None:
    """Sources: Bronson 1982; Hillier and Lieberman (from memory), in tests/reference/waiting_lines.json."""
    case = CASES[name]
    told, wanted, near = case["inputs"], case["expected"], case["tolerance"]
    found = line(told["lambda"], 60 / told["mu"], told["c"], 0)  # a unit of time taken for an hour
    queue = told["lambda"] * found.wait_min / 60
    if "Wq" in wanted:
        is_near(found.wait_min / 60, wanted["Wq"], near)
    if "Lq" in wanted:
        is_near(queue, wanted["Lq"], near)
    is_near(queue + found.load, wanted["L"], near)


def test_the_share_that_waits_is_that_of_the_tables() -> None:
    case = CASES["erlc-8-3.87"]
    is_near(erlang_c(case["inputs"]["A"], case["inputs"]["N"]), case["expected"]["P_wait"], case["tolerance"])
    case = CASES["erlc-grid-open"]
    got = [erlang_c(load, people) for load, people in case["inputs"]["A_N"]]
    is_near(got, case["expected"]["P_wait"], case["tolerance"])


def test_the_share_turned_away_is_that_of_the_formula() -> None:
    case = CASES["erlb-1"]
    is_near([erlang_b(case["inputs"]["A"], n) for n in case["inputs"]["N"]], case["expected"]["B"], case["tolerance"])


def test_the_usual_worked_example_needs_fourteen() -> None:
    """Source: the usual example of 100 calls in half an hour, three minutes each, 80 in 100 within 20 seconds."""
    case = CASES["erlc-10E-sl"]
    told = case["inputs"]
    an_hour, minutes, within = told["calls"] * 3600 / told["period_s"], told["aht_s"] / 60, told["target_s"] / 60
    got = [line(an_hour, minutes, people, within).in_time for people in told["people"]]
    is_near(got, case["expected"]["service_level"], case["tolerance"])
    assert people_for(an_hour, minutes, within, 0.8).people == 14


def test_where_more_comes_than_can_be_packed_the_line_grows_and_no_wait_is_told() -> None:
    for load, people in CASES["erlc-unstable"]["inputs"]["A_N"]:
        found = line(load * 6, 10, people, 30)
        assert found.grows
        assert (found.waits, found.wait_min, found.in_time) == (1.0, inf, 0.0)


@given(st.floats(0.1, 40), st.integers(1, 60))
def test_the_recursion_is_the_sum_of_the_formula(load: float, people: int) -> None:
    """A second writing: Erlang C by its sum (any handbook of queueing)."""
    if load >= people:
        assert erlang_c(load, people) == 1
        return
    last = load**people / factorial(people) * people / (people - load)
    whole = sum(load**n / factorial(n) for n in range(people)) + last
    assert erlang_c(load, people) == pytest.approx(last / whole, rel=1e-9, abs=1e-300)


@given(st.floats(0.5, 60), st.floats(1, 60), st.floats(0, 120), st.floats(0.05, 0.99))
def test_one_person_fewer_would_not_do(an_hour: float, minutes: float, within: float, share: float) -> None:
    found = people_for(an_hour, minutes, within, share)
    assert found.in_time >= share
    assert found.in_time == pytest.approx(1 - found.waits * exp(-(found.people - found.load) * within / minutes))
    if found.people > int(found.load) + 1:
        assert line(an_hour, minutes, found.people - 1, within).in_time < share


@pytest.mark.parametrize("bad", [(0, 5, 1, 1), (5, 0, 1, 1), (5, 5, -1, 1), (5, 5, 1, -1)])
def test_what_is_no_line_is_refused(bad: tuple[float, float, int, float]) -> None:
    with pytest.raises(LineFault):
        line(*bad)
    with pytest.raises(LineFault, match="no share"):
        people_for(5, 5, 5, 1.0)
