"""The days that figures of time are taken from, and the shifts in them."""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date, datetime, time, timedelta

from kiosk.core.hours import LEAST_DAYS
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

    @property
    def between(self) -> tuple[str, str]:
        """First and last day as the tables of facts write them."""
        return self.first.isoformat(), self.last.isoformat()


def shifts_in(moments: Iterable[tuple[str, int]], shifts: Shifts) -> int:
    """How many shifts the moments lie in. A moment: its local day and the minute of that day.

    What lies in no shift of the policy counts as one more shift of its day.
    """
    return len({shift_of(_clock(day, minute), shifts) for day, minute in set(moments)})


def _clock(day: str, minute: int) -> datetime:
    return datetime.combine(date.fromisoformat(day), time()) + timedelta(minutes=minute)
