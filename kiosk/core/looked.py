"""What the bench remembers of looking again: second words, visits of a marked piece, the stop list."""

from dataclasses import dataclass


@dataclass(frozen=True, slots=True, kw_only=True)
class Turnout:
    """How one visit of a marked piece (or of a line of a tray) turned out: a failed check, or everything passed."""

    at_ms: int
    failed: bool
    code: str = ""
    paper: str = ""  # the ticket's or tag's number


@dataclass(frozen=True, slots=True, kw_only=True)
class Stopped:
    """A piece that a notice of the stop list was found on: its mark, or where it lay."""

    notice: str
    what: str
    tray: str
    at_ms: int


@dataclass(frozen=True, slots=True, kw_only=True)
class Stop:
    """One notice of the stop list: a recall by marks or by item type. `lifted`: no more in force."""

    notice: str
    marks: tuple[str, ...] = ()
    types: tuple[str, ...] = ()
    lifted: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class SecondLook:
    """What the second person said of finding `n`, kept beside the first person's word. `says`: see SAYS of looking."""

    n: int
    says: str
    by: str
    at_ms: int


@dataclass(frozen=True, slots=True, kw_only=True)
class ScopeState:
    """What is known of a scope: was it used since its last confirmed cleaning, and on what; is it out of use?"""

    used_on: tuple[str, str] | None = None  # trip, piece
    out_of_use: str = ""
    sent_ms: int = 0  # when it went to decontam with its ticket
