"""The folds of decontam's side, and of what comes back from it."""

from collections.abc import Callable
from dataclasses import replace
from typing import Any

from kiosk.core import events as e
from kiosk.core.folds.recount import uncounted
from kiosk.core.folds.turnouts import row_of
from kiosk.core.stamp import Stamp
from kiosk.core.state.bench import Bench, Sent
from kiosk.core.state.tickets import CameBack, DirtyCheck, Return
from kiosk.core.state.trip import Trip, found_on
from kiosk.core.together.seen import Said, spoken
from kiosk.core.vocabulary import Disposition

CANNOT_SHIFT = "cannot_shift"

KEPT = 1000
"""So many returns, closed tickets and dirty-side records are remembered here; the log has all of them."""


def _went(bench: Bench, event: e.ItemBack | e.TrayBack, stamp: Stamp) -> Bench:
    """A return goes: of its trip, what the ticket tells is kept until the ticket is closed."""
    trip = bench.trips.get(stamp.trip or "")
    if trip is None:
        return bench
    ticket = next(each for each in trip.tickets if each.number == event.ticket)
    told = {name: p for name, p in trip.pieces.items() if name in ticket.pieces or _stayed(p.ticket, ticket.number)}
    plain = {name: replace(p, yes={}) for name, p in told.items()}
    short = replace(trip, pieces=plain, tasks=(), jobs=(), counts={}, tickets=(ticket,), holds=(), not_seen={})
    return replace(bench, sent={**bench.sent, ticket.number: Sent(ticket=ticket, trip=short)})


def _stayed(paper: str, number: str) -> bool:
    return bool(paper) and paper != number


def _written(bench: Bench, event: e.Handwritten, stamp: Stamp) -> Bench:
    sent = bench.sent.get(event.number)
    if event.doc != "return_ticket" or sent is None or not event.form:
        return bench
    return replace(bench, sent={**bench.sent, event.number: replace(sent, form=event.form)})


def _replaced(bench: Bench, event: e.Replaced, stamp: Stamp) -> Bench:
    """A spare is used after the ticket has gone: the paper is out of date, the screens are not."""
    mine = {
        number: replace(sent, spare=event.item.name)
        for number, sent in bench.sent.items()
        if sent.trip.id == stamp.trip and event.out in sent.ticket.pieces
    }
    return replace(bench, sent={**bench.sent, **mine}) if mine else bench


def _return(bench: Bench, ticket: str, **changes: Any) -> Bench:
    known = bench.returns.get(ticket, Return(ticket=ticket))
    others = {number: each for number, each in bench.returns.items() if number != ticket}
    every = {**others, ticket: replace(known, **changes)}
    return replace(bench, returns=dict(list(every.items())[-KEPT:]))


def _received(bench: Bench, event: e.TicketReceived, stamp: Stamp) -> Bench:
    return _return(bench, event.ticket, by=event.by, known=event.known, received_ms=stamp.at_ms, not_here_ms=None)


def _told(bench: Bench, event: e.TicketTold, stamp: Stamp) -> Bench:
    return _return(bench, event.card.number, card=event.card, vouched=event.vouched)


def _not_here(bench: Bench, event: e.TicketNotHere, stamp: Stamp) -> Bench:
    return _return(bench, event.ticket, not_here_ms=stamp.at_ms, received_ms=None)


def _absence_seen(bench: Bench, event: e.TicketAbsenceSeen, stamp: Stamp) -> Bench:
    seen = {**bench.absent_seen, event.ticket: stamp.at_ms}
    return replace(bench, absent_seen=dict(list(seen.items())[-KEPT:]))


def _answered(bench: Bench, event: e.TicketAnswered, stamp: Stamp) -> Bench:
    before = bench.returns.get(event.ticket)
    said = None
    if before is not None and before.says:
        said = Said(mark=before.mark, over=before.over, at_ms=before.said_ms or 0)
    mark, over = spoken(event.over, said, event.ticket, event.says, stamp.at_ms, stamp.who)
    return _return(
        bench,
        event.ticket,
        says=event.says,
        said_ms=stamp.at_ms,
        mark=mark,
        over=over,
    )


def _checked(bench: Bench, event: e.DirtyChecked, stamp: Stamp) -> Bench:
    new = DirtyCheck(id=event.id, tray=event.tray, piece=event.piece, ticket=event.ticket, at_ms=stamp.at_ms)
    checks = (*bench.dirty_checks, new)[-KEPT:]
    return replace(bench, dirty_checks=checks, dirty_checks_made=bench.dirty_checks_made + 1)


def _used(bench: Bench, event: e.DirtyCheckFound, stamp: Stamp) -> Bench:
    return replace(bench, dirty_used=(*bench.dirty_used, event.id)[-KEPT:])


