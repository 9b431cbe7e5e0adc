"""Cleaning tests held against published levels. Sources: beside each level in `PUBLISHED`, and beside each check."""

from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from kiosk.core.cleaning_tests import PUBLISHED, RLU, Grade, LevelFault, Levels, Marker, Result, grade, in_unit


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
