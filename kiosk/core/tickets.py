"""What a tray waits for: a hold; a return's ticket, the return as decontam has it, and its way back."""

from dataclasses import dataclass


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
class CameBack:
    """What decontam sent back clean: on which ticket, with which washer load, what had been found, what decontam said.

    `pieces` are those of this trip that are checked again; `names` and `codes` say what was returned, for people.
    """

    ticket: str
    load: str
    pieces: tuple[str, ...]
    names: tuple[str, ...]
    codes: tuple[str, ...]
    says: str
    at_ms: int


@dataclass(frozen=True, slots=True, kw_only=True)
class Return:
    """A return as decontam's station knows it. Times are Unix ms; None: not yet.

    `known`: were its details here when it was taken in? `by`: scan, typed or touch. `says`: decontam's answer.
    """

    ticket: str
    by: str = ""
    known: bool = True
    received_ms: int | None = None
    not_here_ms: int | None = None
    says: str = ""
    said_ms: int | None = None
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
