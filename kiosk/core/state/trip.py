"""One passage of a tray over the bench, and what it can tell of its lines, its loads and its pieces."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field
from decimal import Decimal

from kiosk.core.catalogue import CountLine, Tray
from kiosk.core.state.asked import Asking, Pause, Task
from kiosk.core.state.jobs import Job
from kiosk.core.state.looked import SecondLook
from kiosk.core.state.piece import NOT_OURS, FindingOn, Piece, is_missing
from kiosk.core.state.ruled import Mixed, Override
from kiosk.core.state.tickets import CameBack, CardFinding, Hold, Ticket
from kiosk.core.still import StillOn


@dataclass(frozen=True, slots=True, kw_only=True)
class Trip:
    """One passage of a tray over the bench."""

    id: str
    tray: Tray
    load: str | None
    load_ok: bool | None = None
    opened_ms: int
    opened_offset: int
    opened_by: str
    policy: int
    record: int
    counts: dict[str, int] = field(default_factory=dict)
    counted: bool = False
    count_again: str = ""  # why it is counted once more: pause, reopened, exchanged, back
    counts_repeated: int = 0
    counted_ms: int = 0
    differences: tuple[tuple[str, int, int], ...] = ()  # (line, want, have)
    pieces: dict[str, Piece] = field(default_factory=dict)
    replaced: dict[str, str] = field(default_factory=dict)  # out -> in
    replaced_by: dict[str, str] = field(default_factory=dict)  # out -> supervisor
    ruled_by: dict[str, str] = field(default_factory=dict)  # piece -> supervisor who put it in quarantine
    findings: tuple[FindingOn, ...] = ()
    next_finding: int = 1
    failed_rows: frozenset[str] = frozenset()  # counted once a trip, however many alike pieces go back
    dried: dict[str, int] = field(default_factory=dict)  # piece.key -> tries
    asking: Asking | None = None
    last: tuple[str, str, str] | None = None  # piece, key, who of the last answer, for TakeBack
    tasks: tuple[Task, ...] = ()
    jobs: tuple[Job, ...] = ()
    holds: tuple[Hold, ...] = ()
    tickets: tuple[Ticket, ...] = ()
    chosen: str = ""  # piece picked on the overview
    weight: tuple[str, str] | None = None
    weight_over: bool = False
    indicators: int | None = None
    packaging: str = ""
    package: str = ""
    packed_ms: int | None = None
    packed_by: str = ""
    back_ms: int | None = None
    let_go_ms: int | None = None
    pause: Pause | None = None
    power_lost_ms: tuple[int, ...] = ()
    not_seen: dict[str, tuple[int | None, bool]] = field(default_factory=dict)  # piece.lumen -> (mm, all)
    # decontam
    came_back: tuple[CameBack, ...] = ()
    returned: tuple[FindingOn, ...] = ()  # findings on pieces that decontam cleaned since: told, and counted, no more
    recheck: tuple[str, ...] = ()  # pieces that came back: looked at again before the count
    answers: dict[str, str] = field(default_factory=dict)  # ticket -> decontam's answer, as heard here
    # counting
    overrides: tuple[Override, ...] = ()  # done ones, for the papers
    short_by: frozenset[str] = frozenset()  # lines that a supervisor lets go short
    packed_short: int = 0  # pieces that are not in the package
    first: str = ""  # a piece that was picked before the count
    absent: frozenset[str] = frozenset()  # pieces of the stop list that are not in the tray, somebody said
    searched: dict[str, tuple[str, ...]] = field(default_factory=dict)  # line -> places
    search_over: frozenset[str] = frozenset()  # lines that are not searched for any more now
    found_at: dict[str, tuple[str, str]] = field(default_factory=dict)  # line -> where, and by whom
    extra_of: dict[str, tuple[str, str]] = field(default_factory=dict)  # line -> tray and station it may be of
    extra_put: dict[str, tuple[str, str]] = field(default_factory=dict)  # line -> where it went, who said so
    mixed: tuple[Mixed, ...] = ()
    earlier: dict[str, str] = field(default_factory=dict)  # discarded piece -> when its line was last answered YES
    asked_about: frozenset[str] = frozenset()  # what another record of this tray has and was asked again here
    reopened: tuple[str, ...] = ()  # package numbers that are void because the package was opened again
    # trays
    unit_asked: bool = False  # the weight reads over the limit, and the unit is asked once more
    over_lb: str = ""  # the limit that the weight is over, although the tray goes on
    parts: int = 0  # split in so many packages
    split_by: str = ""
    part_weights: tuple[tuple[str, str], ...] = ()  # value and unit of each part weighed so far
    packages: tuple[str, ...] = ()  # numbers of a split set's packages
    counted_by: str = ""
    implants: dict[str, tuple[int, int]] = field(default_factory=dict)  # line -> used in surgery, refilled
    second_counts: dict[str, int] = field(default_factory=dict)
    second_done: bool = False
    second_counted_by: str = ""
    ifu_filed: bool = False
    left_ms: int | None = None  # a loaner that went home
    handed_to: str = ""
    more_loads: tuple[str, ...] = ()  # further loads that brought pieces of this tray
    # looking
    second_looks: tuple[SecondLook, ...] = ()
    used: frozenset[str] = frozenset()  # marks whose use was counted on this trip
    pathogen_ms: int | None = None  # suspected special-pathogen case since
    measured: dict[str, tuple[Decimal, Decimal]] = field(default_factory=dict)  # piece.lumen -> inside, length in mm
    calls: int = 0  # names of the facility's list that nobody answered
    # kit
    lots_lost: dict[str, str] = field(default_factory=dict)  # piece with a lost swab -> the lot in use then
    # safety
    exposed: bool = False  # everything was stopped over it; a supervisor decides
    hit: bool | None = None  # after a splash: hit, or covered; None when nobody asks
    pace_asked: bool = False  # "That was 2 seconds" was said once on this trip
    # stills
    stills: tuple[StillOn, ...] = ()
    no_stills: dict[str, str] = field(default_factory=dict)  # piece.lumen -> why there is no picture
    # staff
    cosigned: tuple[str, int] = ("", 0)  # who signed beside a trainee, and how many YES stood then

    @property
    def ended(self) -> bool:
        """Packed, gone back as a whole, gone home to its vendor, or let go as the wrong tray."""
        return any(end is not None for end in (self.packed_ms, self.back_ms, self.left_ms, self.let_go_ms))

    def worked_on_by(self, pieces: Iterable[str] | None = None) -> set[str]:
        """Who opened or counted it, answered for the pieces named (or any), or found something on them."""
        names = self.pieces.keys() if pieces is None else set(pieces)
        answers = (yes.by for p in self.pieces.values() if p.name in names for given in p.yes.values() for yes in given)
        found = (finding.by for finding in self.findings if finding.piece in names)
        return {self.opened_by, self.counted_by, *answers, *found} - {""}

    def finding(self, n: int) -> FindingOn:
        """The finding number `n`: standing, or gone with a piece that came back clean since."""
        return next(f for f in (*self.findings, *self.returned) if f.n == n)


def wanted_here(trip: Trip, line: CountLine) -> int:
    """How many of a count line are to be in the tray: as listed, less what left it on this trip and has no spare."""
    mine = (p for p in trip.pieces.values() if line.item and p.plan.item == line.item and p.name not in trip.replaced)
    return line.want - sum(p.disposition is not None and not (is_missing(p) or is_foreign(trip, p)) for p in mine)


def is_foreign(trip: Trip, piece: Piece) -> bool:
    """Was it found that this is not the tray's own piece at all?"""
    return any(f.piece == piece.name and f.code in NOT_OURS and not f.put_right for f in trip.findings)


def one_more(trip: Trip, line: str) -> tuple[tuple[str, int, int], ...]:
    """The lines that differ when one more of a line is there."""
    rows = ((name, want, have + (name == line)) for name, want, have in trip.differences)
    return tuple(row for row in rows if row[1] != row[2])


def loads_of(trip: Trip) -> tuple[str, ...]:
    """The loads that a tray's pieces came from."""
    return tuple(dict.fromkeys(load for load in (trip.load, *trip.more_loads) if load))


def every_load_of(trip: Trip) -> tuple[str, ...]:
    """The loads that a tray's pieces came from, those of pieces that came back from decontam too."""
    again = (came.load for came in trip.came_back if came.pieces)
    return tuple(dict.fromkeys(load for load in (*loads_of(trip), *again) if load))


def found_on(findings: Sequence[FindingOn]) -> tuple[CardFinding, ...]:
    """On which piece, at which check, what, and where."""
    return tuple(CardFinding(piece=f.piece, key=f.key, code=f.code, place=f.place) for f in findings)
