"""The rules of the set's weight: the unit is asked, the limit stops, a supervisor splits the set in parts."""

from decimal import Decimal, InvalidOperation

from kiosk.core import events as e
from kiosk.core.agenda import next_step
from kiosk.core.commands import RuleSplit, Weigh
from kiosk.core.decide.pen import Pen, Refused
from kiosk.core.state.piece import TRAY
from kiosk.core.weight import OVER_LIMIT, in_pounds, limit_lb, part_due, reading_of

MOST_PARTS = 4
"""Into so many packages a set is split at most (a choice, no source)."""


def pounds(value: str, unit: str) -> Decimal:
    """A scale's reading in pounds, unrounded. Raises Refused for what is no weight."""
    try:
        number = Decimal(value)
    except InvalidOperation as fault:
        raise Refused("refused.weight") from fault
    if not number.is_finite() or not 0 < number < 200 or unit not in {"kg", "lb"}:
        raise Refused("refused.weight")
    return in_pounds(number, unit)


def weigh(pen: Pen, command: Weigh) -> None:
    """A reading of the scale. One over the limit is asked once more, "kilograms or pounds?", before it stops."""
    trip, policy = pen.trip, pen.desk.policy
    if next_step(pen.bench, pen.desk).kind not in {"pack", "unit", "too_heavy"}:
        raise Refused("refused.not_ready")
    part = part_due(trip)
    if command.part != part:
        raise Refused("refused.not_asked")
    before, limit = reading_of(trip, part), limit_lb(trip, policy)
    over, sure = pounds(command.value, command.unit) > limit, trip.unit_asked or trip.weight_over
    if before is not None and before != (command.value, command.unit):
        pen.write(e.Correction(piece=TRAY, key="weight", was=" ".join(before)))
    value, unit, words = command.value, command.unit, f"{limit.normalize():f}"
    if over and not sure:
        pen.write(e.Weighed(value=value, unit=unit, part=part, asks=True))
    elif over and policy.set_weight_act == "stop":
        pen.write(e.WeightStopped(value=value, unit=unit, part=part, limit_lb=words))
        if not any(OVER_LIMIT in hold.waits_for for hold in trip.holds):
            pen.hold("set_weight", OVER_LIMIT)
    else:
        pen.write(e.Weighed(value=value, unit=unit, part=part, over_lb=words if over else ""))


def rule_split(pen: Pen, command: RuleSplit) -> None:
    """The supervisor splits a set that is too heavy; each part is weighed and labeled by itself."""
    pen.sign_ruling(command.by)
    if next_step(pen.bench, pen.desk).kind != "too_heavy" or not pen.trip.parts < command.parts <= MOST_PARTS:
        raise Refused("refused.not_asked")
    pen.write(e.TraySplit(parts=command.parts), who=command.by)
    pen.let_go(OVER_LIMIT, "split", who=command.by)


def settle(pen: Pen) -> None:
    """A tray that is not over its limit any more does not wait for it."""
    if pen.bench.trip is not None and not pen.trip.weight_over:
        pen.let_go(OVER_LIMIT, "weighed again")
