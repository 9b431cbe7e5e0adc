"""What is asked for at the supervisor's desk."""

from dataclasses import dataclass


@dataclass(frozen=True, slots=True, kw_only=True)
class PrintReport:
    """Print a paper of the desk: which, and what it is about (a shift, a load).

    `number`: that of a paper printed before, for a further one marked COPY n; "" gives the next number of its kind.
    """

    doc: str
    about: str = ""
    number: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class TryReport:
    """Ask the printer once more for a paper of the desk that it did not take."""

    doc: str
    number: str


DeskCommand = PrintReport | TryReport