def _closed(bench: Bench, event: e.TicketClosed, stamp: Stamp) -> Bench:
    sent = {number: each for number, each in bench.sent.items() if number != event.ticket}
    return replace(bench, sent=sent, closed=dict(list({**bench.closed, event.ticket: event.load}.items())[-KEPT:]))


def _recheck_over(bench: Bench, event: e.RecheckStarted, stamp: Stamp) -> Bench:
    """Once its own trip goes on with it, a ticket that another bench closed is closed here too."""
    return replace(bench, sent={number: each for number, each in bench.sent.items() if number != event.ticket})


def _found(trip: Trip, event: e.DirtyCheckFound, stamp: Stamp) -> Trip:
    piece = trip.pieces[event.piece]
    return replace(trip, pieces={**trip.pieces, event.piece: replace(piece, dirty=event.id)})


def _heard(trip: Trip, event: e.AnswerHeard, stamp: Stamp) -> Trip:
    """An answer stands with the ticket; what can not be cleaned is held, never silently waited for."""
    before = trip.answers.get(event.ticket, "")
    trip = replace(trip, answers={**trip.answers, event.ticket: event.says})
    ticket = next((each for each in trip.tickets if each.number == event.ticket), None)
    if ticket is None or ticket.whole_tray or CANNOT_SHIFT not in {before, event.says}:
        return trip
    now = Disposition.HOLD if event.says == CANNOT_SHIFT else Disposition.ITEM_BACK
    waits = {Disposition.HOLD, Disposition.ITEM_BACK}
    mine = {name: trip.pieces[name] for name in ticket.pieces if trip.pieces[name].disposition in waits}
    held = {name: replace(piece, disposition=now) for name, piece in mine.items()}
    return replace(trip, pieces={**trip.pieces, **held})


def _recheck(trip: Trip, event: e.RecheckStarted, stamp: Stamp) -> Trip:
    """Back to the start for these pieces; what had been found is told, and does not stand any more."""
    back = set(event.pieces)
    gone = tuple(f for f in trip.findings if f.piece in back)
    fresh = {
        name: replace(trip.pieces[name], yes={}, disposition=None, ticket="", note="", dirty="")
        for name in event.pieces
    }
    came = CameBack(
        ticket=event.ticket,
        load=event.load,
        pieces=event.pieces,
        names=tuple(trip.pieces[name].plan.name for name in event.pieces),
        codes=tuple(dict.fromkeys(f.code for f in gone)),
        says=event.says,
        at_ms=stamp.at_ms,
        found=found_on(gone),
    )
    rows = {row_of(trip, name) for name in event.pieces}
    hidden = {spot: mm for spot, mm in trip.not_seen.items() if spot.split(".")[0] not in back}
    trip = replace(trip, findings=tuple(f for f in trip.findings if f.piece not in back), not_seen=hidden, last=None)
    trip = replace(uncounted(trip), count_again="back", failed_rows=trip.failed_rows - rows, chosen=event.pieces[0])
    return replace(
        trip,
        pieces={**trip.pieces, **fresh},
        returned=(*trip.returned, *gone),
        came_back=(*trip.came_back, came),
        recheck=tuple(dict.fromkeys((*trip.recheck, *event.pieces))),
    )


def _opened_again(trip: Trip, event: e.TicketClosed, stamp: Stamp) -> Trip:
    """The whole tray is back, as a new trip that says what was returned."""
    if event.why != "new_trip":
        return trip
    came = CameBack(
        ticket=event.ticket,
        load=event.load,
        pieces=(),
        names=event.names,
        codes=event.codes,
        says=event.says,
        at_ms=stamp.at_ms,
        found=event.found,
    )
    return replace(trip, came_back=(*trip.came_back, came))


BENCH: dict[type, Callable[[Bench, Any, Stamp], Bench]] = {
    e.ItemBack: _went,
    e.TrayBack: _went,
    e.Handwritten: _written,
    e.Replaced: _replaced,
    e.TicketReceived: _received,
    e.TicketTold: _told,
    e.TicketNotHere: _not_here,
    e.TicketAbsenceSeen: _absence_seen,
    e.TicketAnswered: _answered,
    e.DirtyChecked: _checked,
    e.DirtyCheckFound: _used,
    e.TicketClosed: _closed,
    e.RecheckStarted: _recheck_over,
}
TRIP: dict[type, Callable[[Trip, Any, Stamp], Trip]] = {
    e.DirtyCheckFound: _found,
    e.AnswerHeard: _heard,
    e.RecheckStarted: _recheck,
    e.TicketClosed: _opened_again,
}
