"""Readers' agreement against published examples and, on sets by chance, against reference libraries."""

import math
from collections.abc import Mapping, Sequence
from typing import Any

import numpy as np
import pytest
from hypothesis import assume, given
from hypothesis import strategies as st
from sklearn.metrics import cohen_kappa_score
from statsmodels.stats import inter_rater

from kiosk.quality.agreement import Agreement, agreement_of
from kiosk.quality.alpha import alpha_limits, krippendorffs_alpha
from kiosk.quality.kappa import cohens_kappa, fleiss_kappa
from kiosk.quality.picture_set import PictureSet, percent_agreement, split_pictures
from tests.quality.readings import ANSWERS, CASES, by_krippendorff, of_observers, picture_set

NOT_OFFERED = {"interval", "ratio", "pe"}
"""Printed beside the others: alpha of two other scales, and the agreement by chance by itself."""


def of_table(table: Sequence[Sequence[int]]) -> PictureSet:
    """A table of two readers, spelled out as pictures."""
    return picture_set(
        [
            (str(a), str(b))
            for a, row in enumerate(table)
            for b, times in enumerate(row)
            for _ in range(times)
        ]
    )  # fmt: skip


def of_counts(counts: Sequence[Sequence[int]]) -> PictureSet:
    """How often each answer was given to each picture, spelled out as readings."""
    return picture_set([[str(n) for n, times in enumerate(row) for _ in range(times)] for row in counts])


def near(case: Mapping[str, Any], name: str) -> Any:
    return pytest.approx(case["expected"][name], abs=case["tolerance"]["abs"])


def figures(found: Agreement) -> tuple[Any, ...]:
    """Every figure but the resampled limits, and which pictures are split."""
    split = {(one.picture, tuple(sorted(one.answers.values()))) for one in found.split}
    return found.share, found.cohen, found.fleiss, found.alpha, found.readers, found.compared, found.even, split


def readings(*, missing: bool = True) -> st.SearchStrategy[Any]:
    one = st.sampled_from(ANSWERS)
    return st.none() | one if missing else one


@st.composite
def sets(draw: st.DrawFn, *, readers: int | None = None, missing: bool = True) -> PictureSet:
    width = readers or draw(st.integers(1, 5))
    row = st.lists(readings(missing=missing), min_size=width, max_size=width)
    return picture_set(draw(st.lists(row, min_size=1, max_size=8)))


# Against published examples: sources in tests/reference/agreement.json.


@pytest.mark.parametrize("name", [name for name in CASES if name.startswith("kappa-")])
def test_the_kappa_of_two_readers_is_the_published_one(name: str) -> None:
    case = CASES[name]
    pictures, wanted = of_table(case["inputs"]["table"]), case["expected"]
    share, found = percent_agreement(pictures), cohens_kappa(pictures)
    assert share is not None
    if "po" in wanted:
        assert share.percent == pytest.approx(100 * wanted["po"])
    if wanted["kappa"] == "undefined (0/0)":
        assert (found, fleiss_kappa(pictures), krippendorffs_alpha(pictures)) == (None, None, None)
        return
    assert found is not None
    assert found.kappa == near(case, "kappa")
    assert found.limits is not None
    if "ase" in wanted:
        assert found.standard_error == near(case, "ase")
        assert list(found.limits) == near(case, "ci95")
        assert found.z == near(case, "z_h0")


@pytest.mark.parametrize("name", [name for name in CASES if name.startswith("fleiss-")])
def test_the_kappa_of_many_readers_is_the_published_one(name: str) -> None:
    case = CASES[name]
    pictures = (
        of_counts(case["inputs"]["counts"])
        if "counts" in case["inputs"]
        else picture_set([[str(one) for one in row] for row in case["inputs"]["ratings_rows_are_patients"]])
    )
    found = fleiss_kappa(pictures)
    assert found is not None
    assert found.kappa == near(case, "kappa")
    if "z" in case["expected"]:
        assert found.z == near(case, "z")
    if "P_i" in case["expected"]:
        split = {one.picture: one.share.percent / 100 for one in split_pictures(pictures)}
        shares = [split.get(name, 1.0) for name in pictures.pictures]
        assert shares == near(case, "P_i")


@pytest.mark.parametrize("name", [name for name in CASES if name.startswith("kripp-")])
def test_alpha_is_the_published_one(name: str) -> None:
    case = CASES[name]
    pictures = of_observers(case["inputs"]["observers_by_units"])
    given_order = {"nominal": None, "ordinal": sorted({one for row in pictures.rows for one in row if one})}
    offered = case["expected"].keys() - NOT_OFFERED
    assert offered
    for scale in offered:
        assert krippendorffs_alpha(pictures, order=given_order[scale]) == near(case, scale), scale


