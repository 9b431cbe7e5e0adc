"""The rules of decontam's side: taking in, answering, recording a check. What comes back is in `returning`."""

from collections.abc import Callable
from typing import Any

from kiosk.core import events as e
from kiosk.core.catalogue import Tray
from kiosk.core.commands import (
    AnswerTicket,
    CheckDirty,
    Heard,
    NoDirtyCheck,
    NotHere,
    Page,
    PrintCopy,
    ReceiveTicket,
    Scanned,
    SeeAbsent,
    SendBackClean,
    Turn,
)
from kiosk.core.decide import opening, returning
from kiosk.core.decide.pen import Pen, Refused
from kiosk.core.meaning import Kind, Meaning
from kiosk.core.state.tickets import TicketCard
from kiosk.core.together.answers import ANSWERS, CAREFUL, CLEANED, NOTHING, said_after
from kiosk.core.together.returns import absent, answers_differ, answers_on, at_decontam, find_return, is_decontam


def scanned(pen: Pen, command: Scanned) -> None:
    """At decontam's station a ticket is taken in by its scan alone; on the clean side it asks for what came back."""
    meaning = command.meaning
    if not at_decontam(pen.bench, pen.desk):
        if not returning.scanned(pen, meaning):
            opening.scanned(pen, command)
        return
    if meaning.kind in {Kind.TICKET, Kind.SPARE_FORM}:
        take_in(pen, meaning.text, by="typed" if command.typed else "scan", told=meaning)
    elif meaning.kind is Kind.PERSON and meaning.text != pen.bench.who:
        pen.turn = Turn(page=Page.PIN, subject=meaning.text)
    elif meaning.kind is Kind.TRAY and meaning.text in pen.desk.catalogue.trays:
        pen.turn = Turn(page=Page.DIRTY, subject=meaning.text)
    elif meaning.kind is not Kind.PERSON:
        opening.wrong(pen, meaning)


def receive(pen: Pen, command: ReceiveTicket) -> None:
    """I have it."""
    take_in(pen, command.ticket, by=command.by)


def take_in(pen: Pen, number: str, *, by: str, told: Meaning | None = None) -> None:
    """Take a return in. A number that nobody knows here is taken in all the same: its details follow.
    One that was typed, with a bench in touch, is read once more before.

    `told`: where the ticket's data code was scanned, its details are in it.
    """
    _dirty_side(pen)
    if pen.desk.policy.decontam_sign_in == "always" and pen.bench.who is None:
        raise Refused("refused.sign_in_first")
    known = find_return(pen.bench, pen.desk, number)
    if known is None and told is not None and by == "typed" and pen.desk.others:
        pen.turn = Turn(page=Page.NOT_LISTED, subject=number)
        return
    ticket = known.number if known else number
    pen.turn = Turn(page=Page.INTAKE, subject=ticket)
    card = told.card if told is not None and (known is None or known.sent is None) else None
    if known is not None and known.received:
        pen.say("notice.taken_in_before", number=ticket)
        _told(pen, told, card)
        return
    form = number if known is not None and number != ticket else ""
    pen.write(e.TicketReceived(ticket=ticket, by=by, known=known is not None and known.sent is not None, form=form))
    pen.say("notice.taken_in" if known or card else "notice.details_follow", number=ticket)
    _told(pen, told, card)


def _told(pen: Pen, told: Meaning | None, card: TicketCard | None) -> None:
    """What the code tells is kept with its signed text."""
    if told is not None and card is not None:
        pen.write(e.TicketTold(card=card, code=told.code, vouched=told.vouched))


def _dirty_side(pen: Pen) -> None:
    if not at_decontam(pen.bench, pen.desk):
        raise Refused("refused.dirty_side")


def not_here(pen: Pen, command: NotHere) -> None:
    """Looked for, and not there: the bench is told on its screen. Or a number that was wrong: nothing came with it."""
    _dirty_side(pen)
    known = find_return(pen.bench, pen.desk, command.ticket)
    if known is None or (known.received and known.sent is not None):
        raise Refused("refused.not_asked")
    pen.write(e.TicketNotHere(ticket=known.number))
    pen.say("notice.bench_told" if known.sent else "notice.number_gone", number=known.number)
    if known.sent is None:
        pen.turn = Turn()


