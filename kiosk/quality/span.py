"""The days that figures of time are taken from, and the shifts in them."""

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from datetime import date, datetime, time, timedelta
from itertools import pairwise

from kiosk.core.past.hours import LEAST_DAYS
from kiosk.core.shift import Shifts, shift_of


class SpanFault(ValueError):
    """Days that no figure of time may be taken from; the message is one sentence."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Span:
    """Local days, both counted. Raises SpanFault for fewer than a week."""

    first: date
    last: date

    def __post_init__(self) -> None:
        if self.last < self.first:
            raise SpanFault(f"{self.last} is before {self.first}")
        if self.days < LEAST_DAYS:
            raise SpanFault(
                f"{self.first} to {self.last} is under {LEAST_DAYS} days: that would be the work of one or two people"
            )

    @property
    def days(self) -> int:
        """How many days."""
        return (self.last - self.first).days + 1

    def __iter__(self) -> Iterator[date]:
        """The days in order."""
        return (self.first + timedelta(days=n) for n in range(self.days))

    @property
    def between(self) -> tuple[str, str]:
        """First and last day as the tables of facts write them."""
        return self.first.isoformat(), self.last.isoformat()


def parts_of_day(shifts: Shifts) -> list[tuple[int, int]]:
    """The day cut wherever a shift begins or ends: minutes [from, to). All of a part lies in one shift, or in none."""
    cuts = {0, 24 * 60}
    for clock in (time.fromisoformat(text) for both in shifts.values() for text in both):
        cuts.add(clock.hour * 60 + clock.minute + (clock.second > 0))
    return list(pairwise(sorted(cuts)))


def parts_of_shifts(first: date, last: date, shifts: Shifts) -> list[tuple[str, int, int, str]]:
    """The parts of days that make up the shifts which began from `first` to `last`: day, minutes [from, to), label.

    The label is "2031-03-04 night": the day on which the shift began, and its name. What lies in no shift is left out.
    """
    parts = []
    for nth in range((last - first).days + 2):  # a night that began on the last day ends on the next
        day = (first + timedelta(days=nth)).isoformat()
        for begin, end in parts_of_day(shifts):
            name, began = shift_of(_clock(day, begin), shifts)
            if name and first <= began <= last:
                parts.append((day, begin, end, f"{began} {name}"))
    return parts


def shifts_in(moments: Iterable[tuple[str, int]], shifts: Shifts) -> int:
    """How many shifts the moments lie in. A moment: its local day and the minute of that day.

    What lies in no shift of the policy counts as one more shift of its day.
    """
    return len({shift_of(_clock(day, minute), shifts) for day, minute in set(moments)})


def _clock(day: str, minute: int) -> datetime:
    return datetime.combine(date.fromisoformat(day), time()) + timedelta(minutes=minute)
