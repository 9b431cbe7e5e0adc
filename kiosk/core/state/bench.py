"""The bench's state: what the fold of its log says. Frozen; `kiosk.core.evolve` makes each from the one before."""

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, field
from decimal import Decimal

from kiosk.core.catalogue import CountLine, Item, Tray
from kiosk.core.cleaning_tests import Tests
from kiosk.core.exposure import Exposure
from kiosk.core.place import Place
from kiosk.core.plan import LumenPlan, PiecePlan, PlannedCheck, ends_of
from kiosk.core.readings import Readings
from kiosk.core.references import References
from kiosk.core.scope_target import TargetKept
from kiosk.core.state.amendments import Amendments, Chosen
from kiosk.core.state.asked import Asking, Pause, Task
from kiosk.core.state.jobs import Job
from kiosk.core.state.keeping import Keeping
from kiosk.core.state.looked import Listed, SecondLook, Stopped, Turnout
from kiosk.core.state.packs import LoadWord, Pack, Rush
from kiosk.core.state.ruled import Mixed, Noted, Override, Ruling, Seen
from kiosk.core.state.scopes import ScopeState
from kiosk.core.state.tickets import CameBack, CardFinding, DirtyCheck, Hold, Return, Ticket
from kiosk.core.still import KnownLook, StillOn
from kiosk.core.together.seen import Said
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


def wanted_here(trip: "Trip", line: CountLine) -> int:
    """How many of a count line are to be in the tray: as listed, less what left it on this trip and has no spare."""
    mine = (p for p in trip.pieces.values() if line.item and p.plan.item == line.item and p.name not in trip.replaced)
    return line.want - sum(p.disposition is not None and not (is_missing(p) or is_foreign(trip, p)) for p in mine)


def is_foreign(trip: "Trip", piece: Piece) -> bool:
    """Was it found that this is not the tray's own piece at all?"""
    return any(f.piece == piece.name and f.code in NOT_OURS and not f.put_right for f in trip.findings)


def one_more(trip: "Trip", line: str) -> tuple[tuple[str, int, int], ...]:
    """The lines that differ when one more of a line is there."""
    rows = ((name, want, have + (name == line)) for name, want, have in trip.differences)
    return tuple(row for row in rows if row[1] != row[2])


def loads_of(trip: "Trip") -> tuple[str, ...]:
    """The loads that a tray's pieces came from."""
    return tuple(dict.fromkeys(load for load in (trip.load, *trip.more_loads) if load))


def every_load_of(trip: "Trip") -> tuple[str, ...]:
    """The loads that a tray's pieces came from, those of pieces that came back from decontam too."""
    again = (came.load for came in trip.came_back if came.pieces)
    return tuple(dict.fromkeys(load for load in (*loads_of(trip), *again) if load))


def found_on(findings: Sequence[FindingOn]) -> tuple[CardFinding, ...]:
    """On which piece, at which check, what, and where."""
    return tuple(CardFinding(piece=f.piece, key=f.key, code=f.code, place=f.place) for f in findings)


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