def see_absent(pen: Pen, command: SeeAbsent) -> None:
    """Read at the bench: the rail says it no longer. The return stays open, and on the lists, until it turns up."""
    if not any(each.number == command.ticket for each in absent(pen.bench, pen.desk)):
        raise Refused("refused.not_asked")
    pen.write(e.TicketAbsenceSeen(ticket=command.ticket), off_trip=True)
    pen.turn = Turn(page=Page.ABSENT) if absent(pen.bench, pen.desk) else None


def answer(pen: Pen, command: AnswerTicket) -> None:
    """Found and cleaned, nothing found, will not come off, damaged. The last answer stands."""
    _dirty_side(pen)
    known = find_return(pen.bench, pen.desk, command.ticket)
    if known is None or not known.received or command.says not in ANSWERS:
        raise Refused("refused.not_asked")
    differs = answers_differ(pen.bench, pen.desk, known.number)
    if differs and CAREFUL.index(command.says) < CAREFUL.index(known.back.says):
        raise Refused("refused.answers_differ", number=known.number)  # an easier word takes none away
    if known.wants_check and command.says in {CLEANED, NOTHING}:
        _check_for_ticket(pen, command.ticket)
    over = said_after(answers_on(pen.bench, pen.desk, known.number), differs)
    pen.write(e.TicketAnswered(ticket=known.back.ticket, says=command.says, over=over))
    pen.say(f"notice.answered.{command.says}", number=known.number)
    pen.turn = Turn()


def _check_for_ticket(pen: Pen, number: str) -> None:
    """The piece went to be looked at on this side: the answer is the record of that check."""
    known = find_return(pen.bench, pen.desk, number)
    assert known is not None
    if known.sent is not None:
        check_dirty(
            pen, CheckDirty(tray=known.sent.trip.tray.code, pieces=known.sent.ticket.pieces, ticket=known.number)
        )


def check_dirty(pen: Pen, command: CheckDirty) -> None:
    """Looked at on the dirty side by the IFU, and nothing was seen: a record each piece."""
    _dirty_side(pen)
    tray = pen.desk.catalogue.trays.get(command.tray)
    if not command.ticket and (tray is None or not set(command.pieces) <= set(lumened(tray))):
        raise Refused("refused.not_asked")
    side = "D" if pen.desk.side == "decontam" else "B"
    for piece in command.pieces:
        number = f"{side}{pen.desk.bench_number}/{pen.bench.dirty_checks_made + 1}"
        pen.write(e.DirtyChecked(id=number, tray=command.tray, piece=piece, ticket=command.ticket))
    if not command.ticket:
        pen.say("notice.dirty_checked", n=len(command.pieces))


def lumened(tray: Tray) -> tuple[str, ...]:
    """The names of a tray's lumened pieces, as a plan names them."""
    return tuple(
        item.id if item.qty == 1 else f"{item.id}#{n}"
        for item in tray.items
        if item.lumens
        for n in range(1, item.qty + 1)
    )


def print_copy(pen: Pen, command: PrintCopy) -> None:
    """A paper of a trip once more, marked as a copy; nothing prints that nobody asked for."""
    trip = pen.bench.trips.get(command.trip)
    jobs = [job for job in trip.jobs if (job.doc, job.number) == (command.doc, command.number)] if trip else []
    if not jobs or command.doc == "package_label" or not jobs[-1].settled:
        raise Refused("refused.not_asked")
    copy = max(job.copy for job in jobs) + 1
    pen.write(e.PrintAsked(doc=command.doc, number=command.number, copy=copy), trip=command.trip)


def heard(pen: Pen, command: Heard) -> None:
    """News of other stations: what follows is written by `settle`."""


RULES: dict[type, Callable[[Pen, Any], None]] = {
    Scanned: scanned,
    ReceiveTicket: receive,
    NotHere: not_here,
    SeeAbsent: see_absent,
    AnswerTicket: answer,
    CheckDirty: check_dirty,
    SendBackClean: returning.send_back_clean,
    NoDirtyCheck: returning.no_dirty_check,
    PrintCopy: print_copy,
    Heard: heard,
}
BY_NOBODY: tuple[type, ...] = (ReceiveTicket, NotHere, Heard)
"""Commands that need nobody signed in."""


def settle(pen: Pen) -> None:
    """What follows by itself: a clean-side person at the dirty side is told so; trays that wait hear what is new."""
    came = any(isinstance(kept.event, e.SignedIn) for kept in pen.kept)
    if came and pen.desk.side == "decontam" and not is_decontam(pen.bench, pen.desk):
        pen.say("notice.dirty_side")
    if pen.desk.side == "clean":
        returning.settle(pen)
