"""Tells a scanner from a hand by pace. Pure: keys and times go in, scans and keys to pass on come out."""

from dataclasses import dataclass, field
from typing import Generic, TypeVar

Key = TypeVar("Key")

ENDS = frozenset("\r\n\t")
"""What scanners are set to send after a code."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Heard(Generic[Key]):
    """What is now known: perhaps a scan, or one that broke off, and after it keys that a hand pressed, oldest first."""

    scan: str | None = None
    broken: str | None = None
    typed: tuple[Key, ...] = ()


@dataclass(slots=True, kw_only=True)
class Pace(Generic[Key]):
    """Holds keys back until their pace shows who pressed them. Every key put in comes out typed, or is in a scan.

    A run of keys each at most `gap_ms` after the one before, `least` or more of them (a closing Enter or Tab counts),
    is a scan. The run ends with Enter or Tab, or with a longer gap: `key` then sees it, or `pause` is called. A
    closing key that comes up to `tail_ms` after a scan belongs to it.

    Once a scan was closed by Enter or Tab, a run that nothing closes broke off: the scanner was pulled out, and half a
    code may be another's whole one. The same run once more is a scan: then it was a scanner that closes none.
    """

    gap_ms: float = 35
    least: int = 4
    tail_ms: float = 150
    _held: list[Key] = field(default_factory=list)
    _text: str = ""
    _last: float = float("-inf")
    _scanned: float = float("-inf")
    _closes: bool = False
    _broken: str | None = None

    @property
    def pause_ms(self) -> float:
        """So long after the last key the run is over: where scans are closed, as long as the closing key may take."""
        return max(2 * self.gap_ms, self.tail_ms if self._closes else 0)

    @property
    def waiting(self) -> bool:
        """Is a key held back?"""
        return bool(self._held)

    def key(self, char: str, key: Key, at_ms: float) -> Heard[Key]:
        """A press that wrote `char` (one character)."""
        since = at_ms - self._last
        tail = self._closes and char in ENDS and len(self._text) >= self.least and since <= self.tail_ms
        before = self._end(self._last) if since > self.gap_ms and not tail else Heard()
        if char in ENDS:
            return self._closed(key, at_ms, before)
        self._held.append(key)
        self._text += char
        self._last = at_ms
        return before

    def other(self, key: Key) -> Heard[Key]:
        """A press that no scanner sends (an arrow, a held-down key repeating): the run is over."""
        before = self._end(self._last)
        return Heard(scan=before.scan, broken=before.broken, typed=(*before.typed, key))

    def along(self, key: Key) -> None:
        """Keep `key` (a release) in its place among the held ones; it is no character."""
        self._held.append(key)

    def pause(self) -> Heard[Key]:
        """No key came for a while: the run is over."""
        return self._end(self._last)

    def _closed(self, key: Key, at_ms: float, before: Heard[Key]) -> Heard[Key]:
        if self._text and len(self._text) + 1 >= self.least:
            self._closes, self._broken = True, None
            return Heard(scan=self._take(at_ms))
        if not self._text and not before.typed and at_ms - self._scanned <= self.tail_ms:
            return before
        return Heard(scan=before.scan, broken=before.broken, typed=(*before.typed, *self._give_up(), key))

    def _end(self, at_ms: float) -> Heard[Key]:
        if len(self._text) >= self.least:
            text = self._take(at_ms)
            if self._closes and text != self._broken:
                self._broken = text
                return Heard(broken=text)
            self._closes, self._broken = False, None
            return Heard(scan=text)
        return Heard(typed=self._give_up())

    def _take(self, at_ms: float) -> str:
        text, self._scanned = self._text, at_ms
        self._give_up()
        return text

    def _give_up(self) -> tuple[Key, ...]:
        held = tuple(self._held)
        self._held.clear()
        self._text = ""
        return held
