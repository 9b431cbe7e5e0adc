"""The clocks: the machine's own, and one moved by hand for rehearsal."""

import time
from dataclasses import dataclass, field, replace
from datetime import datetime
from typing import Protocol

from kiosk.core.desk import Now


class Clock(Protocol):
    """Wall time with its local offset, and a steady clock for touch."""

    def now(self) -> Now:
        """Wall time."""
        ...

    def steady_ms(self) -> int:
        """Milliseconds that never jump."""
        ...


class SystemClock:
    """The machine's clocks."""

    def now(self) -> Now:
        """Wall time; trusted unless it stands before the tool was written (a dead battery)."""
        local = datetime.now().astimezone()
        offset = local.utcoffset()
        minutes = int(offset.total_seconds() // 60) if offset is not None else 0
        return Now(at_ms=time.time_ns() // 1_000_000, offset_min=minutes, trusted=local.year >= WRITTEN)

    def steady_ms(self) -> int:
        """The monotonic clock."""
        return time.monotonic_ns() // 1_000_000


WRITTEN = 2026
"""A clock before this year is not trusted."""


BEHIND_MS = 5 * 60_000
AHEAD_MS = 7 * 86_400_000
"""A clock so far behind, or so far ahead of, what it should show is not trusted."""


@dataclass(slots=True)
class WatchedClock:
    """Another clock, held against the steady one and against the last time that was beyond doubt (None: there is none).

    What it reads is passed on as it is; whether it is trusted is what is found here. A machine that was off may find
    its clock ahead; where it was up all the while (`steady_ms` counts from its start), the clock may be ahead as far.
    """

    clock: Clock
    last_ms: int | None
    _steady: int = field(init=False)
    _first: bool = field(init=False, default=True)

    def __post_init__(self) -> None:
        self._steady = self.clock.steady_ms()

    def now(self) -> Now:
        """Wall time, and whether it is where the last time beyond doubt and the steady clock say."""
        now, steady = self.clock.now(), self.clock.steady_ms()
        if self.last_ms is not None:
            off = now.at_ms - self.last_ms - (steady - self._steady)
            if off < -BEHIND_MS or off > (max(AHEAD_MS, steady) if self._first else AHEAD_MS):
                return replace(now, trusted=False)
        if now.trusted:
            self.last_ms, self._steady, self._first = now.at_ms, steady, False
        return now

    def steady_ms(self) -> int:
        """The other clock's."""
        return self.clock.steady_ms()

    def believe(self) -> None:
        """Somebody read the clock and says that it is right."""
        self.last_ms, self._steady, self._first = self.clock.now().at_ms, self.clock.steady_ms(), False


@dataclass(slots=True)
class HandClock:
    """A clock that stands still until it is moved: the rehearsal's."""

    at_ms: int
    offset_min: int = 0
    steady: int = 0

    def now(self) -> Now:
        """Wall time as last set."""
        return Now(at_ms=self.at_ms, offset_min=self.offset_min)

    def steady_ms(self) -> int:
        """Moves with `advance`, never back."""
        return self.steady

    def advance(self, ms: int) -> None:
        """Let time pass."""
        self.at_ms += ms
        self.steady += ms

    def set_to(self, at_ms: int) -> None:
        """Let time pass until then; a moment already past changes nothing."""
        self.advance(max(0, at_ms - self.at_ms))
