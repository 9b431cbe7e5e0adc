"""What a tray waits for: a hold; a return's ticket, the return as decontam has it, and its way back."""

from dataclasses import dataclass

from kiosk.core.place import Place


@dataclass(frozen=True, slots=True, kw_only=True)
class Ticket:
    """A return ticket issued on this trip."""

    number: str
    whole_tray: bool
    pieces: tuple[str, ...]
    findings: tuple[int, ...]
    why: str
    at_ms: int


@dataclass(frozen=True, slots=True, kw_only=True)
class CardFinding:
    """One finding: on which piece, at which check, what, and where."""

    piece: str
    key: str
    code: str
    place: Place


@dataclass(frozen=True, slots=True, kw_only=True)
class CameBack:
    """What decontam sent back clean: on which ticket, with which washer load, what had been found, what decontam said.

    `pieces` are those of this trip that are checked again; `names` and `codes` say what was returned, for people.
    `found`: on which piece and where.
    """

    ticket: str
    load: str
    pieces: tuple[str, ...]
    names: tuple[str, ...]
    codes: tuple[str, ...]
    says: str
    at_ms: int
    found: tuple[CardFinding, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class TicketCard:
    """A return as its ticket tells it. `more`: findings that the code has no room for. Times are Unix ms."""

    number: str
    trip: str
    tray: str
    whole_tray: bool
    pieces: tuple[str, ...]
    findings: tuple[CardFinding, ...]
    why: str
    load: str
    at_ms: int
    more: int = 0
    marks: tuple[str, ...] = ()  # own marks of the pieces, in their order, "" where one has none


@dataclass(frozen=True, slots=True, kw_only=True)
class Return:
    """A return as decontam's station knows it. Times are Unix ms; None: not yet.

    `known`: were its details here when it was taken in? `by`: scan, typed or touch. `says`: decontam's answer.
    `card`: what the ticket's own code told; `vouched`: by a bench that is known here.
    """

    ticket: str
    by: str = ""
    known: bool = True
    received_ms: int | None = None
    not_here_ms: int | None = None
    says: str = ""
    said_ms: int | None = None
    card: TicketCard | None = None
    vouched: bool = True
    mark: str = ""  # of the answer
    over: tuple[str, ...] = ()  # the answers that were known when it was given


@dataclass(frozen=True, slots=True, kw_only=True)
class DirtyCheck:
    """A piece was looked at on the dirty side, and nothing was seen: of which tray, or for which ticket, and when."""

    id: str
    tray: str
    piece: str
    ticket: str
    at_ms: int


@dataclass(frozen=True, slots=True, kw_only=True)
class Hold:
    """An open hold: why, which pieces the tray waits for, since when."""

    id: str
    code: str
    waits_for: tuple[str, ...]
    at_ms: int
