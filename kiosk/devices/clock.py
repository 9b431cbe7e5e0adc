"""The clocks: the machine's own, and one moved by hand for rehearsal."""

import time
from dataclasses import dataclass
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
