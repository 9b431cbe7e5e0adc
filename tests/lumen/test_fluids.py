"""Volume and wall of a lumen, and units of pressure, beside a library of fluid mechanics on random inputs.

No pressure drop and no flow is reckoned anywhere in this product: of air it keeps the pressure that the IFU allows, of
water that the ways are flushed. So there is nothing here to hold against the library's friction and dP functions.
"""

import math
from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from kiosk.lumen import geometry

fluids = pytest.importorskip("fluids", reason="fluids is not installed here: it comes with the test extras")

NEAR = 1e-13
"""Both sides multiply four numbers of 53 bits (16 digits) or better; a few roundings of 1.1e-16 each, with room."""

BORES = st.decimals(min_value="0.1", max_value=60, places=2)
LENGTHS = st.decimals(min_value=1, max_value=2000, places=1)
"""What the catalogue takes: 0.1 to 60 mm, 1 to 2000 mm."""


@given(BORES, LENGTHS)
def test_the_volume_of_a_lumen_is_that_of_a_cylinder_in_the_library(bore: Decimal, length: Decimal) -> None:
    """Source: fluids.geometry.V_cylinder, in cubic meters."""
    cubic_meters = fluids.geometry.V_cylinder(D=float(bore) / 1000, L=float(length) / 1000)
    assert float(geometry.volume_ml(bore, length)) == pytest.approx(cubic_meters * 1e6, rel=NEAR)


@given(BORES, LENGTHS)
def test_the_wall_of_a_lumen_is_a_cylinder_of_the_library_without_its_two_ends(bore: Decimal, length: Decimal) -> None:
    """Source: fluids.geometry.A_cylinder, in square meters, both ends included.

    Where the tube is short and wide the wall is a small part of the whole, so the tolerance is one of the whole.
    """
    d, whole = float(bore) / 1000, fluids.geometry.A_cylinder(D=float(bore) / 1000, L=float(length) / 1000)
    wall = whole - 2 * math.pi * d**2 / 4
    assert float(geometry.wall_mm2(bore, length)) / 1e6 == pytest.approx(wall, abs=whole * NEAR)


def test_a_pound_a_square_inch_is_that_of_the_library() -> None:
    """Source: fluids.constants.psi, in pascals."""
    assert float(geometry.KPA_PER_PSI) * 1000 == pytest.approx(fluids.constants.psi, rel=NEAR)
