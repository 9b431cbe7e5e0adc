"""The fold of the count and the tray itself."""

from collections.abc import Callable
from dataclasses import replace
from typing import Any

from kiosk.core import events as e
from kiosk.core.bench import Bench, Pause, Trip
from kiosk.core.folds.weight import unweighed
from kiosk.core.stamp import Stamp


def _reopened(trip: Trip, event: e.TrayReopened, stamp: Stamp) -> Trip:
    """Open again: count, weight, indicators and packaging are asked again. What was looked at stands until said."""
    return replace(
        unweighed(trip),
        packed_ms=None,
        packed_by="",
        packed_short=0,
        package="",
        packages=(),
        reopened=(*trip.reopened, event.package),
        counts={},
        counted=False,
        count_again=True,
        differences=(),
        indicators=None,
        packaging="",
        pause=Pause(reason="reopened", at_ms=stamp.at_ms, by=stamp.who or ""),
        last=None,
    )


def _at_hand(bench: Bench, event: e.TrayReopened, stamp: Stamp) -> Bench:
    """It is packed no more."""
    packed = {key: trip for key, trip in bench.packed.items() if key != stamp.trip}
    return replace(bench, packed=packed, current=None if bench.current == stamp.trip else bench.current)


BENCH: dict[type, Callable[[Bench, Any, Stamp], Bench]] = {e.TrayReopened: _at_hand}
TRIP: dict[type, Callable[[Trip, Any, Stamp], Trip]] = {e.TrayReopened: _reopened}
