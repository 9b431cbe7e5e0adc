"""What the bench remembers of looking again: second words, visits of a marked piece, the stop list."""

from dataclasses import dataclass, field


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
    """One notice of the stop list as it is in force: a recall by marks, by item type or by lot."""

    notice: str
    marks: tuple[str, ...] = ()
    types: tuple[str, ...] = ()
    lots: tuple[str, ...] = ()

    def entries(self) -> tuple[tuple[str, str], ...]:
        """Every entry: (mark, type or lot; which)."""
        kinds = (("mark", self.marks), ("type", self.types), ("lot", self.lots))
        return tuple((kind, value) for kind, values in kinds for value in values)


@dataclass(frozen=True, slots=True, kw_only=True)
class Listed:
    """What one station said of a notice.

    `on`: its entries (`mark CA-0007`; "" the notice itself), each by the mark of the word that put it on last. `off`:
    what was taken off here, whoever had put it on: a word's mark (all that it put on) or a mark with one entry, by whom
    and when. What was put on by a word that nobody who took off had seen stays on. `words`: how many were said here.
    Source: observed-remove sets, Shapiro et al. 2011.
    """

    on: dict[str, str] = field(default_factory=dict)
    off: dict[str, tuple[str, int]] = field(default_factory=dict)
    words: int = 0


@dataclass(frozen=True, slots=True, kw_only=True)
class SecondLook:
    """What the second person said of finding `n`, kept beside the first person's word. `says`: see SAYS of looking."""

    n: int
    says: str
    by: str
    at_ms: int