def test_every_published_case_is_tested_here() -> None:
    assert {name.partition("-")[0] for name in CASES} == {"kappa", "fleiss", "kripp"}
    printed = {name for case in CASES.values() for name in case["expected"]}
    assert printed - NOT_OFFERED == {"po", "kappa", "ase", "ci95", "z_h0", "z", "P_i", "nominal", "ordinal"}


# Against reference libraries, on sets by chance.


@given(sets(readers=2))
def test_the_kappa_of_two_readers_agrees_with_statsmodels_and_scikit_learn(pictures: PictureSet) -> None:
    """statsmodels cohens_kappa (value, both standard errors, limits), scikit-learn cohen_kappa_score (value)."""
    found = cohens_kappa(pictures)
    assume(found is not None)
    assert found is not None
    both = [(a, b) for a, b in pictures.rows if a and b]
    table = [[both.count((a, b)) for b in ANSWERS] for a in ANSWERS]
    with np.errstate(invalid="ignore", divide="ignore"):  # a standard error of 0 is left there with rounding
        wanted = inter_rater.cohens_kappa(table)
    assert found.kappa == pytest.approx(wanted.kappa)
    assert found.kappa == pytest.approx(cohen_kappa_score(*zip(*both, strict=True)))
    assert found.standard_error**2 == pytest.approx(wanted.var_kappa, abs=1e-12)
    if found.limits:
        edges = (wanted.kappa_low, wanted.kappa_upp)
        assert found.limits == pytest.approx([max(-1, min(1, edge)) for edge in edges], abs=1e-6)
    if found.z is None:
        assert wanted.var_kappa0 == pytest.approx(0, abs=1e-12)
    else:
        assert found.z == pytest.approx(wanted.kappa / math.sqrt(wanted.var_kappa0), rel=1e-6)


@given(sets(missing=False))
def test_the_kappa_of_many_readers_agrees_with_statsmodels(pictures: PictureSet) -> None:
    """statsmodels fleiss_kappa."""
    found = fleiss_kappa(pictures)
    assume(found is not None)
    assert found is not None
    table = [[row.count(answer) for answer in ANSWERS] for row in pictures.rows]
    assert found.kappa == pytest.approx(inter_rater.fleiss_kappa(np.array(table)))


@given(sets(), st.booleans())
def test_alpha_agrees_with_the_krippendorff_package(pictures: PictureSet, ordinal: bool) -> None:
    found = krippendorffs_alpha(pictures, order=ANSWERS if ordinal else None)
    assume(found is not None)
    assert found == pytest.approx(by_krippendorff(pictures.rows, ordinal=ordinal), abs=1e-9)


# Properties of the figures.


@given(sets(), st.randoms(use_true_random=False), st.booleans())
def test_the_order_of_pictures_and_of_readers_does_not_matter_limits_included(
    pictures: PictureSet, chance: Any, ordinal: bool
) -> None:
    order = ANSWERS if ordinal else None
    named = list(zip(pictures.pictures, pictures.rows, strict=True))
    chance.shuffle(named)
    places = list(range(len(named[0][1])))
    chance.shuffle(places)
    shuffled = PictureSet(
        pictures=tuple(name for name, _ in named),
        rows=tuple(tuple(row[place] for place in places) for _, row in named),
    )
    before, after = (agreement_of(one, order=order, resamples=50) for one in (pictures, shuffled))
    assert figures(after) == figures(before)
    assert after.limits == before.limits


@given(sets(), st.permutations(ANSWERS))
def test_what_nominal_answers_are_called_does_not_matter(pictures: PictureSet, names: Sequence[str]) -> None:
    called = dict(zip(ANSWERS, names, strict=True))
    renamed = picture_set([[called[one] if one else None for one in row] for row in pictures.rows])
    assert figures(agreement_of(renamed, resamples=1)) == figures(agreement_of(pictures, resamples=1))


@given(sets())
def test_steps_counted_from_the_other_end_give_the_same_alpha(pictures: PictureSet) -> None:
    assert krippendorffs_alpha(pictures, order=ANSWERS) == krippendorffs_alpha(pictures, order=ANSWERS[::-1])


