"""What is asked for on decontam's side, and for what comes back from it."""

from dataclasses import dataclass


@dataclass(frozen=True, slots=True, kw_only=True)
class ReceiveTicket:
    """Decontam has it: take the return with this ticket in. `by`: scan, typed or touch."""

    ticket: str
    by: str


@dataclass(frozen=True, slots=True, kw_only=True)
class NotHere:
    """The return with this ticket is not in decontam."""

    ticket: str


@dataclass(frozen=True, slots=True, kw_only=True)
class SeeAbsent:
    """Somebody at the bench has read that the return with this ticket was not found in decontam."""

    ticket: str


@dataclass(frozen=True, slots=True, kw_only=True)
class AnswerTicket:
    """Decontam's answer: cleaned, nothing, cannot_shift or damaged."""

    ticket: str
    says: str


@dataclass(frozen=True, slots=True, kw_only=True)
class CheckDirty:
    """These pieces of a tray, or of a ticket, were looked at on the dirty side; nothing was seen."""

    tray: str
    pieces: tuple[str, ...]
    ticket: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class SendBackClean:
    """What went on this ticket is back on the clean side, with this washer load."""

    ticket: str
    load: str


@dataclass(frozen=True, slots=True, kw_only=True)
class NoDirtyCheck:
    """There is no dirty-side record for this piece: it goes back to be checked there."""

    piece: str


@dataclass(frozen=True, slots=True, kw_only=True)
class PrintCopy:
    """Print a paper of a trip again, marked as a copy."""

    trip: str
    doc: str
    number: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Heard:
    """Other stations told something new: see what follows for the trays that wait."""


DecontamCommand = (
    ReceiveTicket | NotHere | SeeAbsent | AnswerTicket | CheckDirty | SendBackClean | NoDirtyCheck | PrintCopy | Heard
)
