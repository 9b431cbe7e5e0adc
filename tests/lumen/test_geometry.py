"""Sizes and units against published tables and worked values; every source stands in the reference file."""

import math
from decimal import Decimal
from itertools import pairwise
from typing import Any

import pint
import pytest
from hypothesis import given
from hypothesis import strategies as st

from kiosk.core.vocabulary import Opening
from kiosk.lumen import geometry
from kiosk.lumen.geometry import Hollow, OutsideDiameter
from tests.lumen.bench import reference_cases

GEOMETRY = {case["id"]: case for case in reference_cases("lumen_geometry.json")}
UNITS = {case["id"]: case for case in reference_cases("lumen_units.json")}
UNIT_LIBRARY: Any = pint.UnitRegistry(cache_folder=None)
AMOUNTS = st.decimals(min_value=0, max_value=1000, places=3)


def _d(value: Any) -> Decimal:
    return Decimal(str(value))


@pytest.mark.parametrize("case", ["vol-1x1000", "vol-2.8x400", "vol-0.5x250"])
def test_volume_agrees_with_the_worked_cylinders(case: str) -> None:
    sizes, expected, tolerance = (GEOMETRY[case][key] for key in ("inputs", "expected", "tolerance"))
    volume = geometry.volume_ml(_d(sizes["id_mm"]), _d(sizes["length_mm"]))
    assert float(volume) == pytest.approx(expected["volume_mL"], abs=tolerance["abs"])


@pytest.mark.parametrize(("inside", "length", "milliliters"), [("3", "200", "1.414"), ("2", "1500", "4.712")])
def test_volume_of_two_usual_lumens(inside: str, length: str, milliliters: str) -> None:
    """Computed from pi x d2/4 x L, no outside source."""
    assert round(geometry.volume_ml(Decimal(inside), Decimal(length)), 3) == Decimal(milliliters)


@given(inside=st.decimals(min_value="0.2", max_value=20, places=2), length=st.integers(1, 3000))
def test_volume_and_wall_agree_with_a_unit_library(inside: Decimal, length: int) -> None:
    bore, long = float(inside) * UNIT_LIBRARY.mm, length * UNIT_LIBRARY.mm
    volume = (math.pi * bore**2 / 4 * long).to("mL").magnitude
    wall = (math.pi * bore * long).to("mm**2").magnitude
    assert float(geometry.volume_ml(inside, Decimal(length))) == pytest.approx(volume, rel=1e-12)
    assert float(geometry.wall_mm2(inside, Decimal(length))) == pytest.approx(wall, rel=1e-12)


@pytest.mark.parametrize("case", reference_cases("hollow_classes.json"), ids=str)
def test_hollow_class_at_the_edges_of_the_standard(case: dict[str, Any]) -> None:
    length, inside, opening = _d(case["length_mm"]), _d(case["inside_mm"]), Opening(case["open"])
    assert geometry.hollow_class(length_mm=length, inside_mm=inside, open=opening) is Hollow(case["expected"])


def test_a_socket_shallower_than_its_bore_is_not_hollow() -> None:
    """EN 13060: one open end counts from a ratio of 1; as quoted second-hand."""
    socket = geometry.hollow_class(length_mm=Decimal("8.9"), inside_mm=Decimal(9), open=Opening.ONE)
    assert socket is Hollow.NOT_HOLLOW
    assert geometry.hollow_class(length_mm=Decimal(9), inside_mm=Decimal(9), open=Opening.ONE) is Hollow.B


def test_ratio_is_length_in_bores() -> None:
    """750: the hollow-load test device, 2 mm by 1500 mm, of EN 867-5; from memory."""
    assert geometry.length_to_bore(Decimal(1500), Decimal(2)) == 750


@pytest.mark.parametrize(
    ("french", "outside"),
    [
        *zip(GEOMETRY["french-open"]["inputs"]["fr"], GEOMETRY["french-open"]["expected"]["od_mm"], strict=True),
        *zip(UNITS["fr-mm"]["inputs"]["fr"], UNITS["fr-mm"]["expected"]["mm"], strict=True),
        (7, 2.3333),  # 7 Fr = 2.33 mm: teaching pages on French gauge, read second-hand
    ],
)
def test_french_is_a_third_of_a_millimeter_outside(french: int, outside: float) -> None:
    diameter = geometry.french_outside(Decimal(french))
    assert isinstance(diameter, OutsideDiameter)
    assert float(diameter.mm) == pytest.approx(outside, abs=6e-5)


