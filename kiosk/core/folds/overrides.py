"""The fold of overrides."""

from collections.abc import Callable
from dataclasses import replace
from typing import Any

from kiosk.core import events as e
from kiosk.core.stamp import Stamp
from kiosk.core.state.bench import Bench
from kiosk.core.state.ruled import Override
from kiosk.core.state.trip import Trip


def _given(bench: Bench, event: e.OverrideGiven, stamp: Stamp) -> Bench:
    trip = bench.trips.get(stamp.trip or "")
    given = Override(
        n=0,
        what=event.what,
        subjects=event.subjects,
        reason=event.reason,
        words=event.words,
        asked=stamp.who or "",
        by=event.by,
        phone=event.phone,
        trip=stamp.trip or "",
        tray=trip.tray.code if trip else "",
        at_ms=stamp.at_ms,
    )
    return replace(bench, overrides_given={**bench.overrides_given, given.trip: given})


def _of(event: e.OverrideDone, stamp: Stamp, tray: str) -> Override:
    return Override(
        n=event.n,
        what=event.what,
        subjects=event.subjects,
        reason=event.reason,
        words=event.words,
        asked=event.asked,
        by=event.by,
        second=event.second,
        phone=event.phone,
        alone=event.alone,
        trip=stamp.trip or "",
        tray=tray,
        at_ms=stamp.at_ms,
    )


def _without(bench: Bench, stamp: Stamp) -> Bench:
    given = {trip: one for trip, one in bench.overrides_given.items() if trip != (stamp.trip or "")}
    return replace(bench, overrides_given=given)


def _done(bench: Bench, event: e.OverrideDone, stamp: Stamp) -> Bench:
    trip = bench.trips.get(stamp.trip or "")
    done = _of(event, stamp, trip.tray.code if trip else "")
    unsigned = (*bench.unsigned, done) if event.phone or event.alone else bench.unsigned
    return replace(_without(bench, stamp), overrides=event.n, unsigned=unsigned)


def _refused(bench: Bench, event: e.OverrideRefused, stamp: Stamp) -> Bench:
    return _without(bench, stamp) if event.why == "second_said_no" else bench


def _cosigned(bench: Bench, event: e.OverrideCosigned, stamp: Stamp) -> Bench:
    return replace(bench, unsigned=tuple(one for one in bench.unsigned if one.n != event.n))


def _on_trip(trip: Trip, event: e.OverrideDone, stamp: Stamp) -> Trip:
    trip = replace(trip, overrides=(*trip.overrides, _of(event, stamp, trip.tray.code)))
    if event.what == "missing_pack_short":
        trip = replace(trip, short_by=trip.short_by | set(event.subjects))
    return trip


BENCH: dict[type, Callable[[Bench, Any, Stamp], Bench]] = {
    e.OverrideGiven: _given,
    e.OverrideDone: _done,
    e.OverrideRefused: _refused,
    e.OverrideCosigned: _cosigned,
}
TRIP: dict[type, Callable[[Trip, Any, Stamp], Trip]] = {e.OverrideDone: _on_trip}
