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
    """One notice of the stop list: a recall by marks, by item type or by lot.

    `since` and `gone`: when an entry (`mark CA-0007`) was last put on, and last taken off, at this station.
    `lifted_ms`: when the whole notice was taken off, 0 never. Unix ms.
    """

    notice: str
    marks: tuple[str, ...] = ()
    types: tuple[str, ...] = ()
    lots: tuple[str, ...] = ()
    lifted_ms: int = 0
    since: dict[str, int] = field(default_factory=dict)
    gone: dict[str, int] = field(default_factory=dict)

    def entries(self) -> tuple[tuple[str, str], ...]:
        """Every entry: (mark, type or lot; which)."""
        kinds = (("mark", self.marks), ("type", self.types), ("lot", self.lots))
        return tuple((kind, value) for kind, values in kinds for value in values)


@dataclass(frozen=True, slots=True, kw_only=True)
class SecondLook:
    """What the second person said of finding `n`, kept beside the first person's word. `says`: see SAYS of looking."""

    n: int
    says: str
    by: str
    at_ms: int
