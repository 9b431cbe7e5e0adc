"""The rules of the kit."""

from collections.abc import Callable
from typing import Any

from kiosk.core.decide.overridable import Overridable
from kiosk.core.decide.pen import Pen

RULES: dict[type, Callable[[Pen, Any], None]] = {}
BY_NOBODY: tuple[type, ...] = ()
"""Commands that need nobody signed in."""
OVERRIDES: tuple[Overridable, ...] = ()
"""What a supervisor may let go on here."""


def settle(pen: Pen) -> None:
    """What follows by itself."""
