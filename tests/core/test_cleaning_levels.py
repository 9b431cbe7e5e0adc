"""Cleaning tests held against published levels. Sources: beside each level in `PUBLISHED`, and beside each check."""

from dataclasses import replace
from decimal import Decimal
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from kiosk import resources
from kiosk.core import commands as c
from kiosk.core.cleaning_levels import levels_for, levels_from, lower_levels, plain_levels
from kiosk.core.cleaning_tests import PUBLISHED, RLU, UNITS, Grade, LevelFault, Levels, Marker, Result, grade, in_unit
from kiosk.core.commands import Page
from kiosk.core.decide.cleaning_tests import units_of
from kiosk.core.policy import PolicyFault
from kiosk.core.policy_words import sentence
from kiosk.core.together.stricter import strictest
from kiosk.core.views import ListView
from tests.core.department import PIN, Shift, desk

LEVELS = {"atp RLU LUM-7": [100, 250], "protein µg/cm²": ["3", "6.4"]}


def of(marker: Marker, unit: str) -> Levels:
    (found,) = (each for each in PUBLISHED if (each.marker, each.unit) == (marker, unit))
    return found


def result(marker: Marker, value: str, unit: str = "µg/cm²", meter: str = "") -> Result:
    return Result(marker=marker, value=Decimal(value), unit=unit, meter=meter)


@pytest.mark.parametrize(
    ("marker", "unit", "value", "wanted"),
    [
        # ISO 15883-5:2021, read in a summary
        (Marker.PROTEIN, "µg/cm²", "2.99", Grade.UNDER),
        (Marker.PROTEIN, "µg/cm²", "3.00", Grade.ALERT),
        (Marker.PROTEIN, "µg/cm²", "6.39", Grade.ALERT),
        (Marker.PROTEIN, "µg/cm²", "6.40", Grade.ACTION),
        (Marker.HEMOGLOBIN, "µg/cm²", "0.99", Grade.UNDER),
        (Marker.HEMOGLOBIN, "µg/cm²", "1.0", Grade.ALERT),
        (Marker.HEMOGLOBIN, "µg/cm²", "2.2", Grade.ACTION),
        (Marker.CARBOHYDRATE, "µg/cm²", "0.9", Grade.ALERT),
        (Marker.CARBOHYDRATE, "µg/cm²", "1.8", Grade.ACTION),
        (Marker.ORGANIC_CARBON, "µg/cm²", "6", Grade.ALERT),
        (Marker.ORGANIC_CARBON, "µg/cm²", "12", Grade.ACTION),
        (Marker.ATP, "fmol/cm²", "10", Grade.ALERT),
        (Marker.ATP, "fmol/cm²", "22", Grade.ACTION),
        # HTM 01-01:2016, threshold "< 5", as told in J Hosp Infect 100 (2018)
        (Marker.PROTEIN, "µg/side", "4.9", Grade.UNDER),
        (Marker.PROTEIN, "µg/side", "5.0", Grade.ACTION),
        # Japanese guideline 2015: target 100, allowed 200; a publisher's preview
        (Marker.PROTEIN, "µg/instrument", "100", Grade.UNDER),
        (Marker.PROTEIN, "µg/instrument", "150", Grade.ALERT),
        (Marker.PROTEIN, "µg/instrument", "200", Grade.ALERT),
        (Marker.PROTEIN, "µg/instrument", "201", Grade.ACTION),
    ],
)
def test_a_result_lies_where_the_published_levels_put_it(marker: Marker, unit: str, value: str, wanted: Grade) -> None:
    assert grade(result(marker, value, unit), of(marker, unit)) is wanted


def test_a_result_per_square_millimeter_is_a_hundred_times_that_per_square_centimeter() -> None:
    """Source: 1 cm² is 100 mm² (SI Brochure)."""
    small = result(Marker.PROTEIN, "0.4", "µg/mm²")
    assert in_unit(small, "µg/cm²").value == 40
    assert grade(small, of(Marker.PROTEIN, "µg/cm²")) is Grade.ACTION


