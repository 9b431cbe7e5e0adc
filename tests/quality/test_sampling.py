"""Looking again: sample sizes and plans against published tables and the distributions of a general library."""

from fractions import Fraction
from math import comb
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from kiosk.quality.sampling import Plan, SampleFault, look_again, none_wrong_of, passes, passes_of, smallest_plan
from kiosk.quality.sampling_tables import LETTERS, LEVELS, QUALITY, SIZES, code_letter, plan_for, single_plan
from tests.lumen.bench import reference_cases
from tests.quality.cases import is_near

CASES = {case["id"]: case for case in reference_cases("sampling.json")}
SHARES = {case["id"]: case for case in reference_cases("proportions.json")}
TABLE = [case for name, case in CASES.items() if name.startswith("z14-")]


@pytest.mark.parametrize("case", TABLE, ids=lambda case: str(case["id"]))
def test_a_single_plan_is_the_one_of_the_table(case: dict[str, Any]) -> None:
    """Source: ISO 2859-1:1999 / ANSI/ASQ Z1.4 Table II-A, as in tests/reference/sampling.json."""
    wanted = case["expected"]
    plan = single_plan(case["inputs"]["letter"], case["inputs"]["aql_percent"])
    assert plan == Plan(n=wanted["n"], accept=wanted["Ac"])
    assert wanted["Re"] == plan.accept + 1


def test_the_letters_are_those_of_the_table() -> None:
    """Source: ISO 2859-1:1999 Table 1, nine of its fifteen rows (tests/reference/sampling.json)."""
    case = CASES["code-letters-open"]
    for lots, letters in zip(case["inputs"]["lots"], case["expected"]["letters"], strict=True):
        for lot in map(int, lots.split("-")):
            assert "".join(code_letter(lot, level) for level in case["inputs"]["levels"]) == letters


@pytest.mark.parametrize("name", ["oc-10-3", "assess-20-0", "oc-80-2"])
def test_the_chance_that_a_plan_passes_is_the_published_one(name: str) -> None:
    case = CASES[name]
    told = case["inputs"]
    is_near([passes(p, told["n"], told["c"]) for p in told["p"]], case["expected"]["Pa"], case["tolerance"])


def test_the_chance_that_a_small_lot_passes_is_the_published_one() -> None:
    case = CASES["oc-hyper-open"]
    got = [passes_of(lot, wrong, n, c) for lot, wrong, n, c in case["inputs"]["N_D_n_c"]]
    is_near(got, case["expected"]["Pa"], case["tolerance"])


def test_so_many_are_looked_at_again_as_the_rule_of_acceptance_on_none_asks() -> None:
    """Source: discovery sampling, hypergeometric: with D wrong a sample shows one with confidence C."""
    case = CASES["discovery-open"]
    got = [look_again(lot, wrong - 1, sure) for lot, wrong, sure in case["inputs"]["N_D_C"]]
    assert got == case["expected"]["n"]


def test_so_many_without_a_failure_show_a_share_right() -> None:
    """Source: the success-run theorem and its usual table (from memory)."""
    case = SHARES["zero-failure-n"]
    got = [none_wrong_of(sure, right) for sure, right in case["inputs"]["confidence_reliability"]]
    assert got == case["expected"]["n"]


@given(st.integers(1, 300).flatmap(lambda lot: st.tuples(st.just(lot), st.integers(0, lot))), st.floats(0.05, 0.999))
def test_one_piece_fewer_would_not_show_it(lot_allow: tuple[int, int], confidence: float) -> None:
    """Beside a second writing: the chance by binomial coefficients."""
    lot, allow = lot_allow
    n = look_again(lot, allow, confidence)
    if allow == lot:
        assert n == 0
        return

    def none_seen(drawn: int) -> float:
        return comb(lot - allow - 1, drawn) / comb(lot, drawn)

    assert none_seen(n) <= 1 - confidence + 1e-9
    assert n == 1 or none_seen(n - 1) > 1 - confidence - 1e-9


@pytest.mark.parametrize(
    ("lot", "allow", "off", "n"),
    [(100, 50, Fraction(1, 10**13), 32), (1000, 100, Fraction(1, 10**12), 228), (200, 100, Fraction(1, 10**12), 35)],
)
def test_a_very_high_confidence_asks_for_no_piece_too_few(lot: int, allow: int, off: Fraction, n: int) -> None:
    """Beside exact fractions."""
    exact = next(k for k in range(lot) if Fraction(comb(lot - allow - 1, k), comb(lot, k)) <= off)
    assert exact == n
    assert look_again(lot, allow, 1 - float(off)) in {n, n + 1}


TWO_POINTS = [case for name, case in CASES.items() if name.startswith("two-points-")]


