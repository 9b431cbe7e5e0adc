"""How each visit turned out, by the piece's own mark, or by the line of the tray where there is no mark."""

from dataclasses import replace

from kiosk.core import events as e
from kiosk.core.stamp import Stamp
from kiosk.core.state.bench import Bench
from kiosk.core.state.looked import Stopped, Turnout
from kiosk.core.state.trip import Trip

KEPT = 24
"""Visits kept of one row: more than any row has in the longest window policy may ask for (a choice)."""


def row_of(trip: Trip, piece: str) -> str:
    """What failed checks are counted on: the piece's own mark, or this line of this tray. No identity is pretended."""
    known = trip.pieces[piece]
    return f"mark {known.mark}" if known.mark else f"{trip.tray.code}/{known.plan.item}"


def after(bench: Bench, trip: Trip, event: e.Event, stamp: Stamp) -> Bench:
    """The bench after an event of the trip: a failed check, once a trip and row, or everything passed."""
    match event:
        case e.ItemBack() | e.TrayBack():
            return _failed(bench, trip, event.findings, event.ticket, stamp)
        case e.Quarantined(rule="recalled"):
            what = trip.pieces[event.piece].mark or f"{trip.tray.code} {event.piece}"
            found = Stopped(notice=event.note, what=what, tray=trip.tray.code, at_ms=stamp.at_ms)
            return replace(bench, stopped=(*bench.stopped, found))
        case e.Quarantined() if event.n:
            return _failed(bench, trip, (event.n,), event.tag, stamp)
        case e.CheckYes() if event.piece in trip.pieces:
            return _passed(bench, trip, event.piece, stamp)
        case _:
            return bench


def _failed(bench: Bench, trip: Trip, numbers: tuple[int, ...], paper: str, stamp: Stamp) -> Bench:
    found = [trip.finding(n) for n in numbers]
    codes = {row_of(trip, f.piece): f.code for f in found if f.fails}
    new = {row: code for row, code in codes.items() if row not in trip.failed_rows}
    for row, code in new.items():
        bench = _add(bench, row, Turnout(at_ms=stamp.at_ms, failed=True, code=code, paper=paper))
    trip = replace(trip, failed_rows=trip.failed_rows | frozenset(new))
    return replace(bench, trips={**bench.trips, trip.id: trip})


def _passed(bench: Bench, trip: Trip, name: str, stamp: Stamp) -> Bench:
    """Every alike piece of the row is answered. A pass follows a pass without a further word."""
    if not trip.pieces[name].item or not trip.pieces[name].all_yes:
        return bench
    row = row_of(trip, name)
    alike = [piece for other, piece in trip.pieces.items() if row_of(trip, other) == row]
    if not all(piece.all_yes for piece in alike):
        return bench
    trip = replace(trip, failed_rows=trip.failed_rows - {row})
    bench = replace(bench, trips={**bench.trips, trip.id: trip})
    return _add(bench, row, Turnout(at_ms=stamp.at_ms, failed=False))


def _add(bench: Bench, row: str, turnout: Turnout) -> Bench:
    known = bench.turnouts.get(row, ())
    if known and not turnout.failed and not known[-1].failed:
        known = known[:-1]
    return replace(bench, turnouts={**bench.turnouts, row: (*known, turnout)[-KEPT:]})
