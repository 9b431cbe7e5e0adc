"""Which shift a moment belongs to."""

from collections.abc import Mapping
from datetime import date, datetime, time, timedelta

Shifts = Mapping[str, tuple[str, str]]
"""Name -> (begins, ends), local clock times "07:00". The end belongs to the next shift."""


def shift_of(moment: datetime, shifts: Shifts) -> tuple[str, date]:
    """The shift's name and the local date on which it began. ("", date) when no shift covers the moment."""
    clock = moment.time()
    for name, (begins, ends) in shifts.items():
        start, end = time.fromisoformat(begins), time.fromisoformat(ends)
        if start < end:
            if start <= clock < end:
                return name, moment.date()
        elif clock >= start:
            return name, moment.date()
        elif clock < end:
            return name, moment.date() - timedelta(days=1)
    return "", moment.date()
