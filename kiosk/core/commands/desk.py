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


@dataclass(frozen=True, slots=True, kw_only=True)
class TakeHandover:
    """The person signed in takes the department over."""


@dataclass(frozen=True, slots=True, kw_only=True)
class SayClockRight:
    """The bench's clock, which is in doubt, was read and is right."""


@dataclass(frozen=True, slots=True, kw_only=True)
class RuleConflict:
    """Rule on two records that cannot both be: the trip that is this tray, or two_trays."""

    conflict: str
    ruling: str


@dataclass(frozen=True, slots=True, kw_only=True)
class RunLookback:
    """Look back over the logs, for a reason, and print the numbered report. Times in Unix ms, 0: no limit."""

    kind: str
    value: str
    why: str
    since_ms: int = 0
    until_ms: int = 0


@dataclass(frozen=True, slots=True, kw_only=True)
class DrawAudit:
    """Draw so many trips at random for an audit pack. `seed` 0: one is taken from the clock, and kept."""

    many: int
    seed: int = 0


@dataclass(frozen=True, slots=True, kw_only=True)
class IssueForms:
    """Print numbered spare forms: return_ticket or tray_sheet."""

    kind: str
    many: int


@dataclass(frozen=True, slots=True, kw_only=True)
class EnterForm:
    """Enter a spare form that was filled in by hand, a field after the other; `done` is the clock time on it."""

    paper: str = ""
    tray: str = ""
    done: str = ""
    said: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class FixBaseline:
    """Fix what these local days show as usual. `about`: which counting; `since`, `until`: 2031-03-04."""

    about: str
    since: str
    until: str


DeskCommand = (
    PrintReport | TryReport | TakeHandover | RuleConflict | RunLookback | DrawAudit | IssueForms | EnterForm |
    SayClockRight | FixBaseline
)  # fmt: skip