def test_french_alone_never_tells_the_bore() -> None:
    """French does not tell the inside diameter: teaching pages on French gauge, read second-hand."""
    assert geometry.bore_from_french(Decimal(12)) is None


def test_needle_gauges_agree_with_the_published_chart() -> None:
    case = GEOMETRY["needle-nominal-open"]
    rows = zip(case["inputs"]["gauge"], case["expected"]["od_mm"], case["expected"]["id_mm"], strict=True)
    for gauge, outside, inside in rows:
        needle = geometry.NEEDLES[gauge]
        assert float(needle.outside_mm) == pytest.approx(outside, abs=case["tolerance"]["abs"])
        assert float(needle.inside_mm) == pytest.approx(inside, abs=case["tolerance"]["abs"])


@pytest.mark.parametrize(
    ("gauge", "outside", "inside"), [(14, "2.108", "1.600"), (20, "0.908", "0.603"), (30, "0.311", "0.159")]
)
def test_three_common_needles_are_as_charted(gauge: int, outside: str, inside: str) -> None:
    """Needle gauge comparison chart, nominal regular wall, rounded to 0.001 mm; read second-hand."""
    needle = geometry.NEEDLES[gauge]
    assert (round(needle.outside_mm, 3), round(needle.inside_mm, 3)) == (Decimal(outside), Decimal(inside))


def test_a_higher_gauge_is_always_a_thinner_needle() -> None:
    needles = [geometry.NEEDLES[gauge] for gauge in range(7, 34)]
    assert all(thin.outside_mm < thick.outside_mm for thick, thin in pairwise(needles))
    assert all(needle.inside_mm < needle.outside_mm for needle in needles)


def test_twenty_five_pounds_are_eleven_point_three_four_kilograms() -> None:
    case = UNITS["unit-lb-kg-25"]
    kilograms = geometry.lb_to_kg(Decimal(25))
    assert kilograms == Decimal("11.33980925")
    assert float(kilograms) == pytest.approx(case["expected"]["value"], rel=case["tolerance"]["rel"])
    assert float(geometry.kg_to_lb(kilograms)) == 25


def test_ten_kilograms_in_pounds() -> None:
    case = UNITS["unit-kg-lb-10"]
    assert float(geometry.kg_to_lb(Decimal(10))) == pytest.approx(case["expected"]["value"], rel=1e-9)


@pytest.mark.parametrize("case", reference_cases("set_weights.json"), ids=str)
def test_a_set_is_too_heavy_only_above_its_limit(case: dict[str, Any]) -> None:
    limit = _d(case["limit_lb"]) if "limit_lb" in case else geometry.kg_to_lb(_d(case["limit_kg"]))
    assert geometry.heavier_than(_d(case["kilograms"]), limit) is case["expected"]


@pytest.mark.parametrize("case", ["unit-psi-kPa-1", "unit-psi-kPa-40", "unit-kPa-psi-100"])
def test_pressure_agrees_with_the_exact_factors(case: str) -> None:
    given_, expected = UNITS[case]["inputs"], UNITS[case]["expected"]["value"]
    convert = geometry.psi_to_kpa if given_["from"] == "psi" else geometry.kpa_to_psi
    assert float(convert(_d(given_["value"]))) == pytest.approx(expected, rel=UNITS[case]["tolerance"]["rel"])


@given(AMOUNTS)
def test_units_agree_with_a_unit_library(amount: Decimal) -> None:
    for convert, start, end in (
        (geometry.lb_to_kg, "lb", "kg"),
        (geometry.kg_to_lb, "kg", "lb"),
        (geometry.psi_to_kpa, "psi", "kPa"),
        (geometry.kpa_to_psi, "kPa", "psi"),
    ):
        there = UNIT_LIBRARY.Quantity(float(amount), start).to(end).magnitude
        assert float(convert(amount)) == pytest.approx(there, rel=1e-12)


@given(AMOUNTS)
def test_pounds_come_back_from_kilograms_unchanged(pounds: Decimal) -> None:
    assert round(geometry.kg_to_lb(geometry.lb_to_kg(pounds)), 12) == pounds
