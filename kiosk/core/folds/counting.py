"""The fold of the count and the tray itself."""

from collections.abc import Callable
from dataclasses import replace
from typing import Any

from kiosk.core import events as e
from kiosk.core.folds.recount import uncounted
from kiosk.core.stamp import Stamp
from kiosk.core.state.asked import Pause, Task
from kiosk.core.state.bench import Bench
from kiosk.core.state.piece import TRAY, is_missing
from kiosk.core.state.ruled import Mixed, Seen
from kiosk.core.state.trip import Trip, one_more
from kiosk.core.vocabulary import Disposition


def _reopened(trip: Trip, event: e.TrayReopened, stamp: Stamp) -> Trip:
    """Open again: count, weight, indicators and packaging are asked again. What was looked at stands until said."""
    return replace(
        uncounted(trip),
        packed_ms=None,
        packed_by="",
        packed_short=0,
        package="",
        packages=(),
        reopened=(*trip.reopened, event.package),
        count_again="reopened",
        pause=Pause(reason="reopened", at_ms=stamp.at_ms, by=stamp.who or ""),
        last=None,
    )


def _at_hand(bench: Bench, event: e.TrayReopened, stamp: Stamp) -> Bench:
    """It is packed no more."""
    packed = {key: trip for key, trip in bench.packed.items() if key != stamp.trip}
    return replace(bench, packed=packed, current=None if bench.current == stamp.trip else bench.current)


def _searched(trip: Trip, event: e.Searched, stamp: Stamp) -> Trip:
    over = trip.search_over | {event.line} if event.over else trip.search_over - {event.line}
    return replace(trip, searched={**trip.searched, event.line: event.places}, search_over=over)


CLEAN_PLACES = frozenset({"racks"})
"""Where a piece has been through the washer with this load: what is found elsewhere goes to decontam first."""


def _found(trip: Trip, event: e.MissingFound, stamp: Stamp) -> Trip:
    """Found in a clean place it lies in the tray again, and is looked at; found elsewhere the tray goes on waiting."""
    trip = replace(trip, found_at={**trip.found_at, event.line: (event.where, event.by)})
    if event.where not in CLEAN_PLACES:
        return replace(trip, search_over=trip.search_over | {event.line})
    counts = {**trip.counts, event.line: trip.counts.get(event.line, 0) + 1}
    item = next((line.item for line in trip.tray.lines if line.name == event.line), None)
    back = next((p for p in trip.pieces.values() if item and p.plan.item == item and is_missing(p)), None)
    pieces = dict(trip.pieces)
    if back is not None:
        pieces[back.name] = replace(back, disposition=None, note="", yes={})
    return replace(trip, counts=counts, pieces=pieces, differences=one_more(trip, event.line))


def _extra_told(trip: Trip, event: e.ExtraTold, stamp: Stamp) -> Trip:
    return replace(trip, extra_of={**trip.extra_of, event.line: (event.tray, event.station)})


def _extra_put(trip: Trip, event: e.ExtraPut, stamp: Stamp) -> Trip:
    """One less lies in the tray, and it is known where it went."""
    rows = ((name, want, have - (name == event.line)) for name, want, have in trip.differences)
    return replace(
        trip,
        differences=tuple(row for row in rows if row[1] != row[2]),
        counts={**trip.counts, event.line: trip.counts.get(event.line, 1) - 1},
        extra_put={**trip.extra_put, event.line: (event.where, stamp.who or "")},
    )


def _mixed(trip: Trip, event: e.MixedTrays, stamp: Stamp) -> Trip:
    mixed = Mixed(tray=event.tray, trip=event.trip, station=event.station, lines=event.lines, by=stamp.who or "")
    settled = dict.fromkeys(event.lines, (event.tray, event.station))
    return replace(
        trip,
        mixed=(*trip.mixed, mixed),
        search_over=trip.search_over | set(event.lines),
        extra_of={**trip.extra_of, **settled},
    )


def _exchanged(trip: Trip, event: e.Exchanged, stamp: Stamp) -> Trip:
    mixed = tuple(replace(one, exchanged=one.exchanged or one.tray == event.tray) for one in trip.mixed)
    return replace(trip, mixed=mixed, count_again="exchanged")


def _discarded(trip: Trip, event: e.Discarded, stamp: Stamp) -> Trip:
    piece = replace(trip.pieces[event.piece], disposition=Disposition.DISCARD, ticket=event.tag, note=event.note)
    return replace(
        trip,
        pieces={**trip.pieces, event.piece: piece},
        ruled_by={**trip.ruled_by, event.piece: stamp.who or ""},
        earlier={**trip.earlier, event.piece: event.earlier},
        tasks=(*trip.tasks, Task(kind="print", doc="discard_note", number=event.tag, n=event.n)),
    )


def _others_ruled(trip: Trip, event: e.OthersRuled, stamp: Stamp) -> Trip:
    """The tray waits for it no more, unless something else was found at its looks."""
    findings = tuple(replace(f, ruled=f.ruled or f.n == event.n) for f in trip.findings)
    more = any(f.piece == TRAY and f.decided and not (f.put_right or f.ruled) for f in findings)
    tray = trip.pieces[TRAY]
    pieces = {**trip.pieces, TRAY: replace(tray, disposition=tray.disposition if more else None)}
    return replace(trip, findings=findings, pieces=pieces)


def _last_seen(bench: Bench, event: e.Packed | e.PackedShort, stamp: Stamp) -> Bench:
    """What lay in the package: the next time something is missing, this says when it was last there."""
    trip = bench.trips.get(stamp.trip or "")
    if trip is None:
        return bench
    old = bench.seen.get(trip.tray.code)
    short = {line for line, want, have in trip.differences if have < want}
    before = {line: old.of(line) if old else (0, "") for line in short}
    return replace(bench, seen={**bench.seen, trip.tray.code: Seen(at_ms=stamp.at_ms, trip=trip.id, before=before)})


def _to_be_marked(bench: Bench, event: e.MarkWanted, stamp: Stamp) -> Bench:
    trip = bench.trips.get(stamp.trip or "")
    if trip is None or event.piece not in trip.pieces:
        return bench
    plan = trip.pieces[event.piece].plan
    return replace(bench, to_mark={**bench.to_mark, f"{trip.tray.code}/{plan.item}": plan.name})


BENCH: dict[type, Callable[[Bench, Any, Stamp], Bench]] = {
    e.TrayReopened: _at_hand,
    e.Packed: _last_seen,
    e.PackedShort: _last_seen,
    e.MarkWanted: _to_be_marked,
}
TRIP: dict[type, Callable[[Trip, Any, Stamp], Trip]] = {
    e.TrayReopened: _reopened,
    e.Searched: _searched,
    e.MissingFound: _found,
    e.ExtraTold: _extra_told,
    e.ExtraPut: _extra_put,
    e.MixedTrays: _mixed,
    e.Exchanged: _exchanged,
    e.Discarded: _discarded,
    e.OthersRuled: _others_ruled,
}
