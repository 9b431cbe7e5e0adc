"""Which trays are wanted by when, and in which order they wait. It changes the order and nothing else."""

from kiosk.core.desk import Desk
from kiosk.core.state.bench import Bench
from kiosk.core.state.packs import Rush
from kiosk.core.state.trip import Trip
from kiosk.core.together.stations import every_bench


def rush_of(bench: Bench, desk: Desk, tray: str, but: str = "") -> Rush | None:
    """The newest mark on a tray, at whichever station; None when it was packed since, or nobody marked it.

    `but`: the trip whose own package does not count: its label is about to say it.
    """
    marks = [one.rush[tray] for one in every_bench(bench, desk) if tray in one.rush]
    mark = max(marks, key=_when, default=None)
    packed = [
        p.at_ms for one in every_bench(bench, desk) for p in one.packs.values() if p.tray == tray and p.trip != but
    ]
    return mark if mark is not None and mark.at_ms > max(packed, default=0) else None


def _when(mark: Rush) -> int:
    return mark.at_ms


INTERRUPTED = frozenset({"power", "away", "other_person", "called_away", "break"})
"""Why a tray was left in the middle of its work."""


def in_order(bench: Bench, desk: Desk, trips: list[Trip]) -> list[Trip]:
    """Open trips: first the one that this person was called from, then those wanted by a time, the earliest first.

    The others stand as they were.
    """
    mine = [trip for trip in trips if (trip.pause and trip.pause.by == bench.who and trip.pause.reason in INTERRUPTED)]
    last = max(mine, key=lambda trip: trip.pause.at_ms if trip.pause else 0, default=None)
    rest = [trip for trip in trips if trip is not last]
    marked = {trip.id: mark.by for trip in rest if (mark := rush_of(bench, desk, trip.tray.code)) is not None}
    first = sorted((by, n) for n, trip in enumerate(rest) if (by := marked.get(trip.id)) is not None)
    wanted = [rest[n] for _, n in first]
    return [*((last,) if last else ()), *wanted, *(trip for trip in rest if trip.id not in marked)]
