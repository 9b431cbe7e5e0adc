"""The rules of looking again."""

from collections.abc import Callable
from typing import Any

from kiosk.core import commands as c
from kiosk.core import events as e
from kiosk.core.decide import checking, second_looks
from kiosk.core.decide.overridable import Overridable
from kiosk.core.decide.pen import Pen

RULES: dict[type, Callable[[Pen, Any], None]] = {
    c.TakeSecondLook: second_looks.take,
}
BY_NOBODY: tuple[type, ...] = ()
"""Commands that need nobody signed in."""
OVERRIDES: tuple[Overridable, ...] = ()
"""What a supervisor may let go on here."""


def settle(pen: Pen) -> None:
    """What follows by itself: a scope that met what two people could not call clear is out of use."""
    for kept in tuple(pen.kept):
        if isinstance(kept.event, e.DoubtSettled) and kept.event.how == "back":
            checking.scope_after_finding(pen, pen.trip.finding(kept.event.n))
