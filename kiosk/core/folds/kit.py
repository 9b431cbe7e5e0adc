"""The fold of the kit."""

from collections.abc import Callable
from dataclasses import replace
from typing import Any

from kiosk.core import events as e
from kiosk.core.stamp import Stamp
from kiosk.core.state.bench import Bench
from kiosk.core.state.scopes import SCOPE_TICKET, ScopeState
from kiosk.core.state.trip import Trip


def _lot(bench: Bench, event: e.SwabLotOpened, stamp: Stamp) -> Bench:
    return replace(bench, swab_lot=event.lot)


def _aside(bench: Bench, event: e.SwabLotSetAside, stamp: Stamp) -> Bench:
    return replace(bench, lots_aside=(*bench.lots_aside, event.lot))


def _scope(bench: Bench, scope: str, **changes: Any) -> Bench:
    state = replace(bench.scopes.get(scope, ScopeState()), **changes)
    return replace(bench, scopes={**bench.scopes, scope: state})


def _gap(bench: Bench, event: e.ScopeNotCleaned, stamp: Stamp) -> Bench:
    return _scope(bench, event.scope, used_on=None)


def _sent(bench: Bench, event: e.ScopeSent, stamp: Stamp) -> Bench:
    """It goes to decontam: the tickets it went with before are no first prints of this one."""
    jobs = tuple(job for job in bench.jobs if (job.doc, job.number) != (SCOPE_TICKET, event.scope))
    return replace(_scope(bench, event.scope, sent_ms=stamp.at_ms), jobs=jobs)


def _gauge(bench: Bench, event: e.AirGaugeRead, stamp: Stamp) -> Bench:
    return replace(bench, air_kpa=event.kpa)


def _lost(bench: Bench, event: e.Found, stamp: Stamp) -> Bench:
    """A swab's tip was lost: the lot in use then is part of what is known."""
    trip = bench.trips.get(stamp.trip or "")
    if event.code != "swab_left" or trip is None:
        return bench
    lots = {**trip.lots_lost, event.piece: bench.swab_lot}
    return replace(bench, trips={**bench.trips, trip.id: replace(trip, lots_lost=lots)})


BENCH: dict[type, Callable[[Bench, Any, Stamp], Bench]] = {
    e.SwabLotOpened: _lot,
    e.SwabLotSetAside: _aside,
    e.ScopeNotCleaned: _gap,
    e.ScopeSent: _sent,
    e.AirGaugeRead: _gauge,
    e.Found: _lost,
}
TRIP: dict[type, Callable[[Trip, Any, Stamp], Trip]] = {}
