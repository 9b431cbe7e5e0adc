"""The fold of a whole tray besides its count."""

from collections.abc import Callable
from typing import Any

from kiosk.core import events as e
from kiosk.core.bench import Bench, Trip
from kiosk.core.folds import loaner, weight
from kiosk.core.stamp import Stamp


def _split(trip: Trip, event: e.TraySplit, stamp: Stamp) -> Trip:
    return weight.split(trip, event, stamp.who or "")


BENCH: dict[type, Callable[[Bench, Any, Stamp], Bench]] = {
    e.Packed: loaner.packed_here,
    e.LoanerReturned: loaner.forgotten,
}
TRIP: dict[type, Callable[[Trip, Any, Stamp], Trip]] = {
    e.TraySplit: _split,
    e.ImplantUsed: loaner.used,
    e.SecondLineCounted: loaner.second_line,
    e.SecondCounted: loaner.second_done,
    e.IfuFiled: loaner.filed,
    e.LoanerReturned: loaner.went_home,
}
