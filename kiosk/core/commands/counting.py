"""What is asked for when the count or the tray is not as listed."""

from dataclasses import dataclass


@dataclass(frozen=True, slots=True, kw_only=True)
class Search:
    """All the places searched so far for a line that is short. `over`: go on, it was not there."""

    line: str
    places: tuple[str, ...]
    over: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class FoundIt:
    """One of a line that was short was found there, by this person."""

    line: str
    where: str
    by: str


@dataclass(frozen=True, slots=True, kw_only=True)
class ExtraIs:
    """Whose the extra piece of a line may be: a tray at a station ("" own), or nobody's that is known."""

    line: str
    tray: str = ""
    station: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class RuleExtra:
    """The supervisor's ruling: the extra piece of a line goes there (spares, decontam)."""

    by: str
    line: str
    where: str


@dataclass(frozen=True, slots=True, kw_only=True)
class RuleMixed:
    """The supervisor's ruling: that trip's tray was opened, and holds what is short and lacks what is over here."""

    by: str
    station: str
    trip: str


@dataclass(frozen=True, slots=True, kw_only=True)
class RuleExchanged:
    """The supervisor saw the mixed pieces exchanged."""

    by: str


@dataclass(frozen=True, slots=True, kw_only=True)
class RuleDiscard:
    """The supervisor's ruling: the single-use item is thrown away."""

    by: str
    piece: str
    note: str


@dataclass(frozen=True, slots=True, kw_only=True)
class RuleOthers:
    """The supervisor's ruling on a finding of the tray's own looks. `taken_out`: the piece left the tray."""

    by: str
    n: int
    taken_out: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class OpenMixed:
    """A tray of this bench that another station found mixed is here: open it again."""

    trip: str


@dataclass(frozen=True, slots=True, kw_only=True)
class WantMark:
    """Put a piece without a mark of its own on the list of pieces to be marked."""

    piece: str


CountingCommand = (
    Search | FoundIt | ExtraIs | RuleExtra | RuleMixed | RuleExchanged | RuleDiscard | RuleOthers | OpenMixed | WantMark
)  # fmt: skip
