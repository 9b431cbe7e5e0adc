"""What was said having seen what: of several words about one thing, those that no other word had seen.

Clocks do not decide. A word names the marks of the words that were known where it was said; whatever nobody names
stands. A word of an older program names nothing, not even `LOADED`: it is taken to have seen what was said before it.
"""

from collections.abc import Iterable
from dataclasses import dataclass
from hashlib import sha256
from typing import Protocol, TypeVar

LOADED = "loaded"
"""The mark of what was there before anybody said anything: every word of this program names at least this one."""


class Word(Protocol):
    """Something said once, by its mark; `over` holds the marks it was said after."""

    @property
    def mark(self) -> str: ...
    @property
    def over(self) -> tuple[str, ...]: ...
    @property
    def at_ms(self) -> int: ...


@dataclass(frozen=True, slots=True, kw_only=True)
class Said:
    """A word, where it was said, and what it says."""

    mark: str
    over: tuple[str, ...]
    at_ms: int
    station: str = ""
    says: str = ""


W = TypeVar("W", bound=Word)


def mark_of(*parts: object) -> str:
    """The short name of a word: the same at every station that hears it."""
    return sha256("\0".join(str(part) for part in parts).encode()).hexdigest()[:12]


def saw(later: Word, earlier: Word) -> bool:
    """Was the one said knowing the other?"""
    if later.mark == earlier.mark:
        return False
    return earlier.mark in later.over if later.over else later.at_ms > earlier.at_ms


def standing(words: Iterable[W]) -> list[W]:
    """The words that no other one had seen, each once, the oldest first."""
    every = list({word.mark: word for word in words}.values())
    left = [word for word in every if not any(saw(other, word) for other in every)]
    return sorted(left, key=_age)


def known(words: Iterable[Word]) -> tuple[str, ...]:
    """What a word that is said now names: everything known here, and what that had seen."""
    every = tuple(words)
    marks = {LOADED, *(word.mark for word in every), *(mark for word in every for mark in word.over)}
    return tuple(sorted(marks))


def after(over: tuple[str, ...], before: Word | None) -> tuple[str, ...]:
    """What a word had seen, with what the same station had said before it."""
    if before is None or not over:
        return over
    return tuple(sorted({*over, before.mark, *before.over}))


def _age(word: Word) -> tuple[int, str]:
    return word.at_ms, word.mark
