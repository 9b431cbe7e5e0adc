"""The rules of the count and the tray itself."""

from collections.abc import Callable
from typing import Any

from kiosk.core.agenda import shorts
from kiosk.core.bench import Bench
from kiosk.core.decide.overridable import Overridable, Subjects
from kiosk.core.decide.pen import Pen
from kiosk.core.desk import Desk


def may_pack_short(bench: Bench, desk: Desk) -> tuple[Subjects, ...]:
    """The lines that may go short, all in one: never while one is short that the set is named after."""
    trip, policy = bench.trip, desk.policy
    if trip is None or trip.ended or not trip.counted or policy.missing_rule != "pack_short_by_supervisor":
        return ()
    if policy.missing_may_pack_short != "supervisor":
        return ()
    short = [line for line, _, _ in shorts(trip) if line not in trip.short_by]
    vital = {line.name for line in trip.tray.lines if line.vital}
    return (tuple(short),) if short and not vital & set(short) else ()


OVERRIDES = (
    Overridable(
        name="missing_pack_short",
        asked=may_pack_short,
        reasons=("not_found", "at_repair", "none_in_stock", "other"),
        seconds=frozenset({"override", "pack_short"}),
    ),
)
"""What a supervisor may let go on here."""

RULES: dict[type, Callable[[Pen, Any], None]] = {}
BY_NOBODY: tuple[type, ...] = ()
"""Commands that need nobody signed in."""


def settle(pen: Pen) -> None:
    """What follows by itself."""
