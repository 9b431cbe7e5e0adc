"""The fold of what happens to the log itself."""

from collections.abc import Callable
from dataclasses import replace
from typing import Any

from kiosk.core import events as e
from kiosk.core.stamp import Stamp
from kiosk.core.state.bench import Bench
from kiosk.core.state.keeping import SKIPPED, Began
from kiosk.core.state.tickets import Hold
from kiosk.core.state.trip import Trip

NEWER = "newer"
"""Why a tray is held by what a newer program kept, and what it waits for."""


def _began(bench: Bench, event: e.IncarnationBegan, stamp: Stamp) -> Bench:
    """A supervisor is to know, and no number is given a second time."""
    known = bench.keeping
    began = (*known.began, Began(origin=event.origin, why=event.why, at_ms=stamp.at_ms))
    return replace(
        bench,
        keeping=replace(known, began=began, passed_over=known.passed_over + SKIPPED),
        trips_begun=bench.trips_begun + SKIPPED,
        tickets_issued=bench.tickets_issued + SKIPPED,
        tags_issued=bench.tags_issued + SKIPPED,
        holds_placed=bench.holds_placed + SKIPPED,
        packages=bench.packages + SKIPPED,
        forms_numbered=bench.forms_numbered + SKIPPED,
    )


def _seen(bench: Bench, event: e.IncarnationSeen, stamp: Stamp) -> Bench:
    left = tuple(began for began in bench.keeping.began if began.origin != event.origin)
    return replace(bench, keeping=replace(bench.keeping, began=left))


def _backed_up(bench: Bench, event: e.BackedUp, stamp: Stamp) -> Bench:
    return replace(bench, keeping=replace(bench.keeping, backed_up_ms=stamp.at_ms))


def _not_known(bench: Bench, event: e.NotKnown, stamp: Stamp) -> Bench:
    """A hold of a newer program that is of no tray here: a supervisor is to know."""
    if event.cls != "hold" or stamp.trip in bench.trips:
        return bench
    return replace(bench, keeping=replace(bench.keeping, newer=bench.keeping.newer + 1))


def _held(trip: Trip, event: e.NotKnown, stamp: Stamp) -> Trip:
    """A hold of a newer program holds the tray, and nothing that this program knows lets it go."""
    if event.cls != "hold":
        return trip
    hold = Hold(id=f"{NEWER}:{event.typ}", code=NEWER, waits_for=(f"@{NEWER}",), at_ms=stamp.at_ms)
    return replace(trip, holds=(*(one for one in trip.holds if one.id != hold.id), hold))


BENCH: dict[type, Callable[[Bench, Any, Stamp], Bench]] = {
    e.IncarnationBegan: _began,
    e.IncarnationSeen: _seen,
    e.BackedUp: _backed_up,
    e.NotKnown: _not_known,
}
TRIP: dict[type, Callable[[Trip, Any, Stamp], Trip]] = {e.NotKnown: _held}
