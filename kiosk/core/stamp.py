"""What every event carries besides its body, and the event with its stamp."""

import re
from dataclasses import dataclass
from datetime import UTC, datetime, time, timedelta, timezone

from kiosk.core.events import Event


@dataclass(frozen=True, slots=True, kw_only=True)
class Stamp:
    """When, who, which trip, under which versions. The store adds bench, running number, id and hash."""

    at_ms: int  # Unix milliseconds, UTC
    offset_min: int  # local time is UTC plus this many minutes
    trusted: bool  # was the clock trusted?
    who: str | None
    trip: str | None
    policy: int
    record: int  # version of the catalogue the trip began with

    @property
    def local(self) -> datetime:
        """Local time, with its offset."""
        return local_time(self.at_ms, self.offset_min)


@dataclass(frozen=True, slots=True, kw_only=True)
class Kept:
    """An event with its stamp: what `decide` writes, the store keeps and `evolve` folds."""

    event: Event
    stamp: Stamp


def local_time(at_ms: int, offset_min: int) -> datetime:
    """Unix milliseconds as local time at the given offset (minutes east of UTC)."""
    return datetime.fromtimestamp(at_ms / 1000, UTC).astimezone(timezone(timedelta(minutes=offset_min)))


def time_of_day(figures: str) -> time | None:
    """A time of day as it is typed, "1425", "905" or "14.25"; None where it is none."""
    typed = re.fullmatch(r"([0-9]{1,2})[.:]?([0-9]{2})", figures.strip())
    if typed is None or int(typed[1]) > 23 or int(typed[2]) > 59:
        return None
    return time(int(typed[1]), int(typed[2]))
