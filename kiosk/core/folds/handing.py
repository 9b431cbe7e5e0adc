"""The fold of a tray that changes hands: handed over, taken over, the same label twice, wanted by when."""

from dataclasses import replace

from kiosk.core import events as e
from kiosk.core.stamp import Stamp
from kiosk.core.state.bench import Bench
from kiosk.core.state.packs import Rush
from kiosk.core.state.trip import Trip
from kiosk.core.together.seen import FEW, Said, spoken

TWICE, RETAGGED = "twice", "retagged"
"""What is said of a label: two trays carry it; one of them has a tag of its own now."""


def handed_over(trip: Trip, event: e.HandedOver, stamp: Stamp) -> Trip:
    """For whom it waits."""
    return replace(trip, handed_to=event.to)


def gone_over(trip: Trip, event: e.GoneOver, stamp: Stamp) -> Trip:
    """It goes on at another station."""
    return replace(trip, let_go_ms=stamp.at_ms)


def taken(bench: Bench, event: e.TrayTakenOver, stamp: Stamp) -> Bench:
    """Taken over from another station."""
    return replace(bench, taken=bench.taken | {event.trip})


def same_label(bench: Bench, event: e.SameLabelTold, stamp: Stamp) -> Bench:
    """Two trays carry this label."""
    return _label(bench, event, stamp, TWICE)


def retagged(bench: Bench, event: e.Retagged, stamp: Stamp) -> Bench:
    """One of them has a tag of its own."""
    own = bench.retagged | {event.trip} if event.trip else bench.retagged
    return replace(_label(bench, event, stamp, RETAGGED), retagged=own)


def _label(bench: Bench, event: e.SameLabelTold | e.Retagged, stamp: Stamp, says: str) -> Bench:
    before = bench.same_label.get(event.tray, ())
    by, last = stamp.who or "", before[-1] if before else None
    mark, over = spoken(event.over, last, event.tray, says, stamp.at_ms, by)
    said = Said(mark=mark, over=over, at_ms=stamp.at_ms, says=says, by=by)
    return replace(bench, same_label={**bench.same_label, event.tray: (*before[1 - FEW :], said)})


def tag_changed(trip: Trip, event: e.TagChanged, stamp: Stamp) -> Trip:
    """It goes on under its own tag."""
    return replace(trip, let_go_ms=stamp.at_ms)


def rush(bench: Bench, event: e.RushMarked, stamp: Stamp) -> Bench:
    """Wanted by a clock time."""
    return replace(bench, rush={**bench.rush, event.tray: Rush(by=event.by, at_ms=stamp.at_ms)})


def not_before(bench: Bench, event: e.NotBefore, stamp: Stamp) -> Bench:
    """What may be said on the phone."""
    mark = bench.rush.get(event.tray, Rush(by="", at_ms=stamp.at_ms))
    return replace(bench, rush={**bench.rush, event.tray: replace(mark, not_before=event.at, at_ms=stamp.at_ms)})
