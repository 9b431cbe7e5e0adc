"""The set's weight: both units, its limit, and how far the weighing is. Pounds are exact, kilograms are shown."""

from decimal import ROUND_HALF_UP, Decimal

from kiosk.core.policy import KG_PER_LB, Policy
from kiosk.core.state.trip import Trip

OVER_LIMIT = "@weight"
"""What a tray waits for that is over its limit."""

OTHER_UNIT = {"kg": "lb", "lb": "kg"}


def in_pounds(number: Decimal, unit: str) -> Decimal:
    """A reading in pounds, unrounded. `unit`: kg or lb."""
    return number if unit == "lb" else number / KG_PER_LB


def in_both(value: str, unit: str) -> str:
    """A reading as it was typed, with the other unit to one decimal: "26.7 lb (12.1 kg)"."""
    number = in_pounds(Decimal(value), unit)
    other = number if unit == "kg" else number * KG_PER_LB
    return f"{value} {unit} ({other.quantize(Decimal('0.1'), ROUND_HALF_UP)} {OTHER_UNIT[unit]})"


def limit_lb(trip: Trip, policy: Policy) -> Decimal:
    """The lower of the set's own limit and policy's, in pounds, container included."""
    limits = (trip.tray.weight_max_lb, policy.set_weight_max_lb)
    return min(limit for limit in limits if limit is not None)


def limit_words(trip: Trip, policy: Policy) -> str:
    """The limit in both units."""
    return in_both(f"{limit_lb(trip, policy).normalize():f}", "lb")


def part_due(trip: Trip) -> int:
    """Of a split set, the part on the scale now, from 1; the first again when all are weighed. 0: the set is whole."""
    if trip.parts and (trip.unit_asked or trip.weight_over):
        return len(trip.part_weights)
    return len(trip.part_weights) % trip.parts + 1 if trip.parts else 0


def reading_of(trip: Trip, part: int) -> tuple[str, str] | None:
    """The reading that stands for this part, or (part 0) for the whole set."""
    if not part:
        return trip.weight
    return trip.part_weights[part - 1] if part <= len(trip.part_weights) else None


def all_weighed(trip: Trip) -> bool:
    """Has the set, and each part of a split one, a weight that may go on?"""
    parts_done = len(trip.part_weights) == trip.parts
    return (trip.weight is not None or trip.parts > 0) and parts_done and not trip.weight_over and not trip.unit_asked
