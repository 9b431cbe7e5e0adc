"""What pictures of a lumen bring: a still that is kept, a reason for none, a look that a second person accepted."""

from dataclasses import dataclass

from kiosk.core.events.shipped import Shipped
from kiosk.core.scope_target import TargetFigures
from kiosk.core.still import StillQuality


@dataclass(frozen=True, slots=True, kw_only=True)
class StillKept:
    """A still of this lumen lies on the disk, its bytes as they came: number `n` of the trip.

    `at_mm`: its place in millimeters from the entry, by the marks along the tube; None: nobody said. `file`: its name
    in the picture folder; `sha256` and `size` (bytes) are of the file as kept. `width`, `height`: pixels. `source`:
    camera, stream, file or folder; `scope`: the scope that the plan asked for, or "". `finding`: whose picture it is
    too, 0 for none. `quality`: None where it could not be measured.
    """

    n: int
    piece: str
    lumen: str
    at_mm: int | None
    file: str
    sha256: str
    size: int
    width: int
    height: int
    source: str
    scope: str = ""
    finding: int = 0
    quality: StillQuality | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class NoStill:
    """No picture of this lumen, with the reason picked."""

    piece: str
    lumen: str
    reason: str


@dataclass(frozen=True, slots=True, kw_only=True)
class LookAccepted:
    """Whoever this is by accepts still `n` as the look that later pictures are set beside, after the check's YES.

    `mark`: the piece's own mark; "" where it carries none: the look is then that of the line `tray`/`item`.
    """

    n: int
    piece: str
    lumen: str
    file: str
    sha256: str
    at_mm: int | None
    tray: str
    item: str
    mark: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class ScopeTargetRead:
    """The test target was read through a scope of this bench. The picture itself is not kept.

    `shift`: largest CIEDE2000 of a color from the first reading of this scope here, in tenths; 0 for the first one.
    """

    scope: str
    figures: TargetFigures
    shift: int = 0


StillsEvent = StillKept | NoStill | LookAccepted | ScopeTargetRead

SHIPPED: dict[str, Shipped] = {
    "still_kept": Shipped(1, StillKept, "info"),
    "no_picture": Shipped(1, NoStill, "info"),
    "look_accepted": Shipped(1, LookAccepted, "info"),
    "scope_target_read": Shipped(1, ScopeTargetRead, "info"),
}
