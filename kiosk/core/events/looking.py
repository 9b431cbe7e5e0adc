"""What looking at a piece brings besides a finding: a second person, a gauge pin, uses, a split set."""

from dataclasses import dataclass
from decimal import Decimal

from kiosk.core.catalogue import Item
from kiosk.core.events.shipped import Shipped


@dataclass(frozen=True, slots=True, kw_only=True)
class SecondLookDone:
    """The second person looked, without seeing the first answer.

    `says`: clear, color_only, scratch, soil or not_sure.
    """

    n: int
    piece: str
    says: str


@dataclass(frozen=True, slots=True, kw_only=True)
class DoubtSettled:
    """What was said of finding `n`, by two people where policy wants so. It counts as `code` of `group` from here.

    `how`: clear (nothing is there), accepted (it stands, the piece goes on), back or repair (to be decided so).
    """

    n: int
    piece: str
    how: str
    code: str
    group: str


@dataclass(frozen=True, slots=True, kw_only=True)
class MarkRead:
    """The mark on this piece was read: what is counted of it is counted on the mark from here."""

    piece: str
    mark: str


@dataclass(frozen=True, slots=True, kw_only=True)
class UseCounted:
    """A use of the piece with this mark, once a trip: number `uses` of the `limit` that its IFU allows."""

    piece: str
    mark: str
    uses: int
    limit: int


@dataclass(frozen=True, slots=True, kw_only=True)
class StopListed:
    """The supervisor put these marks, item types or lots on the stop list, under this notice; a known notice grows."""

    notice: str
    marks: tuple[str, ...] = ()
    types: tuple[str, ...] = ()
    lots: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class StopWithdrawn:
    """A wrong entry was taken off the notice. What was found under it before stays found.

    `over`: the words that had put it on, by their marks. One that was not known here leaves it on.
    """

    notice: str
    kind: str  # mark, type or lot
    value: str
    over: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class StopLifted:
    """The notice is in force no more, as far as it was known here. `over`: the words that had put it on."""

    notice: str
    over: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class RecallAbsent:
    """The piece that this notice names is not in the tray, says who looked for it. It is counted as any missing one."""

    piece: str
    mark: str
    notice: str


@dataclass(frozen=True, slots=True, kw_only=True)
class PathogenSuspected:
    """Somebody said that this tray may come from a special-pathogen case: nothing more is done with it here."""


@dataclass(frozen=True, slots=True, kw_only=True)
class PathogenRuled:
    """Infection prevention has ruled, says the supervisor: work on the tray may go on."""

    note: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Called:
    """A name of the facility's list was called about a piece broken off. `answered`: somebody did."""

    piece: str
    name: str
    answered: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class JointLooked:
    """The stiff joint was looked into before anything was put on it, and no soil was seen there."""

    n: int
    piece: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Measured:
    """A lumen was gauged here, in millimeters: the largest pin that goes is its inside, never the one that stops."""

    piece: str
    lumen: str
    goes_mm: Decimal
    stops_mm: Decimal
    length_mm: Decimal
    by: str = "gauge pin"


@dataclass(frozen=True, slots=True, kw_only=True)
class RecordUsed:
    """The supervisor's word: this piece goes by this record from here. Its plan follows; only the first looks stand."""

    piece: str
    item: Item


LookingEvent = (
    SecondLookDone | DoubtSettled | MarkRead | UseCounted | StopListed | StopWithdrawn | StopLifted | RecallAbsent
    | PathogenSuspected | PathogenRuled | Called | JointLooked | Measured | RecordUsed
)  # fmt: skip

SHIPPED: dict[str, Shipped] = {
    "mark_read": Shipped(1, MarkRead, "info"),
    "use_counted": Shipped(1, UseCounted, "info"),
    "stop_listed": Shipped(1, StopListed, "hold"),
    "stop_withdrawn": Shipped(1, StopWithdrawn, "clear"),
    "stop_lifted": Shipped(1, StopLifted, "clear"),
    "recall_absent": Shipped(1, RecallAbsent, "info"),
    "pathogen_suspected": Shipped(1, PathogenSuspected, "hold"),
    "pathogen_ruled": Shipped(1, PathogenRuled, "clear"),
    "called": Shipped(1, Called, "info"),
    "joint_looked": Shipped(1, JointLooked, "info"),
    "measured": Shipped(1, Measured, "info"),
    "record_used": Shipped(1, RecordUsed, "hold"),
    "second_look_done": Shipped(1, SecondLookDone, "info"),
    "doubt_settled": Shipped(1, DoubtSettled, "hold"),
}
