"""The bench's state: what the fold of its log says. Frozen; `kiosk.core.evolve` makes each from the one before."""

from dataclasses import dataclass, field

from kiosk.core.cleaning_tests import Tests
from kiosk.core.exposure import Exposure
from kiosk.core.readings import Readings
from kiosk.core.references import References
from kiosk.core.scope_target import TargetKept
from kiosk.core.state.amendments import Amendments, Chosen
from kiosk.core.state.jobs import Job
from kiosk.core.state.keeping import Keeping
from kiosk.core.state.looked import Listed, Stopped, Turnout
from kiosk.core.state.packs import LoadWord, Pack, Rush
from kiosk.core.state.ruled import Noted, Override, Ruling, Seen
from kiosk.core.state.scopes import ScopeState
from kiosk.core.state.tickets import DirtyCheck, Return, Ticket
from kiosk.core.state.trip import Trip
from kiosk.core.still import KnownLook
from kiosk.core.together.seen import Said


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