def test_light_units_of_one_meter_are_never_held_against_another_meters_levels() -> None:
    """Source: Whiteley and others: published limits came from meters that read on different relative scales."""
    mine = Levels(
        marker=Marker.ATP, unit=RLU, alert=Decimal(100), action=Decimal(250), source="the department", meter="M-1"
    )
    assert grade(result(Marker.ATP, "100", RLU, "M-1"), mine) is Grade.ALERT
    for meter in ("M-2", ""):
        with pytest.raises(LevelFault, match="are not those of M-1"):
            grade(result(Marker.ATP, "100", RLU, meter), mine)
    with pytest.raises(LevelFault, match="no meter named"):
        grade(result(Marker.ATP, "100", RLU, "M-1"), of(Marker.ATP, "fmol/cm²"))


@pytest.mark.parametrize("unit", ["rlu", "RLU/swab", "RLU"])
def test_however_the_unit_is_written_meters_are_not_held_against_each_other(unit: str) -> None:
    levels = Levels(marker=Marker.ATP, unit=unit, alert=Decimal(100), action=None, source="the department", meter="M-1")
    with pytest.raises(LevelFault, match="are not those of M-1"):
        grade(result(Marker.ATP, "100", unit, "M-2"), levels)


def test_both_signs_for_micro_are_one_unit_and_what_is_no_number_is_refused() -> None:
    assert grade(result(Marker.PROTEIN, "3", "\u03bcg/cm\u00b2"), of(Marker.PROTEIN, "µg/cm²")) is Grade.ALERT
    for value in ("-5", "NaN", "Infinity"):
        with pytest.raises(LevelFault, match="is no result"):
            grade(result(Marker.PROTEIN, value), of(Marker.PROTEIN, "µg/cm²"))


def test_per_side_per_device_and_per_area_are_not_turned_into_each_other() -> None:
    with pytest.raises(LevelFault, match="cannot be turned"):
        grade(result(Marker.PROTEIN, "4", "µg/side"), of(Marker.PROTEIN, "µg/cm²"))
    with pytest.raises(LevelFault, match="say nothing of atp"):
        grade(result(Marker.ATP, "4", "fmol/cm²"), of(Marker.PROTEIN, "µg/cm²"))


def test_no_word_for_a_result_says_what_only_a_person_may_say() -> None:
    words = [word for kind in (Grade, Marker) for word in kind]
    assert not [word for word in words if "clean" in word or "sterile" in word or "pass" in word]


@given(st.decimals(0, 1000, places=2), st.decimals(0, 1000, places=2), st.sampled_from(PUBLISHED))
def test_more_residue_is_never_graded_lower(one: Decimal, other: Decimal, levels: Levels) -> None:
    order = list(Grade)
    low, high = sorted((one, other))
    grades = [grade(result(levels.marker, str(value), levels.unit), levels) for value in (low, high)]
    assert order.index(grades[0]) <= order.index(grades[1])


@pytest.mark.parametrize(
    ("rows", "why"),
    [
        ({"atp RLU": [1, 2]}, "light units need their meter"),
        ({"protein µg/cm²": [7, 6]}, "alert lies above"),
        ({"protein µg/cm²": ["none", "none"]}, "at least one"),
        ({"protein µg/cm²": [3]}, "takes alert and action"),
        ({"protein µg/cm²": ["x", 3]}, "is no number"),
        ({"protein µg/cm²": [0, 3]}, "above 0"),
        ({"prion µg/cm²": [1, 3]}, "begins with a kind"),
        ({"atp RLU m-1": [1, 3], "atp RLU M-1": [1, 3]}, "two rows"),
    ],
)
def test_levels_that_no_department_can_mean_are_told_by_their_row(rows: dict[str, list[Any]], why: str) -> None:
    with pytest.raises(LevelFault, match=why):
        levels_from(rows)
    with pytest.raises(PolicyFault, match=f"cleaning_levels: .*{why}"):
        resources.policy({"cleaning_levels": rows})


