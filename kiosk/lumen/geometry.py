"""Exact sizes and units: volume, wall, ratio, hollow class, French, needle gauge, pounds, pressure."""

from collections.abc import Mapping
from dataclasses import dataclass
from decimal import Decimal
from enum import StrEnum
from types import MappingProxyType

from kiosk.core.catalogue import Mm
from kiosk.core.policy import KG_PER_LB
from kiosk.core.vocabulary import Opening

PI = Decimal("3.141592653589793")
"""To 16 digits: areas from tenths of a mm then stay exact in 28, and their sums do not depend on the order."""

KPA_PER_PSI = KG_PER_LB * Decimal("9.80665") / Decimal("0.0254") ** 2 / 1000
"""From exact factors: pound, standard gravity, inch (NIST SP 811, appendix B)."""


class Hollow(StrEnum):
    """Hollow class of EN 13060, the standard of small steam sterilizers (below 60 L); EN 285 does not use it."""

    A = "A"
    B = "B"
    BEYOND = "beyond"
    NOT_HOLLOW = "not hollow"


@dataclass(frozen=True, slots=True, kw_only=True)
class OutsideDiameter:
    """An outside diameter in mm. A type of its own, so that it is never taken for a bore."""

    mm: Mm


@dataclass(frozen=True, slots=True, kw_only=True)
class Needle:
    """Nominal diameters in mm of a regular-wall needle. Nominal: not the limits of ISO 9626, not a measured bore."""

    gauge: int
    outside_mm: Mm
    inside_mm: Mm


def wall_mm2(inside_mm: Mm, length_mm: Mm) -> Decimal:
    """Inner wall area in mm2: pi x bore x length."""
    return PI * inside_mm * length_mm


def volume_ml(inside_mm: Mm, length_mm: Mm) -> Decimal:
    """Volume in mL of a straight bore."""
    return PI * inside_mm**2 / 4 * length_mm / 1000


def length_to_bore(length_mm: Mm, inside_mm: Mm) -> Decimal:
    """How many bores long a lumen is."""
    return length_mm / inside_mm


def hollow_class(*, length_mm: Mm, inside_mm: Mm, open: Opening) -> Hollow:  # noqa: A002  # the word of the record
    """Class by EN 13060. Ratios as quoted from the standard; the 5 mm edge of class B from memory of it."""
    ratio = length_to_bore(length_mm, inside_mm)
    least, most_b, most_a, longest = (1, 5, 750, 1500) if open is Opening.ONE else (2, 10, 1500, 3000)
    if ratio < least:
        return Hollow.NOT_HOLLOW
    if ratio <= most_b and inside_mm >= 5:
        return Hollow.B
    return Hollow.A if ratio <= most_a and length_mm <= longest else Hollow.BEYOND


def french_outside(french: Decimal) -> OutsideDiameter:
    """Outside diameter of a French (Charriere) size: a third of a millimeter each."""
    return OutsideDiameter(mm=french / 3)


def bore_from_french(french: Decimal) -> Mm | None:  # noqa: ARG001  # asked for, and not enough to answer
    """None, always: French is an outside size and tells nothing of the wall, so the bore is not known."""
    return None


def lb_to_kg(pounds: Decimal) -> Decimal:
    """Kilograms in so many pounds, exact."""
    return pounds * KG_PER_LB


def kg_to_lb(kilograms: Decimal) -> Decimal:
    """Pounds in so many kilograms, to 28 digits."""
    return kilograms / KG_PER_LB


def heavier_than(kilograms: Decimal, limit_lb: Decimal) -> bool:
    """Is a weight in kg over a limit kept in pounds? Compared at 0.1 g, far below what a bench scale shows."""
    step = Decimal("0.0001")
    return kilograms.quantize(step) > lb_to_kg(limit_lb).quantize(step)


def psi_to_kpa(psi: Decimal) -> Decimal:
    """Kilopascals in so many pounds per square inch."""
    return psi * KPA_PER_PSI


def kpa_to_psi(kpa: Decimal) -> Decimal:
    """Pounds per square inch in so many kilopascals."""
    return kpa / KPA_PER_PSI


def at_least_one_decimal(value: Decimal) -> str:
    """A diameter as the trade writes it: 3.0, 1.25, 10.0."""
    text = f"{value.normalize():f}"
    return text if "." in text else f"{text}.0"


def plain(value: Decimal) -> str:
    """A length without needless zeros: 350, 12.5."""
    return f"{value.normalize():f}"


# Nominal, regular wall, in mm: the needle gauge comparison chart of the open encyclopedia (Birmingham wire gauge;
# its mm columns), read in two copies that agree. No standard gives these as limits.
_CHART = """
7 4.572 3.810, 8 4.191 3.429, 9 3.759 2.997, 10 3.404 2.692, 11 3.048 2.388, 12 2.769 2.159, 13 2.413 1.803,
14 2.108 1.600, 15 1.829 1.372, 16 1.651 1.194, 17 1.473 1.067, 18 1.270 0.838, 19 1.067 0.686, 20 0.9081 0.603,
21 0.8192 0.514, 22 0.7176 0.413, 23 0.6414 0.337, 24 0.5652 0.311, 25 0.5144 0.260, 26 0.4636 0.260,
27 0.4128 0.210, 28 0.3620 0.184, 29 0.3366 0.184, 30 0.3112 0.159, 31 0.2604 0.133, 32 0.2350 0.108, 33 0.2096 0.108
"""


def _chart() -> Mapping[int, Needle]:
    rows = (row.split() for row in _CHART.split(","))
    return MappingProxyType(
        {int(g): Needle(gauge=int(g), outside_mm=Decimal(od), inside_mm=Decimal(bore)) for g, od, bore in rows}
    )


NEEDLES: Mapping[int, Needle] = _chart()
"""Nominal needle sizes by gauge, 7 to 33."""
