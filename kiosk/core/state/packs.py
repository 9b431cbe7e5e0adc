"""What a bench remembers of washer loads and of packages."""

from dataclasses import dataclass


@dataclass(frozen=True, slots=True, kw_only=True)
class LoadWord:
    """A supervisor's word about a washer load: signed for, or found bad (`why`); when (Unix ms) and by whom.

    `over`: the words about it that were known when it was said.
    """

    released: bool
    at_ms: int
    by: str
    why: str = ""
    mark: str = ""
    over: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Pack:
    """A package by its number: of which tray and trip, packed when (Unix ms), with what of which loads.

    Part `part` of `of` where the set is split.
    """

    tray: str
    name: str
    trip: str
    at_ms: int
    loads: tuple[str, ...]
    part: int = 0
    of: int = 0


@dataclass(frozen=True, slots=True, kw_only=True)
class Rush:
    """A tray is wanted by a clock time ("16:30"), as said at `at_ms`. `not_before`: what the phone may be told."""

    by: str
    at_ms: int
    not_before: str = ""
