"""A piece on a trip: its plan, the answers and the findings that stand on it, and what became of it."""

from collections.abc import Iterator
from dataclasses import dataclass, field

from kiosk.core.catalogue import Item
from kiosk.core.place import Place
from kiosk.core.plan import LumenPlan, PiecePlan, PlannedCheck, ends_of
from kiosk.core.vocabulary import Check, Disposition, Group

TRAY = "tray"
"""The name of the pseudo-piece that carries the tray's own checks: basket, and one look at all other pieces."""

TRAY_PLAN = PiecePlan(
    piece=TRAY,
    item=TRAY,
    name="",
    checks=(PlannedCheck(check=Check.BASKET), PlannedCheck(check=Check.OTHERS)),
    lumens=(),
    seen_share=None,
    touched_share=None,
)


@dataclass(frozen=True, slots=True, kw_only=True)
class Yes:
    """A YES that stands: who, when (Unix ms), from which end, with which tool."""

    by: str
    at_ms: int
    end: str
    tool: str


@dataclass(frozen=True, slots=True, kw_only=True)
class FindingOn:
    """A finding that stands, on a check of a piece."""

    n: int
    piece: str
    key: str
    code: str
    group: str
    place: Place
    by: str
    at_ms: int
    tool: str
    photo: str = ""
    photo_sha256: str = ""
    no_photo: str = ""
    put_right: bool = False  # dried or fixed at the bench, and asked again
    decided: bool = False
    ruled: bool = False  # found at the tray's own looks, and ruled on: the look is asked again
    first: str = ""  # the code as it was first said, where what two people said made it another
    looked: bool = False  # a stiff joint: looked into, and no soil there
    accepted: bool = False  # it stands and is counted, and the piece goes on with it: color only

    @property
    def fails(self) -> bool:
        """Does it count as a failed check in a row (soil, foreign, blocked, still wet, not apart)?"""
        return self.group in {Group.SOIL, Group.FOREIGN, Group.BLOCKED} or self.code in {"still_wet", "not_apart"}


@dataclass(frozen=True, slots=True, kw_only=True)
class Piece:
    """One piece of the trip: its plan, the YES answers that stand by check, and what became of it."""

    plan: PiecePlan
    item: Item | None
    yes: dict[str, tuple[Yes, ...]] = field(default_factory=dict)
    disposition: Disposition | None = None
    ticket: str = ""
    note: str = ""
    mark: str = ""  # its own mark, as it was read or as the record knows it
    dirty: str = ""  # the dirty side's record of this trip that the piece stands on

    @property
    def name(self) -> str:
        """The piece as the plan names it: `A3#1`."""
        return self.plan.piece

    def open_checks(self) -> Iterator[PlannedCheck]:
        """The planned checks that still want a YES: one for each end, and one for each time a check is planned."""
        wanted: dict[str, int] = {}
        for check in self.plan.checks:
            key = check.key
            wanted[key] = wanted.get(key, 0) + ends_of(check)
            if len(self.yes.get(key, ())) < wanted[key]:
                yield check

    def answered(self, check: PlannedCheck) -> bool:
        """Has this check every YES it asks for?"""
        return check not in self.open_checks()

    def lumen_done(self, lumen: str) -> bool:
        """Is every planned check of this lumen answered YES?"""
        planned = any(check.lumen == lumen for check in self.plan.checks)
        return planned and all(check.lumen != lumen for check in self.open_checks())

    @property
    def all_yes(self) -> bool:
        """Is every planned check answered YES?"""
        return next(self.open_checks(), None) is None

    def lumen(self, name: str) -> LumenPlan | None:
        """The plan of one lumen."""
        return next((entry for entry in self.plan.lumens if entry.lumen == name), None)


NOT_OURS = frozenset({"single_use_found", "wrong_item"})
"""Findings of what lies in a piece's place and is none of the tray's: the real one is missing."""

MISSING = "missing"
"""The note of a lumened piece that the count found missing."""


def is_missing(piece: Piece) -> bool:
    """Did the count find this lumened piece missing? (A supervisor's own note may be the same word.)"""
    return piece.disposition is Disposition.HOLD and piece.note == MISSING
