"""The fold of looking again."""

from collections.abc import Callable
from dataclasses import replace
from typing import Any

from kiosk.core.bench import TRAY, Bench, FindingOn, SecondLook, Task, Trip
from kiosk.core.events import DoubtSettled, SecondLookDone
from kiosk.core.findings import DOUBTS
from kiosk.core.stamp import Stamp
from kiosk.core.vocabulary import Disposition


def _said(trip: Trip, event: SecondLookDone, stamp: Stamp) -> Trip:
    said = SecondLook(n=event.n, says=event.says, by=stamp.who or "", at_ms=stamp.at_ms)
    return replace(trip, second_looks=(*trip.second_looks, said))


def _settled(trip: Trip, event: DoubtSettled, stamp: Stamp) -> Trip:
    """The piece is back in the tray: to go on, or to be decided about once more."""
    decide = event.how in {"back", "repair"}
    findings = tuple(_counted_as(f, event) if f.n == event.n else f for f in trip.findings)
    tasks = (Task(kind="decide", n=event.n), *trip.tasks) if decide else trip.tasks
    trip = replace(trip, findings=findings, tasks=tasks, last=None)
    piece = trip.pieces[event.piece]
    piece = replace(piece, disposition=_what_holds_the_tray(trip) if event.piece == TRAY else None)
    return replace(trip, pieces={**trip.pieces, piece.name: piece})


def _counted_as(finding: FindingOn, event: DoubtSettled) -> FindingOn:
    return replace(
        finding,
        code=event.code,
        group=event.group,
        first=finding.code,
        put_right=event.how == "clear",
        accepted=event.how == "accepted",
        decided=event.how in {"clear", "accepted"},
    )


def _what_holds_the_tray(trip: Trip) -> Disposition | None:
    """The tray's own looks find several things: what else of them holds the tray, once this doubt is settled."""
    settled = {look.n for look in trip.second_looks}
    told = {n for ticket in trip.tickets for n in ticket.findings}
    mine = [f for f in trip.findings if f.piece == TRAY and f.decided and not (f.put_right or f.accepted)]
    if any(TRAY in hold.waits_for and hold.code != "waits" for hold in trip.holds):
        return Disposition.HOLD
    if any((f.first or f.code) in DOUBTS and f.n not in settled | told for f in mine):
        return Disposition.SECOND_LOOK
    if any(f.n not in told for f in mine):
        return Disposition.REPAIR
    return Disposition.ITEM_BACK if mine else None


BENCH: dict[type, Callable[[Bench, Any, Stamp], Bench]] = {}
TRIP: dict[type, Callable[[Trip, Any, Stamp], Trip]] = {SecondLookDone: _said, DoubtSettled: _settled}
