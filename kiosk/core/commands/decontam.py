"""What is asked for on decontam's side."""

from dataclasses import dataclass


@dataclass(frozen=True, slots=True, kw_only=True)
class ReceiveTicket:
    """Decontam has it: take the return with this ticket in. `by`: scan or typed."""

    ticket: str
    by: str


DecontamCommand = ReceiveTicket
