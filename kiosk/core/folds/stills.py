"""The fold of pictures."""

from collections.abc import Callable
from dataclasses import replace
from typing import Any

from kiosk.core import events as e
from kiosk.core.scope_target import TargetKept, TargetOn
from kiosk.core.stamp import Stamp
from kiosk.core.state.bench import Bench
from kiosk.core.state.trip import Trip
from kiosk.core.still import KnownLook, StillOn
from kiosk.core.vocabulary import Check

MOST_LOOKS = 5_000
"""Known looks at hand, newest last (a choice: more lumens than a department has)."""


def _kept(trip: Trip, event: e.StillKept, stamp: Stamp) -> Trip:
    still = StillOn(
        n=event.n,
        piece=event.piece,
        lumen=event.lumen,
        at_mm=event.at_mm,
        file=event.file,
        sha256=event.sha256,
        by=stamp.who or "",
        at_ms=stamp.at_ms,
    )
    none = {spot: reason for spot, reason in trip.no_stills.items() if spot != f"{event.piece}.{event.lumen}"}
    return replace(trip, stills=(*trip.stills, still), no_stills=none)


def _none(trip: Trip, event: e.NoStill, stamp: Stamp) -> Trip:
    return replace(trip, no_stills={**trip.no_stills, f"{event.piece}.{event.lumen}": event.reason})


def _accepted(trip: Trip, event: e.LookAccepted, stamp: Stamp) -> Trip:
    who = stamp.who or ""
    return replace(trip, stills=tuple(replace(s, accepted=who) if s.n == event.n else s for s in trip.stills))


def _look(bench: Bench, event: e.LookAccepted, stamp: Stamp) -> Bench:
    look = KnownLook(
        file=event.file,
        sha256=event.sha256,
        at_mm=event.at_mm,
        by=stamp.who or "",
        at_ms=stamp.at_ms,
        offset_min=stamp.offset_min,
    )
    key = f"mark {event.mark} {event.lumen}" if event.mark else f"line {event.tray}/{event.item} {event.lumen}"
    looks = {**{name: old for name, old in bench.looks.items() if name != key}, key: look}
    return replace(bench, looks=dict(list(looks.items())[-MOST_LOOKS:]))


def _not_any_more(bench: Bench, event: e.Found | e.Correction, stamp: Stamp) -> Bench:
    """Something was found in this lumen, or its scope's YES was taken back: no still of this trip is a look now.

    After another YES a second person may accept one of them again.
    """
    trip = bench.trips.get(stamp.trip or "")
    lumen, _, check = event.key.rpartition(".")
    if trip is None or not (isinstance(event, e.Found) or check == Check.SCOPE):
        return bench
    mine = {s.sha256 for s in trip.stills if (s.piece, s.lumen) == (event.piece, lumen)}
    if not mine:
        return bench
    stills = tuple(replace(s, accepted="") if s.sha256 in mine else s for s in trip.stills)
    looks = {name: look for name, look in bench.looks.items() if look.sha256 not in mine}
    return replace(bench, looks=looks, trips={**bench.trips, trip.id: replace(trip, stills=stills)})


def _target(bench: Bench, event: e.ScopeTargetRead, stamp: Stamp) -> Bench:
    now = TargetOn(
        figures=event.figures,
        shift=event.shift,
        at_ms=stamp.at_ms,
        offset_min=stamp.offset_min,
        by=stamp.who or "",
    )
    before = bench.targets.get(event.scope)
    kept = TargetKept(first=before.first if before else now, last=now)
    return replace(bench, targets={**bench.targets, event.scope: kept})


BENCH: dict[type, Callable[[Bench, Any, Stamp], Bench]] = {
    e.LookAccepted: _look,
    e.ScopeTargetRead: _target,
    e.Found: _not_any_more,
    e.Correction: _not_any_more,
}
TRIP: dict[type, Callable[[Trip, Any, Stamp], Trip]] = {
    e.StillKept: _kept,
    e.NoStill: _none,
    e.LookAccepted: _accepted,
}
