"""The plan of checks as data: what is asked, with which tool, from which end, and why. `kiosk.lumen` makes it."""

from dataclasses import dataclass
from decimal import Decimal
from typing import Literal

from kiosk.core.catalogue import Mm
from kiosk.core.vocabulary import Check, Size

Ends = Literal["one end", "both ends", "part"]
"""How far a tool reaches: all of it from one end, all of it from both ends, or part of it only."""


@dataclass(frozen=True, slots=True, kw_only=True)
class PlannedCheck:
    """One question for one piece (`lumen` empty) or one of its lumens.

    `use` names the kit in words for the tech ("3.0 mm both ends", "SC-1"); `tool` is the kit alone ("3.0 mm", "SC-1").
    """

    check: Check
    lumen: str = ""
    use: str = ""
    tool: str = ""
    ends: Ends | None = None
    because: str = ""

    @property
    def key(self) -> str:
        """`bore.swab`, or `look` for a check of the whole piece."""
        return f"{self.lumen}.{self.check}" if self.lumen else str(self.check)


@dataclass(frozen=True, slots=True, kw_only=True)
class LumenPlan:
    """What the plan says of one lumen besides its checks."""

    lumen: str
    size: Size
    not_seen_mm: Mm | None = None  # None with `not_seen` True: the length is not known
    not_seen: bool = False
    not_seen_all: bool = False
    hold: str | None = None  # finding code: unknown_lumen, cannot_reach, part_not_seen
    left_out: tuple[tuple[str, str], ...] = ()  # (check, because) asked for by size or feature and not there
    wall_mm2: Decimal | None = None  # inner wall area; None: size not known
    seen_mm2: Decimal | None = None
    touched_mm2: Decimal | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class PiecePlan:
    """The plan of one piece: `A3#1` is the first of two pieces of item `A3`."""

    piece: str
    item: str
    name: str
    checks: tuple[PlannedCheck, ...]
    lumens: tuple[LumenPlan, ...]
    seen_share: Decimal | None  # None: no lumen of known size
    touched_share: Decimal | None
    hold: str | None = None

    @property
    def keys(self) -> tuple[str, ...]:
        """The checks in order, as `bore.swab`."""
        return tuple(check.key for check in self.checks)


def ends_of(check: PlannedCheck) -> int:
    """How many YES a check needs: two where both ends are gone into, each with its own."""
    return 2 if check.ends == "both ends" else 1
