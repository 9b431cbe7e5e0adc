"""The fold of people hurt, and of everything stopped."""

from collections.abc import Callable
from dataclasses import replace
from typing import Any

from kiosk.core import events as e
from kiosk.core.exposure import Exposure
from kiosk.core.stamp import Stamp
from kiosk.core.state.asked import Task
from kiosk.core.state.bench import Bench
from kiosk.core.state.trip import Trip


def open_trips(bench: Bench, *, before_ms: int | None = None) -> tuple[Trip, ...]:
    """The trays that are open at this bench, the one on it first; with `before_ms` those opened by then (Unix ms)."""
    going = [trip for trip in bench.trips.values() if not trip.ended]
    if before_ms is not None:
        going = [trip for trip in going if trip.opened_ms <= before_ms]
    return tuple(sorted(going, key=lambda trip: trip.id != bench.current))


def _begun(bench: Bench, event: e.FirstAidBegun, stamp: Stamp) -> Bench:
    trip = bench.trip
    doing = Exposure(n=len(bench.exposures) + 1, at_ms=stamp.at_ms, offset_min=stamp.offset_min)
    if trip is not None and not trip.ended:
        piece, key, seen = _doing(trip)
        item = trip.pieces[piece].plan.name if piece in trip.pieces else ""
        doing = replace(doing, trip=trip.id, tray=_named(trip), piece=piece, item=item, key=key, seen=seen)
    return replace(bench, first_aid_ms=stamp.at_ms, aid=doing)


def _named(trip: Trip) -> str:
    return f"{trip.tray.name} {trip.tray.code}"


def _doing(trip: Trip) -> tuple[str, str, str]:
    """Piece, check and finding that were at hand: the NO just given, else what the chosen piece is asked next."""
    if trip.asking:
        return trip.asking.piece, trip.asking.key, ""
    deciding = next((task for task in trip.tasks if task.kind == "decide"), None)
    if deciding:
        found = trip.finding(deciding.n)
        return found.piece, found.key, found.code
    piece = trip.pieces.get(trip.chosen)
    check = next(piece.open_checks(), None) if piece else None
    return trip.chosen, check.key if check else "", ""


def _left(bench: Bench, event: e.FirstAidLeft, stamp: Stamp) -> Bench:
    return replace(bench, first_aid_ms=None, aid=None)


def _noted(bench: Bench, event: e.ExposureNoted, stamp: Stamp) -> Bench:
    """Somebody is being helped. The half-done tray stays on the bench, minded for whoever left it."""
    aid = bench.aid or Exposure(n=len(bench.exposures) + 1, at_ms=stamp.at_ms, offset_min=stamp.offset_min)
    open_ = open_trips(bench)
    mine = bench.who if bench.trip is not None and not bench.trip.ended else None
    return replace(
        bench,
        first_aid_ms=None,
        aid=None,
        exposures=(*bench.exposures, replace(aid, cleared=not open_)),
        minding=mine or bench.minding,
        trips=bench.trips | {trip.id: replace(trip, hit=not _shelved(trip)) for trip in open_},
    )


def _shelved(trip: Trip) -> bool:
    """Is it covered on the hold shelf, away from the bench?"""
    return trip.pause is not None and trip.pause.reason == "hold_shelf"


def _cleared(bench: Bench, event: e.ExposureCleared, stamp: Stamp) -> Bench:
    hit = tuple(_named(trip) for trip in bench.trips.values() if trip.hit)
    trips = {key: replace(trip, hit=None) for key, trip in bench.trips.items()}
    told = [x if x.cleared else replace(x, cleared=True, kind=event.kind, trays=hit) for x in bench.exposures]
    return replace(bench, trips=trips, exposures=tuple(told))


def _newest(bench: Bench, **changes: Any) -> Bench:
    *old, last = bench.exposures
    return replace(bench, exposures=(*old, replace(last, **changes)))


def _bench_clean(bench: Bench, event: e.BenchCleaned, stamp: Stamp) -> Bench:
    """The cleaning after an exposure is part of its note."""
    if not bench.exposures or not bench.exposures[-1].cleared or bench.exposures[-1].bench_ms is not None:
        return bench
    return _newest(bench, bench_ms=stamp.at_ms) if event.level == "full" else bench


def _printed(bench: Bench, event: e.NotePrinted, stamp: Stamp) -> Bench:
    mine = [replace(x, prints=event.copy + 1) if x.n == event.n else x for x in bench.exposures]
    return replace(bench, exposures=tuple(mine))


def _stopped(bench: Bench, event: e.AllStopped, stamp: Stamp) -> Bench:
    trips = {trip.id: replace(trip, exposed=True) for trip in open_trips(bench, before_ms=event.began_ms)}
    return replace(bench, trips=bench.trips | trips, stopped_ms=event.began_ms)


def _turned(bench: Bench, event: e.TurnedTo, stamp: Stamp) -> Bench:
    return replace(bench, current=stamp.trip)


def _not_minded(bench: Bench, event: e.Paused | e.TrayBack, stamp: Stamp) -> Bench:
    return replace(bench, minding="") if bench.minding and not _minded_here(bench) else bench


def _minded_here(bench: Bench) -> bool:
    return bench.trip is not None and not bench.trip.ended


def _ruled(trip: Trip, event: e.ExposedRuled, stamp: Stamp) -> Trip:
    return replace(trip, exposed=False)


def _hit(trip: Trip, event: e.HitMarked, stamp: Stamp) -> Trip:
    return replace(trip, hit=event.hit)


def _soiled(trip: Trip, event: e.BenchSoiled, stamp: Stamp) -> Trip:
    gloves = (Task(kind="gloves"),) if event.gloves else ()
    return replace(trip, tasks=(Task(kind="bench", level=event.level), *gloves, *trip.tasks))


def _secured(trip: Trip, event: e.SharpSecured, stamp: Stamp) -> Trip:
    return replace(trip, tasks=tuple(task for task in trip.tasks if task.kind != "sharp"))


def _torn(trip: Trip, event: e.GloveTorn, stamp: Stamp) -> Trip:
    return replace(trip, tasks=(Task(kind="gloves"), *(task for task in trip.tasks if task.kind != "gloves")))


def _answered(bench: Bench, event: e.CheckYes, stamp: Stamp) -> Bench:
    """The same warning is given once in a trip; the times go on being kept."""
    trip = bench.trips.get(stamp.trip or "")
    if not event.asked_twice or trip is None or trip.pace_asked:
        return bench
    return replace(bench, trips={**bench.trips, trip.id: replace(trip, pace_asked=True)})


BENCH: dict[type, Callable[[Bench, Any, Stamp], Bench]] = {
    e.FirstAidBegun: _begun,
    e.FirstAidLeft: _left,
    e.ExposureNoted: _noted,
    e.ExposureCleared: _cleared,
    e.BenchCleaned: _bench_clean,
    e.NotePrinted: _printed,
    e.AllStopped: _stopped,
    e.TurnedTo: _turned,
    e.CheckYes: _answered,
    e.Paused: _not_minded,
    e.TrayBack: _not_minded,
}
TRIP: dict[type, Callable[[Trip, Any, Stamp], Trip]] = {
    e.ExposedRuled: _ruled,
    e.HitMarked: _hit,
    e.BenchSoiled: _soiled,
    e.SharpSecured: _secured,
    e.GloveTorn: _torn,
}
