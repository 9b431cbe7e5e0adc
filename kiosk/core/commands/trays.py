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


TraysCommand = HandOver | RuleSplit
