"""Small words for tests of the log: events with a stamp, and the file as SQLite sees it."""

from kiosk.core.events import CheckYes, Event
from kiosk.core.stamp import Kept, Stamp
from tests.store.examples import EXAMPLES

MORNING_MS = 1_764_054_000_000  # 2025-11-25 07:00 UTC


def kept(event: Event, at_ms: int = MORNING_MS, who: str | None = "P-014", trip: str | None = "T-1") -> Kept:
    """The event with a stamp of that morning."""
    stamp = Stamp(at_ms=at_ms, offset_min=-300, trusted=True, who=who, trip=trip, policy=3, record=7)
    return Kept(event=event, stamp=stamp)


def yes(n: int) -> Kept:
    """The n-th YES of the morning, a second after the one before."""
    return kept(CheckYes(piece=f"A3#{n}", key="bore.swab", took_ms=900 + n), MORNING_MS + 1000 * n)


EVERYTHING = [kept(event, MORNING_MS + 1000 * n) for n, event in enumerate(EXAMPLES)]
"""Every kind of event once."""