@dataclass(frozen=True, slots=True, kw_only=True)
class Sent:
    """A return that is not closed yet: its ticket, and of the trip as it was then what the ticket tells.

    `spare`: the spare that took the piece's place after the ticket had gone; the piece then goes to the spares.
    `form`: the numbered spare form it was written on by hand.
    """

    ticket: Ticket
    trip: Trip
    spare: str = ""
    form: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Bench:
    """Everything this bench knows from its log."""

    who: str | None = None
    refused: dict[str, int] = field(default_factory=dict)  # person -> PIN refusals in a row
    refused_ms: dict[str, int] = field(default_factory=dict)  # person -> when the last one was
    forgiven_ms: dict[str, int] = field(default_factory=dict)  # person -> when a row of them ended: a right PIN, a word
    signed_in: tuple[int, int] = (0, 0)  # when: Unix ms, offset in minutes
    startup: dict[str, tuple[bool, int, int]] = field(default_factory=dict)  # question -> answer, Unix ms, offset
    trips: dict[str, Trip] = field(default_factory=dict)  # open trips, and the last ended one
    current: str | None = None
    trips_begun: int = 0
    tickets_issued: int = 0
    tags_issued: int = 0
    holds_placed: int = 0
    packages: int = 0
    scopes: dict[str, ScopeState] = field(default_factory=dict)
    label_minutes: int | None = None
    wet_since_ms: int | None = None  # the bench is being kept wet since
    printer_down: str = ""
    first_aid_ms: int | None = None
    left: tuple[str, int] = ("", 0)  # who signed out last, and when: Unix ms
    jobs: tuple[Job, ...] = ()  # papers of the desk, which belong to no trip
    # decontam
    sent: dict[str, Sent] = field(default_factory=dict)  # tickets of this bench that are not closed yet
    returns: dict[str, Return] = field(default_factory=dict)  # at decontam's station: what was taken in, newest last
    closed: dict[str, str] = field(default_factory=dict)  # tickets closed at this station -> load, newest last
    dirty_checks: tuple[DirtyCheck, ...] = ()  # at decontam's station, newest last
    dirty_checks_made: int = 0
    dirty_used: tuple[str, ...] = ()  # records of the dirty side that a trip of this bench stands on, newest last
    absent_seen: dict[str, int] = field(default_factory=dict)  # tickets read here to be absent -> when
    # counting
    seen: dict[str, Seen] = field(default_factory=dict)  # tray code -> when it was last packed here, and with what
    to_mark: dict[str, str] = field(default_factory=dict)  # "tray code/item" -> name: pieces to be marked
    packed: dict[str, Trip] = field(default_factory=dict)  # packed not long ago: may be opened again
    overrides: int = 0  # done so far: the number of the last one
    overrides_given: dict[str, Override] = field(default_factory=dict)  # trip (or "") -> waits for a second person
    unsigned: tuple[Override, ...] = ()  # done on the phone or alone, and not signed for yet
    # trays
    loaners: frozenset[str] = frozenset()  # vendors' sets packed here since they came
    load_words: dict[str, tuple[LoadWord, ...]] = field(default_factory=dict)  # the last few, newest last
    rack: str = ""  # the load that was scanned for the trays that follow
    packs: dict[str, Pack] = field(default_factory=dict)  # by package number, newest last
    void: dict[str, str] = field(default_factory=dict)  # package numbers that are void -> why
    soiled: dict[str, tuple[tuple[str, str, int], ...]] = field(default_factory=dict)  # trip -> load, piece, Unix ms
    alerts: dict[str, int] = field(default_factory=dict)  # load -> when its alert was given here
    fetched: frozenset[str] = frozenset()  # packages of a load found bad that are back
    taken: frozenset[str] = frozenset()  # trips of other stations that go on here
    same_label: dict[str, tuple[Said, ...]] = field(default_factory=dict)  # tray -> the last few, "twice" or "retagged"
    retagged: frozenset[str] = frozenset()  # trips of trays that have a tag of their own since
    rush: dict[str, Rush] = field(default_factory=dict)  # tray code -> wanted by when
    alerts_told: frozenset[str] = frozenset()
    targets: dict[str, TargetKept] = field(default_factory=dict)  # scope -> its first and last reading of the target
    looks: dict[str, KnownLook] = field(default_factory=dict)  # whose (`kiosk.core.stills.look_key`) -> the last one
    # looking
    turnouts: dict[str, tuple[Turnout, ...]] = field(default_factory=dict)  # mark, or line of tray -> its visits
    uses: dict[str, int] = field(default_factory=dict)  # mark -> uses counted here
    notices: dict[str, Listed] = field(default_factory=dict)  # the supervisor's stop list, as said here
    stopped: tuple[Stopped, ...] = ()  # what was found by it here
    # kit
    swab_lot: str = ""  # of the box in use
    lots_aside: tuple[str, ...] = ()
    air_kpa: str = ""  # the gauge as it was last read
    # safety
    aid: Exposure | None = None  # the first aid going on
    exposures: tuple[Exposure, ...] = ()  # every first aid that was no slip of a finger, in order
    stopped_ms: int = 0  # when everything was last stopped, here or at another bench
    left_quiet: bool = False  # the last one was signed out by quiet
    minding: str = ""  # whose half-done tray stays on the bench while they are being helped
    # desk
    papers_numbered: dict[str, int] = field(default_factory=dict)  # kind of paper -> how many numbers are given
    forms_numbered: int = 0  # spare forms: the last number given
    conflicts: dict[str, Noted] = field(default_factory=dict)  # noted here, newest last
    rulings: dict[str, Ruling] = field(default_factory=dict)  # conflict -> the last word on it here, newest last
    # cleaning tests
    tests: Tests = field(default_factory=Tests)
    # readings
    readings: Readings = field(default_factory=Readings)
    references: References = field(default_factory=References)
    # keeping
    keeping: Keeping = field(default_factory=Keeping)
    # staff
    chosen: dict[str, tuple[Chosen, ...]] = field(default_factory=dict)  # person -> settings, the newest last
    staff: Amendments = field(default_factory=Amendments)

    @property
    def trip(self) -> Trip | None:
        """The trip on the bench now."""
        return self.trips.get(self.current) if self.current else None
