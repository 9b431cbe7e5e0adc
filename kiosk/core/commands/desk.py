"""What is asked for at the supervisor's desk."""

from dataclasses import dataclass


@dataclass(frozen=True, slots=True, kw_only=True)
class PrintReport:
    """Print a paper of the desk: which, and what it is about."""

    doc: str
    about: str = ""


DeskCommand = PrintReport
