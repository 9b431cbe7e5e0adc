"""What was said having seen what: of several words about one thing, those that no other word had seen.

Clocks do not decide. A word names the marks of the words that were known where it was said; whatever nobody names
stands. A word of an older program names nothing, not even `LOADED`: it had seen what its own station said before it,
and of the other words without names those of an earlier clock; never a word that names what it saw.
"""

from collections.abc import Iterable
from dataclasses import dataclass
from hashlib import sha256
from typing import Protocol, TypeVar

LOADED = "loaded"
"""The mark of what was there before anybody said anything: every word of this program names at least this one."""

FEW = 4
"""So many of a station's own words on one thing are known by heart, newest last (a choice); the log has all.

One that turns out not to count, since whoever said it no longer led, must not hide the one before it.
"""


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
    by: str = ""


W = TypeVar("W", bound=Word)


def mark_of(*parts: object) -> str:
    """The short name of a word: the same at every station that hears it, and of whatever program folds it.

    So the parts are plain texts and numbers, never a record, and one of them counts on: a clock may stand still.
    """
    return sha256("\0".join(str(part) for part in parts).encode()).hexdigest()[:12]


def saw(later: Word, earlier: Word) -> bool:
    """Was the one said knowing the other?"""
    if later.mark == earlier.mark:
        return False
    if later.over or earlier.over:
        return earlier.mark in later.over
    return later.at_ms > earlier.at_ms


def standing(words: Iterable[W]) -> list[W]:
    """The words that no other one had seen, each once, the oldest first; some word always stands."""
    every = {word.mark: word for word in words}
    named = {mark for word in every.values() for mark in word.over if mark != word.mark}
    without = max((word.at_ms for word in every.values() if not word.over), default=0)
    left = [word for mark, word in every.items() if mark not in named and (word.over or word.at_ms == without)]
    return sorted(left or every.values(), key=_age)


def known(words: Iterable[Word]) -> tuple[str, ...]:
    """What a word that is said now names: everything known here, and what that had seen."""
    every = tuple(words)
    marks = {LOADED, *(word.mark for word in every), *(mark for word in every for mark in word.over)}
    return tuple(sorted(marks))


def after(over: tuple[str, ...], before: Word | None) -> tuple[str, ...]:
    """What a word had seen, with what the same station had said before it."""
    return over if before is None else tuple(sorted({*over, before.mark, *before.over}))


def spoken(over: tuple[str, ...], before: Word | None, *parts: object) -> tuple[str, tuple[str, ...]]:
    """Mark and sight of a word that says `parts`, named `over`, and follows `before` at the same station."""
    sight = after(over, before)
    return mark_of(*parts, len(sight)), sight


def _age(word: Word) -> tuple[int, str]:
    return word.at_ms, word.mark
