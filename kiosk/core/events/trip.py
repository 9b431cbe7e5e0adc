"""What happens on a tray trip: opening, counting, checks, findings, what becomes of the pieces."""

from dataclasses import dataclass

from kiosk.core.catalogue import Item, Tray
from kiosk.core.events.shipped import Shipped
from kiosk.core.place import Place
from kiosk.core.plan import PiecePlan


@dataclass(frozen=True, slots=True, kw_only=True)
class TrayOpened:
    """A tray trip began: the tray's record as it was then, and the washer load it came from."""

    tray: Tray
    load: str | None


@dataclass(frozen=True, slots=True, kw_only=True)
class LoadChecked:
    """The load is released."""

    load: str


@dataclass(frozen=True, slots=True, kw_only=True)
class LoadNotReleased:
    """The load is not released, or not known: the tray stops."""

    load: str | None


@dataclass(frozen=True, slots=True, kw_only=True)
class PlanShown:
    """The plan of checks the trip works by, a piece each."""

    plans: tuple[PiecePlan, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class LineCounted:
    """One line of the count sheet has its number."""

    line: str
    have: int


@dataclass(frozen=True, slots=True, kw_only=True)
class CountOk:
    """Every line is there as listed. `again` after a pause or another person."""

    again: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class CountShort:
    """A line has fewer than listed."""

    line: str
    want: int
    have: int


@dataclass(frozen=True, slots=True, kw_only=True)
class CountOver:
    """A line has more than listed."""

    line: str
    want: int
    have: int


@dataclass(frozen=True, slots=True, kw_only=True)
class CheckYes:
    """A check was answered YES: good. `end` is entry or tip where both ends are asked; `took_ms` is the time on screen.

    `asked_twice`: the answer came faster than the pace, and was given again when asked.
    """

    piece: str
    key: str
    end: str = ""
    took_ms: int = 0
    tool: str = ""
    asked_twice: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class CheckNo:
    """A check was answered NO, or CAN'T TELL (`unsure`). A finding follows."""

    piece: str
    key: str
    end: str = ""
    took_ms: int = 0
    tool: str = ""
    unsure: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class NotSeenMarked:
    """A finished lumen that nobody looked through from end to end: `mm` not seen, or all of it."""

    piece: str
    lumen: str
    mm: int | None
    all: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class Found:
    """What was seen, and where. `n` numbers the findings of the trip; `group` is the finding's own, then."""

    n: int
    piece: str
    key: str
    code: str
    group: str
    place: Place


@dataclass(frozen=True, slots=True, kw_only=True)
class FindingWithdrawn:
    """A slip: the finding is taken back, the record stays."""

    n: int


@dataclass(frozen=True, slots=True, kw_only=True)
class PlaceMoved:
    """The mark of a finding was moved before it was confirmed."""

    n: int
    place: Place


@dataclass(frozen=True, slots=True, kw_only=True)
class Correction:
    """An answer was taken back; the check is asked again, both answers stay in the log. `was`: yes or no.

    Of a count that was kept as complete and was not (`key` count, `was` as_listed), `note` says what lay there.
    """

    piece: str
    key: str
    was: str = "yes"
    note: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class PhotoTaken:
    """A picture of a finding was kept: file name in the picture folder and SHA-256 of its bytes."""

    n: int
    file: str
    sha256: str


@dataclass(frozen=True, slots=True, kw_only=True)
class PhotoDeclined:
    """No picture, with the reason picked."""

    n: int
    reason: str


@dataclass(frozen=True, slots=True, kw_only=True)
class SecondLookAsked:
    """A second person is to look, blind."""

    n: int
    piece: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Dried:
    """The piece was dried by the bench's rule; the dry check is asked again."""

    n: int
    piece: str
    tries: int


@dataclass(frozen=True, slots=True, kw_only=True)
class BenchFixed:
    """Put right here; the check is asked again."""

    n: int
    piece: str


@dataclass(frozen=True, slots=True, kw_only=True)
class ItemBack:
    """This piece goes back to decontam with a ticket; the tray waits. `bench`, `gloves`: to be done first."""

    ticket: str
    pieces: tuple[str, ...]
    findings: tuple[int, ...]
    bench: str
    gloves: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class TrayBack:
    """The whole tray goes back to decontam with a ticket, and the trip ends. `why` is the rule that chose it."""

    ticket: str
    pieces: tuple[str, ...]
    findings: tuple[int, ...]
    why: str
    bench: str
    gloves: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class RepairTagged:
    """The piece is held back for repair."""

    tag: str
    piece: str
    n: int


@dataclass(frozen=True, slots=True, kw_only=True)
class Quarantined:
    """The piece is in quarantine. `note`: the supervisor's own words. `rule`: by the department's own rule instead:
    fail_limit, use_limit or recalled; `note` is then what the rule says of it."""

    tag: str
    piece: str
    n: int
    note: str
    rule: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class HoldPlaced:
    """The tray waits. `waits_for` names the pieces; `code` is why; `n` the finding behind it, or 0."""

    hold: str
    code: str
    waits_for: tuple[str, ...]
    n: int = 0
    bench: str = "none"
    gloves: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class HoldReleased:
    """Only the holds named here are released."""

    holds: tuple[str, ...]
    why: str


@dataclass(frozen=True, slots=True, kw_only=True)
class LeadTold:
    """The lead was told, by a line on the lead's list."""

    piece: str
    why: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Replaced:
    """A supervisor let a like-for-like spare take a piece's place. Its own plan follows."""

    out: str
    item: Item


@dataclass(frozen=True, slots=True, kw_only=True)
class Paused:
    """Work on the tray stopped and its place is kept. `reason`: break, called_away, load, end_of_shift,
    hold_shelf; found open at a sign-in: other_person, away."""

    reason: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Resumed:
    """Work on the tray goes on."""

    covered: bool
    other_person: bool
    minutes: int


@dataclass(frozen=True, slots=True, kw_only=True)
class RepeatedAfterPause:
    """These pieces' answers are asked again, and the count if `count`.

    `about`: what another record of this tray has, where that is why: its findings, pieces out, count.
    """

    pieces: tuple[str, ...]
    count: bool
    about: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class PieceChosen:
    """The person chose the piece to go on with."""

    piece: str


@dataclass(frozen=True, slots=True, kw_only=True)
class TrayLetGo:
    """The wrong tray was opened: the trip ends before anything was answered."""


@dataclass(frozen=True, slots=True, kw_only=True)
class LoadReleased:
    """A supervisor recorded that the load's printout is signed.

    `over`: the marks of the words about this load that were known where it was said (`kiosk.core.together.seen`).
    What was said without each other stands side by side, whatever the stations' clocks show.
    """

    load: str
    over: tuple[str, ...] = ()


TripEvent = (
    TrayOpened | LoadChecked | LoadNotReleased | PlanShown | LineCounted | CountOk | CountShort | CountOver |
    CheckYes | CheckNo | NotSeenMarked | Found | FindingWithdrawn | PlaceMoved | Correction | PhotoTaken |
    PhotoDeclined | SecondLookAsked | Dried | BenchFixed | ItemBack | TrayBack | RepairTagged | Quarantined |
    HoldPlaced | HoldReleased | LeadTold | Replaced | Paused | Resumed | RepeatedAfterPause | PieceChosen |
    TrayLetGo | LoadReleased
)  # fmt: skip

SHIPPED: dict[str, Shipped] = {
    "tray_opened": Shipped(1, TrayOpened, "info"),
    "load_checked": Shipped(1, LoadChecked, "clear"),
    "load_not_released": Shipped(1, LoadNotReleased, "hold"),
    "plan_shown": Shipped(1, PlanShown, "info"),
    "line_counted": Shipped(1, LineCounted, "info"),
    "count_ok": Shipped(1, CountOk, "clear"),
    "count_short": Shipped(1, CountShort, "hold"),
    "count_over": Shipped(1, CountOver, "hold"),
    "check_yes": Shipped(1, CheckYes, "info"),
    "check_no": Shipped(1, CheckNo, "hold"),
    "not_seen_marked": Shipped(1, NotSeenMarked, "hold"),
    "finding": Shipped(1, Found, "hold"),
    "finding_withdrawn": Shipped(1, FindingWithdrawn, "clear"),
    "place_moved": Shipped(1, PlaceMoved, "hold"),
    "correction": Shipped(1, Correction, "hold"),
    "photo_taken": Shipped(1, PhotoTaken, "info"),
    "photo_declined": Shipped(1, PhotoDeclined, "info"),
    "second_look_asked": Shipped(1, SecondLookAsked, "hold"),
    "dried": Shipped(1, Dried, "clear"),
    "bench_fixed": Shipped(1, BenchFixed, "clear"),
    "item_back": Shipped(1, ItemBack, "hold"),
    "tray_back": Shipped(1, TrayBack, "hold"),
    "repair_tagged": Shipped(1, RepairTagged, "hold"),
    "quarantined": Shipped(1, Quarantined, "hold"),
    "hold_placed": Shipped(1, HoldPlaced, "hold"),
    "hold_released": Shipped(1, HoldReleased, "clear"),
    "lead_told": Shipped(1, LeadTold, "info"),
    "replaced": Shipped(1, Replaced, "clear"),
    "piece_chosen": Shipped(1, PieceChosen, "info"),
    "paused": Shipped(1, Paused, "info"),
    "resumed": Shipped(1, Resumed, "info"),
    "repeated_after_pause": Shipped(1, RepeatedAfterPause, "hold"),
    "tray_let_go": Shipped(1, TrayLetGo, "info"),
    "load_released": Shipped(1, LoadReleased, "clear"),
}