@given(sets())
def test_with_two_answers_steps_are_no_more_than_a_difference(pictures: PictureSet) -> None:
    """With binary data all metrics agree: Krippendorff 2011, section A (from memory)."""
    two = picture_set([[one and ("a" if one in "ab" else "b") for one in row] for row in pictures.rows])
    assert krippendorffs_alpha(two, order="ab") == krippendorffs_alpha(two)


@given(st.lists(st.sampled_from(ANSWERS), min_size=1, max_size=9), st.integers(2, 5), st.booleans())
def test_a_set_read_alike_has_agreement_1_or_none_and_no_limits(
    answers: Sequence[str], readers: int, ordinal: bool
) -> None:
    found = agreement_of(
        picture_set([[one] * readers for one in answers]), order=ANSWERS if ordinal else None, resamples=100
    )
    wanted = 1.0 if len(set(answers)) > 1 else None
    assert found.share is not None
    assert found.share.percent == 100
    assert found.alpha == wanted
    assert (found.fleiss and found.fleiss.kappa) == wanted
    assert (found.cohen and found.cohen.kappa) == (wanted if readers == 2 else None)
    assert found.cohen is None or found.cohen.limits is None
    assert found.limits.limits is None
    assert found.split == ()


@given(sets(), st.booleans())
def test_every_figure_is_none_or_a_number_in_its_bounds(pictures: PictureSet, ordinal: bool) -> None:
    found = agreement_of(pictures, order=ANSWERS if ordinal else None, resamples=40)
    assert found.share is None or 0 <= found.share.agreeing <= found.share.pairs
    for kappa in (found.cohen, found.fleiss):
        assert kappa is None or -1 <= kappa.kappa <= 1
        assert kappa is None or kappa.z is None or math.isfinite(kappa.z)
    assert found.alpha is None or -1 <= found.alpha <= 1
    if found.limits.limits:
        low, high = found.limits.limits
        assert -1 - 1e-9 <= low < high <= 1 + 1e-9
    if found.compared == 0:
        assert (found.share, found.alpha, found.limits.limits) == (None, None, None)


@given(sets(), readings(missing=False))
def test_a_picture_that_one_reader_read_changes_neither_percentage_nor_alpha(pictures: PictureSet, one: str) -> None:
    width = len(pictures.rows[0])
    more = picture_set([*pictures.rows, [one, *[None] * (width - 1)], [None] * width])
    assert percent_agreement(more) == percent_agreement(pictures)
    assert krippendorffs_alpha(more) == krippendorffs_alpha(pictures)
    assert alpha_limits(more, resamples=20) == alpha_limits(pictures, resamples=20)
    assert fleiss_kappa(more) is None


@given(sets(readers=1))
def test_there_is_no_figure_of_one_reader(pictures: PictureSet) -> None:
    found = agreement_of(pictures, resamples=10)
    assert (found.share, found.cohen, found.fleiss, found.alpha, found.limits.limits) == (None,) * 5
    assert found.split == ()


def test_cohens_kappa_is_for_two_who_read_something() -> None:
    rows = [("a", "a", None), ("b", "a", None), ("b", "b", None)]
    assert cohens_kappa(picture_set(rows)) == cohens_kappa(picture_set([row[:2] for row in rows]))
    assert cohens_kappa(picture_set([*rows[:2], ("b", "b", "b")])) is None
    assert cohens_kappa(picture_set([("a", None), (None, "b")])) is None


def test_the_most_split_pictures_come_first_and_name_answers_not_readers() -> None:
    found = split_pictures(picture_set(["aab", "aaa", "abc", "aba"]))
    assert [one.picture for one in found] == ["P3", "P1", "P4"]
    assert [list(one.answers.items()) for one in found[1:]] == [[("a", 2), ("b", 1)]] * 2
    assert [(one.share.agreeing, one.share.pairs) for one in found] == [(0, 3), (1, 3), (1, 3)]


def test_a_set_that_does_not_hold_together_is_refused() -> None:
    for names, rows in [(("P1",), ()), (("P1", "P2"), (("a",), ("a", "b"))), (("P1", "P1"), (("a",), ("b",)))]:
        with pytest.raises(ValueError, match="picture"):
            PictureSet(pictures=names, rows=rows)
    pictures = picture_set(["ab"])
    for order in ("a", "aab"):
        with pytest.raises(ValueError, match="order"):
            krippendorffs_alpha(pictures, order=order)
    for level in (0, 1, math.nan):
        with pytest.raises(ValueError, match="level"):
            agreement_of(pictures, level=level)
    with pytest.raises(ValueError, match="resample"):
        alpha_limits(pictures, resamples=0)
