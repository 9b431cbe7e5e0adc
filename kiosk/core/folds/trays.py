"""The fold of a whole tray besides its count."""

from collections.abc import Callable
from typing import Any

from kiosk.core.bench import Bench, Trip
from kiosk.core.stamp import Stamp

BENCH: dict[type, Callable[[Bench, Any, Stamp], Bench]] = {}
TRIP: dict[type, Callable[[Trip, Any, Stamp], Trip]] = {}
