"""What the kept logs can tell of the past, asked for by the desk: read only, the same answer for the same log."""

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from datetime import UTC, date, datetime, time, timedelta
from typing import Protocol

from kiosk.core import events as e
from kiosk.core.evolve import evolve
from kiosk.core.past.chains import STEPS, Chains, Start, walk
from kiosk.core.past.counters import Book, Shift, book_of
from kiosk.core.policy import Policy
from kiosk.core.shift import Shifts
from kiosk.core.stamp import Kept
from kiosk.core.state.bench import Bench
from kiosk.core.state.trip import Trip

Told = tuple[str, Kept]
"""The station that kept it, and what."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Freshness:
    """How far a station's log is known here: its last number, and when that was (Unix ms)."""

    seq: int
    at_ms: int


class Records(Protocol):
    """The logs of this station and of those it heard."""

    def book(self, shift: Shift, policy: Policy, now_ms: int) -> Book:
        """What was counted in the shift, over all stations, as known now. `now_ms`: no data are newer."""
        ...

    def kept(self, *names: str, holding: str = "", since_ms: int = 0) -> Sequence[Told]:
        """Events of these names whose body holds a text, in the order of time."""
        ...

    def of_trip(self, trip: str, *names: str) -> Sequence[Told]:
        """What was kept of a trip, in its station's order: everything, or events of these names."""
        ...

    def fresh(self) -> Mapping[str, Freshness]:
        """How far each station's log is known here, by its name."""
        ...

    def chains(self, starts: Sequence[Start], most: int = STEPS, until_ms: int = 0) -> Chains:
        """The trips that may have been touched since, within `most` steps and up to a moment (Unix ms; 0: now)."""
        ...


@dataclass(frozen=True, slots=True)
class LogRecords:
    """Records read from whole logs in memory, a station each, oldest first."""

    logs: Callable[[], Mapping[str, Sequence[Kept]]]

    def book(self, shift: Shift, policy: Policy, now_ms: int) -> Book:
        """What was counted in the shift."""
        known = self.logs()
        before = {
            name: [kept for kept in log if _before_end(kept, shift, policy.shifts)] for name, log in known.items()
        }
        offset = next((log[-1].stamp.offset_min for log in before.values() if log), 0)
        return book_of(before, shift, policy, until_ms=data_end(shift, policy.shifts, offset, now_ms))

    def kept(self, *names: str, holding: str = "", since_ms: int = 0) -> Sequence[Told]:
        """Events of these names that hold a text."""
        told = [
            (name, kept)
            for name, log in self.logs().items()
            for kept in log
            if e.NAME_OF[type(kept.event)] in names and kept.stamp.at_ms >= since_ms and holding in repr(kept.event)
        ]
        return sorted(told, key=_when)

    def of_trip(self, trip: str, *names: str) -> Sequence[Told]:
        """What was kept of a trip."""
        told = [(name, kept) for name, log in self.logs().items() for kept in log if kept.stamp.trip == trip]
        return [one for one in told if not names or e.NAME_OF[type(one[1].event)] in names]

    def fresh(self) -> Mapping[str, Freshness]:
        """How far each log goes."""
        return {name: Freshness(seq=len(log), at_ms=log[-1].stamp.at_ms) for name, log in self.logs().items() if log}

    def chains(self, starts: Sequence[Start], most: int = STEPS, until_ms: int = 0) -> Chains:
        """The trips that may have been touched since, by a walk through the whole logs."""
        return walk((kept for log in self.logs().values() for kept in log), starts, most, until_ms)


def _when(told: Told) -> int:
    return told[1].stamp.at_ms


def _before_end(kept: Kept, shift: Shift, shifts: Shifts) -> bool:
    return kept.stamp.at_ms + kept.stamp.offset_min * 60_000 < local_span(shift, shifts)[1]


def local_span(shift: Shift, shifts: Shifts) -> tuple[int, int]:
    """When the shift begins and ends: milliseconds of the local clock, counted as Unix time counts those of UTC.

    Raises KeyError for an unknown shift.
    """
    name, day = shift
    start, end = (datetime.combine(day, time.fromisoformat(text), UTC) for text in shifts[name])
    end = end if end > start else end + timedelta(days=1)
    return int(start.timestamp() * 1000), int(end.timestamp() * 1000)


def data_end(shift: Shift, shifts: Shifts, offset_min: int, now_ms: int) -> int:
    """Up to when a shift's data go: its end, or now while it runs. Unix ms."""
    return min(now_ms, local_span(shift, shifts)[1] - offset_min * 60_000)


def is_over(shift: Shift, shifts: Shifts, offset_min: int, now_ms: int) -> bool:
    """Has the shift ended?"""
    return local_span(shift, shifts)[1] - offset_min * 60_000 <= now_ms


def shift_named(text: str) -> Shift:
    """ "day/2031-03-04" as a shift. Raises ValueError."""
    name, _, day = text.partition("/")
    return name, date.fromisoformat(day)


def shift_text(shift: Shift) -> str:
    """A shift as it stands in an event: "day/2031-03-04"."""
    return f"{shift[0]}/{shift[1].isoformat()}"


def told_trip(told: Sequence[Told]) -> Trip | None:
    """A trip as it stands by its own events, whichever bench it was on."""
    bench, last = Bench(), None
    for _, kept in told:
        bench = evolve(bench, kept)
        last = bench.trips.get(kept.stamp.trip or "", last)
    return last


NOTHING = LogRecords(dict)
"""The records of a station that has kept nothing."""
