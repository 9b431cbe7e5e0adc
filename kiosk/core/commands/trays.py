"""What is asked for about a whole tray besides its count."""

from dataclasses import dataclass


@dataclass(frozen=True, slots=True, kw_only=True)
class HandOver:
    """Hand the open tray to somebody else, as it stands."""

    to: str


@dataclass(frozen=True, slots=True, kw_only=True)
class RuleSplit:
    """The supervisor's ruling: the set that is too heavy is packed in so many parts."""

    by: str
    parts: int


@dataclass(frozen=True, slots=True, kw_only=True)
class CountImplant:
    """Of this line of implants so many were used in surgery, and so many put back in."""

    line: str
    used: int
    refilled: int


@dataclass(frozen=True, slots=True, kw_only=True)
class SecondCountDone:
    """The second person has counted every line that is asked. `by` signed in for this count."""

    by: str


@dataclass(frozen=True, slots=True, kw_only=True)
class RuleIfu:
    """The supervisor's word that the maker's instructions for this set are on file now."""

    by: str


@dataclass(frozen=True, slots=True, kw_only=True)
class ReturnLoaner:
    """The vendor's set goes home, cleaned and counted."""


@dataclass(frozen=True, slots=True, kw_only=True)
class WithdrawLoad:
    """The supervisor signed in says that this load was found bad."""

    load: str
    why: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Reopen:
    """Open this package again. `why`: forgotten, torn, taken, after or wet; `reason`: of a wet one."""

    number: str
    why: str
    reason: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class OldLabelGone:
    """The label of this void number is destroyed."""

    number: str


@dataclass(frozen=True, slots=True, kw_only=True)
class FetchedPackage:
    """The package of a load found bad is here."""

    number: str


@dataclass(frozen=True, slots=True, kw_only=True)
class TakeOver:
    """The tray that is open at another station is here: go on with it here."""

    tray: str


@dataclass(frozen=True, slots=True, kw_only=True)
class SameLabel:
    """Two trays carry this label."""

    tray: str


@dataclass(frozen=True, slots=True, kw_only=True)
class RuleRetagged:
    """The supervisor gave one of the two trays a tag of its own: the one on this bench (`here`), or the other."""

    by: str
    tray: str
    here: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class MarkRush:
    """The supervisor signed in: this tray is wanted by a clock time, in figures (1630)."""

    tray: str
    at: int


@dataclass(frozen=True, slots=True, kw_only=True)
class TellNotBefore:
    """The supervisor signed in: on the phone say "not before" this clock time, in figures (1630)."""

    tray: str
    at: int


TraysCommand = (
    TakeOver
    | SameLabel
    | RuleRetagged
    | MarkRush
    | TellNotBefore
    | (
        Reopen
        | OldLabelGone
        | FetchedPackage
        | WithdrawLoad
        | HandOver
        | RuleSplit
        | CountImplant
        | SecondCountDone
        | RuleIfu
        | ReturnLoaner
    )
)
