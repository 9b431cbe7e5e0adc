"""The fold of a whole tray besides its count."""

from collections.abc import Callable
from typing import Any

from kiosk.core import events as e
from kiosk.core.bench import Bench, Trip
from kiosk.core.folds import weight
from kiosk.core.stamp import Stamp


def _split(trip: Trip, event: e.TraySplit, stamp: Stamp) -> Trip:
    return weight.split(trip, event, stamp.who or "")


BENCH: dict[type, Callable[[Bench, Any, Stamp], Bench]] = {}
TRIP: dict[type, Callable[[Trip, Any, Stamp], Trip]] = {e.TraySplit: _split}