@pytest.mark.parametrize("case", TWO_POINTS, ids=lambda case: str(case["id"]))
def test_the_smallest_plan_for_a_good_and_a_bad_share_is_the_published_one(case: dict[str, Any]) -> None:
    """Source: worked examples of the R packages AcceptanceSampling and AccSamplingDesign, in the reference file."""
    given_, wanted = case["inputs"], case["expected"]
    plan = smallest_plan(
        given_["good"],
        given_["bad"],
        producer=given_["producer"],
        consumer=given_["consumer"],
        lot=given_.get("lot"),
    )
    assert plan == Plan(n=wanted["n"], accept=wanted["Ac"])
    if "consumer" in wanted:
        risks = [1 - passes(given_["good"], plan.n, plan.accept), passes(given_["bad"], plan.n, plan.accept)]
        is_near(risks, [wanted["producer"], wanted["consumer"]], case["tolerance"])


def _passes_exactly(lot: int, wrong: int, n: int, accept: int) -> Fraction:
    """The hypergeometric chance by binomial coefficients, a second writing."""
    ways = sum(comb(wrong, k) * comb(lot - wrong, n - k) for k in range(min(accept, wrong, n) + 1))
    return Fraction(ways, comb(lot, n))


@settings(max_examples=40, deadline=None)
@given(st.integers(10, 60), st.integers(1, 25), st.integers(2, 50), st.sampled_from([5, 10, 20]), st.data())
def test_no_plan_with_fewer_pieces_of_a_small_lot_keeps_both_risks(
    lot: int, good: int, more: int, consumer: int, data: st.DataObject
) -> None:
    """Beside every plan of fewer pieces, and its own, by exact fractions."""
    few = min(good, lot - 2)
    many = min(few + more, lot - 1)
    plan = smallest_plan(few / lot, many / lot, producer=0.05, consumer=consumer / 100, lot=lot)

    def does(n: int, accept: int) -> bool:
        fails = 1 - _passes_exactly(lot, few, n, accept)
        return fails <= Fraction(5, 100) and _passes_exactly(lot, many, n, accept) <= Fraction(consumer, 100)

    assert does(plan.n, plan.accept)
    assert not [(n, c) for n in range(1, plan.n) for c in range(n + 1) if does(n, c)]
    assert not any(does(plan.n, c) for c in range(plan.accept))


@pytest.mark.parametrize(
    ("good", "bad", "lot", "said"),
    [(0.05, 0.05, None, "are no plan"), (0.01, 0.05, 0, "are no lot"), (0.001, 1e-3 + 1e-9, None, "too near"),
     (0.1, 0.15, 10**10, "are no lot"), (1e-13, 1e-12, None, "too rare")],
)  # fmt: skip
def test_two_shares_that_no_plan_tells_apart_are_refused(good: float, bad: float, lot: int | None, said: str) -> None:
    with pytest.raises(SampleFault, match=said):
        smallest_plan(good, bad, lot=lot)


@pytest.mark.parametrize("quality", QUALITY)
def test_a_larger_sample_of_one_quality_limit_accepts_no_fewer(quality: str) -> None:
    plans = [single_plan(letter, quality) for letter in LETTERS]
    assert [plan.n for plan in plans] == sorted(plan.n for plan in plans)
    assert [plan.accept for plan in plans] == sorted(plan.accept for plan in plans)
    assert {plan.n for plan in plans} <= set(SIZES)


@pytest.mark.parametrize("quality", QUALITY)
def test_lots_at_the_quality_limit_pass_most_of_the_time(quality: str) -> None:
    """Source: ISO 2859-1, Table X: lots at the limit pass with a chance of 0.88 to 0.99 (from memory)."""
    for letter in LETTERS:
        plan = single_plan(letter, quality)
        if plan.accept:
            assert passes(float(quality) / 100, plan.n, plan.accept) > 0.8


@pytest.mark.parametrize("level", LEVELS)
def test_a_lot_smaller_than_its_sample_is_looked_at_whole(level: str) -> None:
    for lot in range(2, 60):
        assert plan_for(lot, "0.10", level).n == lot


def test_a_lot_of_one_and_an_unknown_limit_have_no_plan() -> None:
    with pytest.raises(SampleFault, match="lot of 1"):
        code_letter(1)
    with pytest.raises(SampleFault, match="level IV"):
        code_letter(20, "IV")
    with pytest.raises(SampleFault, match=r"limit 0\.5"):
        single_plan("H", "0.5")
    with pytest.raises(SampleFault, match="letter I"):
        single_plan("I", "1.0")


@pytest.mark.parametrize(("lot", "allow", "sure"), [(0, 0, 0.9), (5, 6, 0.9), (5, -1, 0.9), (5, 1, 1.0), (5, 1, 0)])
def test_a_lot_that_is_none_is_refused(lot: int, allow: int, sure: float) -> None:
    with pytest.raises(SampleFault):
        look_again(lot, allow, sure)