def test_published_levels_can_each_be_taken_over_as_they_stand() -> None:
    """Source of each: beside it in `PUBLISHED`."""
    for each in PUBLISHED:
        (back,) = levels_from(plain_levels((each,)))
        assert (back.alert, back.action, back.reached, back.unit) == (each.alert, each.action, each.reached, each.unit)


def _rule(shift: Shift) -> ListView:
    shift.must(c.Turn(page=Page.RULE, subject="cleaning_levels"))
    view = shift.session.view()
    assert isinstance(view, ListView)
    return view


def test_published_levels_are_offered_by_their_source_and_taken_into_the_draft_by_a_touch() -> None:
    shift = Shift()
    shift.must(c.EnterPin(person="S1", pin=PIN))
    view = _rule(shift)
    row = next(row for row in view.rows if row.name == "level protein µg/cm²")
    assert row.title == "Protein: alert 3, action 6.4 µg/cm²"
    assert "ISO 15883-5:2021" in row.sub
    assert row.value == "not set"
    assert row.send is not None
    shift.must(row.send)
    after = shift.session.view()
    assert isinstance(after, ListView)
    (row,) = [row for row in after.rows if row.name == "level protein µg/cm²"]
    assert row.value == "set"
    assert shift.session.desk.policy.cleaning_levels == ()  # a draft counts for nothing before it is signed
    assert row.send is not None
    shift.must(row.send)
    assert not shift.bench.staff.drafted


def test_the_policy_says_its_levels_in_plain_words() -> None:
    words = resources.words()
    assert sentence(words, "cleaning_levels", {}) == "Levels for cleaning tests: none."
    said = sentence(words, "cleaning_levels", {**LEVELS, "protein µg/instrument": [100, 200, "over"]})
    assert "ATP, meter LUM-7: alert 100, action 250 RLU; Protein: alert 3, action 6.4 µg/cm²" in said
    assert "(only above)" in said


def test_of_two_policies_the_lower_level_of_each_row_counts() -> None:
    one, other = {"protein µg/cm²": ["3", "6.4"]}, {"protein µg/cm²": ["none", "2"], "atp RLU M": ["1", "2"]}
    joined = {"protein µg/cm²": ["2", "2"], "atp RLU M": ["1", "2"]}
    assert lower_levels(one, other) == joined
    policies = [resources.policy({"cleaning_levels": rows}) for rows in (one, other)]
    assert plain_levels(strictest(policies[0], policies[1:], 9).cleaning_levels) == joined


def test_a_level_of_the_own_meter_goes_before_one_of_any_meter() -> None:
    set_ = levels_from({"protein µg/cm²": [3, 6], "protein µg/cm² M-1": [1, 2]})
    own = levels_for(Result(marker=Marker.PROTEIN, value=Decimal(1), unit="µg/cm²", meter="M-1"), set_)
    any_ = levels_for(Result(marker=Marker.PROTEIN, value=Decimal(1), unit="µg/mm²", meter="M-2"), set_)
    assert own is not None
    assert any_ is not None
    assert own.alert == 1
    assert any_.alert == 3


MICRO, MU = "\N{MICRO SIGN}g/cm²", "\N{GREEK SMALL LETTER MU}g/cm²"
"""Two signs are written for a millionth, by turns of the keyboard. Source: Unicode, U+00B5 and U+03BC (NFKC equal)."""


def test_the_micro_sign_and_the_greek_mu_are_one_unit_and_one_row() -> None:
    assert MICRO != MU
    rows = {f"protein {MU}": [2, 6], "protein µg/side": [5, 9]}
    assert levels_from(rows) == levels_from({f"protein {MICRO}": [2, 6], "protein µg/side": [5, 9]})
    assert lower_levels({f"protein {MU}": [4, 5]}, {f"protein {MICRO}": [3, 6]}) == {f"protein {MICRO}": [3, 5]}
    with pytest.raises(LevelFault, match="two rows"):
        levels_from({f"protein {MU}": [2, 6], f"protein {MICRO}": [3, 6]})
    assert (
        units_of(replace(desk(), policy=replace(desk().policy, cleaning_levels=levels_from(rows))), "protein")
        == (UNITS[Marker.PROTEIN])
    )
