"""What is asked for with pictures of a lumen."""

from dataclasses import dataclass

from kiosk.core.scope_target import TargetFigures
from kiosk.core.still import StillQuality


@dataclass(frozen=True, slots=True, kw_only=True)
class KeepStill:
    """The store has this still on the disk. It is told by itself: whose it is, it says itself (`taken_by`).

    `trip`, `piece`, `lumen`: what the page stood on when it was frozen; `finding`: whose picture it is too, or 0.
    """

    trip: str
    taken_by: str
    piece: str
    lumen: str
    at_mm: int | None
    file: str
    sha256: str
    size: int
    width: int
    height: int
    source: str
    finding: int = 0
    quality: StillQuality | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class GiveNoStill:
    """No picture of this lumen, for this reason."""

    piece: str
    lumen: str
    reason: str


@dataclass(frozen=True, slots=True, kw_only=True)
class AcceptLook:
    """A second person, on their own badge, accepts still `n` as the known look."""

    by: str
    n: int


@dataclass(frozen=True, slots=True, kw_only=True)
class KeepTarget:
    """What was read of the test target through a scope. `shift`: see ScopeTargetRead."""

    scope: str
    figures: TargetFigures
    shift: int = 0


StillsCommand = KeepStill | GiveNoStill | AcceptLook | KeepTarget
