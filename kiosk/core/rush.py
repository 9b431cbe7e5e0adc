"""Which trays are wanted by when, and in which order they wait. It changes the order and nothing else."""

from kiosk.core.bench import Bench, Trip
from kiosk.core.desk import Desk
from kiosk.core.loads import stations
from kiosk.core.packs import Rush


def rush_of(bench: Bench, desk: Desk, tray: str, but: str = "") -> Rush | None:
    """The newest mark on a tray, at whichever station; None when it was packed since, or nobody marked it.

    `but`: the trip whose own package does not count: its label is about to say it.
    """
    marks = [one.rush[tray] for one in stations(bench, desk) if tray in one.rush]
    mark = max(marks, key=_when, default=None)
    packed = [p.at_ms for one in stations(bench, desk) for p in one.packs.values() if p.tray == tray and p.trip != but]
    return mark if mark is not None and mark.at_ms > max(packed, default=0) else None


def _when(mark: Rush) -> int:
    return mark.at_ms


def in_order(bench: Bench, desk: Desk, trips: list[Trip]) -> list[Trip]:
    """Open trips: the ones wanted by a time first, the earliest of them first; the others as they were."""
    marked = {trip.id: mark.by for trip in trips if (mark := rush_of(bench, desk, trip.tray.code)) is not None}
    first = sorted((by, n) for n, trip in enumerate(trips) if (by := marked.get(trip.id)) is not None)
    return [*(trips[n] for _, n in first), *(trip for trip in trips if trip.id not in marked)]
