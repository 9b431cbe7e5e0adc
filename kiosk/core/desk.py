"""What decide and view are given besides the bench: the clock's reading, the catalogue, the policy, the plan maker."""

from collections.abc import Callable, Iterable, Mapping, Set
from dataclasses import dataclass, field, replace
from decimal import Decimal
from typing import Protocol

from kiosk.core.catalogue import Catalogue, Item, Kit
from kiosk.core.exposure import FirstAidWords
from kiosk.core.findings import Findings
from kiosk.core.lessons import Lesson
from kiosk.core.past.figures import Numbers
from kiosk.core.past.hours import Hours
from kiosk.core.past.records import NOTHING, Records
from kiosk.core.pins import PinKeeper
from kiosk.core.plan import PiecePlan
from kiosk.core.policy import Policy
from kiosk.core.readings import GroupFigure, ReadingPicture
from kiosk.core.state.amendments import Amendments
from kiosk.core.state.bench import Bench
from kiosk.core.state.tickets import TicketCard
from kiosk.core.state.trip import Trip
from kiosk.core.together.authority import Unheeded
from kiosk.core.together.changed_people import Leads
from kiosk.core.unseen import Unseen

PlanMaker = Callable[[tuple[Item, ...], Policy, Kit, frozenset[str]], tuple[PiecePlan, ...]]
"""(items, policy, kit, kit out of use) -> plans, a piece each. `kiosk.lumen.planner.plan_tray` is one."""


class Shares(Protocol):
    """Shares from 0 to 1 of inner wall area seen and touched, and the lumens not counted (`kiosk.lumen.share`)."""

    @property
    def seen(self) -> Decimal | None: ...
    @property
    def touched(self) -> Decimal | None: ...
    @property
    def unknown(self) -> tuple[str, ...]: ...


ShareMaker = Callable[[Iterable[PiecePlan], Mapping[str, Set[str]]], Shares]
"""(plans, keys answered YES by piece) -> shares. `kiosk.lumen.share.tray_share` is one."""

Agreeing = Callable[[tuple[ReadingPicture, ...], tuple[tuple[str | None, ...], ...]], GroupFigure]
"""(pictures, a row of readings each) -> the group's figure. `kiosk.quality.reading_figure.figure` is one."""

CodeMaker = Callable[[str], str]
"""A number (K-10007) -> the ten characters of its symbol, or the number with its check for typing."""


@dataclass(frozen=True, slots=True, kw_only=True)
class ItemType:
    """What the trade knows of a kind of item: where to look, what to do and not, the trap, what stays together."""

    code: str
    name: str
    look: str
    do: str
    dont: str
    trap: str
    together: str = ""
    warning: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class HubState:
    """How the way to the department's hub stands: when it last answered, how many events still wait for it.

    `verdict`: why a log does not go on there, "" where it does (fork, unknown, damaged, garbled, retired, ahead).
    """

    ok_ms: int
    waiting: int
    said: str = ""
    verdict: str = ""


NEARLY = 80
"""Percent of the room for pictures from which it is said (a choice: long before it is full)."""


@dataclass(frozen=True, slots=True, kw_only=True)
class PictureRoom:
    """What pictures take at this station, and what policy gives them. Bytes."""

    used: int
    given: int

    @property
    def percent(self) -> int:
        """How much of it is taken, rounded down."""
        return 100 * self.used // self.given

    @property
    def state(self) -> str:
        """`nearly` from 80 %, `full` from 100 %, else ""."""
        return "full" if self.percent >= 100 else "nearly" if self.percent >= NEARLY else ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Desk:
    """The bench's surroundings at one moment. Nothing here changes while a command is decided."""

    bench: str  # "Bench 3"
    bench_number: int
    catalogue: Catalogue
    policy: Policy
    findings: Findings
    types: Mapping[str, ItemType]
    choices: Mapping[str, tuple[str, ...]]  # check -> finding codes of its NO screen, most likely first
    make_plan: PlanMaker
    share: ShareMaker
    encode: CodeMaker
    with_check: CodeMaker
    pins: PinKeeper
    software: str
    not_taken: str = ""  # the version that is installed where the one before is in force again; "": this one is both
    first_aid: FirstAidWords | None = None  # None: the facility has not filled in and dated its own first-aid words
    side: str = "clean"  # clean or decontam: which side of the department this station stands on
    policies: Mapping[int, Policy] = field(default_factory=dict)  # every version known here, by number
    practice: bool = False  # a store of its own, marked on every screen and paper, counted nowhere
    lessons: Mapping[str, Lesson] = field(default_factory=dict)
    loaded_ms: int = 0  # when the catalogue's files were loaded: what was changed before that stands in them
    decontam: str = "D1"  # the name of decontam's station, in whose name its answers are written down
    others: Mapping[str, Bench] = field(default_factory=dict)  # what the other stations told so far, by name: B2, D1
    seal: Callable[[TicketCard], str] | None = None  # a ticket's data code, signed by this station; None: it has no key
    backups: bool = False  # this station writes a backup a day
    leads: Leads | None = None  # who was a supervisor when; None: as loaded
    unheeded: tuple[Unheeded, ...] = ()  # what was changed under a name whose role did not allow it
    counted: Mapping[str, Amendments] = field(default_factory=dict)  # what counts of each station's changes, "" here
    hub: HubState | None = None  # None: this station has none
    pictures: PictureRoom | None = None  # None: nobody looked yet
    records: Records = NOTHING  # the past, of this station and of those it heard
    numbers: Numbers | None = None  # the same, counted; None: nobody counts here
    hours: Hours | None = None  # what it took; None: nobody counts here
    agreeing: Agreeing | None = None  # how far a group reads alike; None: nobody reckons here
    unseen: Unseen | None = None  # walls that no plan sees, and what would; None: nobody reckons here

    def policy_at(self, version: int) -> Policy:
        """The policy of that number, for a trip that began with it; the present one where it is not known here."""
        return self.policies.get(version, self.policy)

    def under(self, trip: Trip | None) -> "Desk":
        """The surroundings of the tray on the bench: as long as it is open, the policy that it began with."""
        if trip is None or trip.ended or trip.policy == self.policy.version:
            return self
        return replace(self, policy=self.policy_at(trip.policy))


@dataclass(frozen=True, slots=True, kw_only=True)
class Now:
    """The clock's reading: Unix milliseconds UTC, local offset in minutes, and whether the clock is trusted."""

    at_ms: int
    offset_min: int
    trusted: bool = True
