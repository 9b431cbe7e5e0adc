"""The folds of the parts of the work, by event. `kiosk.core.evolve` and `kiosk.core.evolve_trip` ask here.

A part's module holds `BENCH` (the bench before, what was kept, the bench after) and `TRIP` (the trip before, what was
kept, the trip after). An event of a trip goes through `TRIP` first and then through `BENCH`.
"""

from collections.abc import Callable
from typing import Any

from kiosk.core.bench import Bench, Trip
from kiosk.core.folds import counting, decontam, desk, kit, looking, overrides, safety, staff, trays
from kiosk.core.stamp import Stamp

_PARTS = (counting, decontam, desk, kit, looking, overrides, safety, staff, trays)

BENCH: dict[type, Callable[[Bench, Any, Stamp], Bench]] = {
    kind: fold for part in _PARTS for kind, fold in part.BENCH.items()
}
TRIP: dict[type, Callable[[Trip, Any, Stamp], Trip]] = {
    kind: fold for part in _PARTS for kind, fold in part.TRIP.items()
}
