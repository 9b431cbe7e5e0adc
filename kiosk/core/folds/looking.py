"""The fold of looking again."""

from collections.abc import Callable, Iterable
from dataclasses import replace
from typing import Any

from kiosk.core import events as e
from kiosk.core.findings import DOUBTS
from kiosk.core.stamp import Stamp
from kiosk.core.state.asked import Task
from kiosk.core.state.bench import Bench
from kiosk.core.state.looked import Listed, SecondLook, Stop
from kiosk.core.state.piece import MISSING, TRAY, FindingOn
from kiosk.core.state.trip import Trip
from kiosk.core.together.seen import mark_of
from kiosk.core.vocabulary import Check, Disposition


def _said(trip: Trip, event: e.SecondLookDone, stamp: Stamp) -> Trip:
    said = SecondLook(n=event.n, says=event.says, by=stamp.who or "", at_ms=stamp.at_ms)
    return replace(trip, second_looks=(*trip.second_looks, said))


def _settled(trip: Trip, event: e.DoubtSettled, stamp: Stamp) -> Trip:
    """The piece is back in the tray: to go on, or to be decided about once more."""
    decide = event.how in {"back", "repair"}
    findings = tuple(_counted_as(f, event) if f.n == event.n else f for f in trip.findings)
    tasks = (Task(kind="decide", n=event.n), *trip.tasks) if decide else trip.tasks
    trip = replace(trip, findings=findings, tasks=tasks, last=None)
    piece = trip.pieces[event.piece]
    piece = replace(piece, disposition=_what_holds_the_tray(trip) if event.piece == TRAY else None)
    return replace(trip, pieces={**trip.pieces, piece.name: piece})


def _counted_as(finding: FindingOn, event: e.DoubtSettled) -> FindingOn:
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


def _marked(trip: Trip, event: e.MarkRead, stamp: Stamp) -> Trip:
    piece = replace(trip.pieces[event.piece], mark=event.mark)
    return replace(trip, pieces={**trip.pieces, piece.name: piece})


def _use(trip: Trip, event: e.UseCounted, stamp: Stamp) -> Trip:
    return replace(trip, used=trip.used | {event.mark})


def _used(bench: Bench, event: e.UseCounted, stamp: Stamp) -> Bench:
    return replace(bench, uses={**bench.uses, event.mark: bench.uses.get(event.mark, 0) + 1})


def _listed(bench: Bench, event: e.StopListed, stamp: Stamp) -> Bench:
    new = Stop(notice=event.notice, marks=event.marks, types=event.types, lots=event.lots)
    known = bench.notices.get(event.notice, Listed())
    entries = ";".join(map(" ".join, new.entries()))
    mark = mark_of(event.notice, entries, stamp.at_ms, stamp.who, known.words)
    put = dict.fromkeys(("", *map(" ".join, new.entries())), mark)
    return _notice(bench, event.notice, replace(known, on={**known.on, **put}))


def _withdrawn(bench: Bench, event: e.StopWithdrawn, stamp: Stamp) -> Bench:
    entry = f"{event.kind} {event.value}"
    known = bench.notices.get(event.notice, Listed())
    seen = event.over or tuple(mark for put, mark in known.on.items() if put == entry)
    return _notice(bench, event.notice, _off(known, (f"{mark} {entry}" for mark in seen), stamp))


def _lifted(bench: Bench, event: e.StopLifted, stamp: Stamp) -> Bench:
    known = bench.notices.get(event.notice, Listed())
    return _notice(bench, event.notice, _off(known, (*event.over, *known.on.values()), stamp))


def _off(known: Listed, what: Iterable[str], stamp: Stamp) -> Listed:
    return replace(known, off={**known.off, **dict.fromkeys(what, (stamp.who or "", stamp.at_ms))})


def _notice(bench: Bench, notice: str, said: Listed) -> Bench:
    return replace(bench, notices={**bench.notices, notice: replace(said, words=said.words + 1)})


def _absent(trip: Trip, event: e.RecallAbsent, stamp: Stamp) -> Trip:
    """Not in the tray: its line is counted so. Where no line counts it, it is missing at once."""
    piece = trip.pieces[event.piece]
    if all(line.item != piece.plan.item for line in trip.tray.lines):
        missing = replace(piece, disposition=Disposition.HOLD, note=MISSING)
        trip = replace(trip, pieces={**trip.pieces, piece.name: missing})
    return replace(trip, absent=trip.absent | {event.piece})


def _suspected(trip: Trip, event: e.PathogenSuspected, stamp: Stamp) -> Trip:
    return replace(trip, pathogen_ms=stamp.at_ms)


def _ruled(trip: Trip, event: e.PathogenRuled, stamp: Stamp) -> Trip:
    return replace(trip, pathogen_ms=None)


def _called(trip: Trip, event: e.Called, stamp: Stamp) -> Trip:
    if not event.answered:
        return replace(trip, calls=trip.calls + 1)
    return replace(trip, calls=0, tasks=tuple(task for task in trip.tasks if task.kind != "broken"))


def _joint(trip: Trip, event: e.JointLooked, stamp: Stamp) -> Trip:
    return replace(trip, findings=tuple(replace(f, looked=True) if f.n == event.n else f for f in trip.findings))


def _measured(trip: Trip, event: e.Measured, stamp: Stamp) -> Trip:
    spot = f"{event.piece}.{event.lumen}"
    return replace(trip, measured={**trip.measured, spot: (event.goes_mm, event.length_mm)})


def _by_record(trip: Trip, event: e.RecordUsed, stamp: Stamp) -> Trip:
    """What the other record asked after the first looks is asked again."""
    piece = trip.pieces[event.piece]
    yes = {key: given for key, given in piece.yes.items() if key in {Check.APART, Check.LOOK}}
    piece = replace(piece, item=event.item, yes=yes, disposition=None)
    return replace(trip, pieces={**trip.pieces, piece.name: piece}, last=None)


BENCH: dict[type, Callable[[Bench, Any, Stamp], Bench]] = {
    e.UseCounted: _used,
    e.StopListed: _listed,
    e.StopWithdrawn: _withdrawn,
    e.StopLifted: _lifted,
}
TRIP: dict[type, Callable[[Trip, Any, Stamp], Trip]] = {
    e.SecondLookDone: _said,
    e.DoubtSettled: _settled,
    e.MarkRead: _marked,
    e.UseCounted: _use,
    e.RecallAbsent: _absent,
    e.PathogenSuspected: _suspected,
    e.PathogenRuled: _ruled,
    e.Called: _called,
    e.JointLooked: _joint,
    e.Measured: _measured,
    e.RecordUsed: _by_record,
}
