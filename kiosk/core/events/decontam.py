"""What decontam does with what came back, and what the clean side makes of it: taken in, answered, checked, closed."""

from dataclasses import dataclass

from kiosk.core.events.shipped import Shipped
from kiosk.core.state.tickets import CardFinding, TicketCard


@dataclass(frozen=True, slots=True, kw_only=True)
class TicketReceived:
    """Decontam has it: the return with this ticket was taken in. `by`: scan, typed or touch.

    `known` False: nothing was known here about this number; its details follow. `form`: the numbered spare form that
    was typed, where the ticket had been written by hand.
    """

    ticket: str
    by: str
    known: bool = True
    form: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class TicketTold:
    """The ticket's own data code was read: what it tells, until the bench itself is heard. `code`: its signed text.

    `vouched` False: the bench that signed it is not known here; the paper itself goes before it.
    """

    card: TicketCard
    code: str
    vouched: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class TicketNotHere:
    """Decontam looked for the return with this ticket, and it is not there."""

    ticket: str


@dataclass(frozen=True, slots=True, kw_only=True)
class TicketAbsenceSeen:
    """Somebody at the bench has read that decontam looked for this return and did not find it."""

    ticket: str


@dataclass(frozen=True, slots=True, kw_only=True)
class TicketAnswered:
    """Decontam's answer. `says`: cleaned, nothing, cannot_shift or damaged. The last one of a station stands.

    `over`: the answers of all stations that were known here.
    """

    ticket: str
    says: str
    over: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class DirtyChecked:
    """A piece was looked at on the dirty side by its IFU, and nothing was seen. `ticket` "" where it is the tray's own.

    `id` is unique among the stations.
    """

    id: str
    tray: str
    piece: str
    ticket: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class DirtyCheckFound:
    """The dirty side's record of this trip was found for this piece: the trip stands on it."""

    piece: str
    id: str


@dataclass(frozen=True, slots=True, kw_only=True)
class DirtyCheckAbsent:
    """The policy wants a dirty-side check, and none is on record for this piece on this trip."""

    piece: str


@dataclass(frozen=True, slots=True, kw_only=True)
class AnswerHeard:
    """Decontam's answer reached the trip that waits for it."""

    ticket: str
    says: str


@dataclass(frozen=True, slots=True, kw_only=True)
class ItemReturnedClean:
    """What went on this ticket came out of the washer with this load."""

    ticket: str
    load: str


@dataclass(frozen=True, slots=True, kw_only=True)
class TicketClosed:
    """Nothing is owed on this ticket any more. `why`: returned, spares, new_trip, repair or ruled.

    `load`: the washer load it came back with. `names`, `codes`: what was returned and what had been found, for the
    tray that opens anew; `found`: on which piece and where. `says`: what decontam had answered.
    """

    ticket: str
    why: str
    load: str = ""
    names: tuple[str, ...] = ()
    codes: tuple[str, ...] = ()
    says: str = ""
    found: tuple[CardFinding, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class RecheckStarted:
    """These pieces of a tray that waited are back: each is checked again from the start, then the count is repeated."""

    ticket: str
    load: str
    pieces: tuple[str, ...]
    says: str = ""


DecontamEvent = (
    TicketReceived | TicketTold | TicketNotHere | TicketAbsenceSeen | TicketAnswered | DirtyChecked | DirtyCheckFound
    | DirtyCheckAbsent | AnswerHeard | ItemReturnedClean | TicketClosed | RecheckStarted
)  # fmt: skip

SHIPPED: dict[str, Shipped] = {
    "ticket_received": Shipped(1, TicketReceived, "info"),
    "ticket_told": Shipped(1, TicketTold, "hold"),
    "ticket_not_here": Shipped(1, TicketNotHere, "hold"),
    "ticket_absence_seen": Shipped(1, TicketAbsenceSeen, "info"),
    "ticket_answered": Shipped(1, TicketAnswered, "hold"),
    "dirty_checked": Shipped(1, DirtyChecked, "clear"),
    "dirty_check_found": Shipped(1, DirtyCheckFound, "clear"),
    "dirty_check_absent": Shipped(1, DirtyCheckAbsent, "hold"),
    "answer_heard": Shipped(1, AnswerHeard, "hold"),
    "item_returned_clean": Shipped(1, ItemReturnedClean, "info"),
    "ticket_closed": Shipped(1, TicketClosed, "info"),
    "recheck_started": Shipped(1, RecheckStarted, "hold"),
}
