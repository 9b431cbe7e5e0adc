"""What comes back from decontam, on the clean side: the piece with its load, the answer, the dirty side's record."""

from kiosk.core import events as e
from kiosk.core.agenda import next_step
from kiosk.core.commands import NoDirtyCheck, Page, SendBackClean, Turn
from kiosk.core.decide.holding import place_hold
from kiosk.core.decide.pen import Pen, Refused
from kiosk.core.dispositions import waits
from kiosk.core.meaning import Kind, Meaning
from kiosk.core.place import Place
from kiosk.core.startup import kit_today
from kiosk.core.state.bench import Sent
from kiosk.core.state.piece import Piece
from kiosk.core.state.tickets import Ticket
from kiosk.core.state.trip import Trip, found_on
from kiosk.core.together.answers import CANNOT_SHIFT, DAMAGED, GRAVE
from kiosk.core.together.loads import is_released
from kiosk.core.together.returns import (
    OpenReturn,
    answer_of,
    answers_differ,
    closed_at,
    dirty_record,
    find_return,
    goes_to_spares,
    may_come_back,
    went_whole,
)
from kiosk.core.vocabulary import Disposition

OPEN_TO_RETURNS = frozenset({"scan", "shelf"})
"""Where a piece can be said to be back: between two trays, and at the tray that only waits for it."""


def scanned(pen: Pen, meaning: Meaning) -> bool:
    """A washer load, or a ticket's number, between two trays: what came back with it? False: none of this."""
    step = next_step(pen.bench, pen.desk).kind
    if step not in OPEN_TO_RETURNS or not meaning.valid:
        return False
    if meaning.kind is Kind.LOAD and step == "scan" and may_come_back(pen.bench, pen.desk):
        pen.turn = Turn(page=Page.BACK, subject=f":{meaning.text}")
        return True
    if meaning.kind in {Kind.TICKET, Kind.SPARE_FORM}:
        found = find_return(pen.bench, pen.desk, meaning.text)
        if found is not None and found.sent is not None and not found.sent.ticket.whole_tray:
            pen.turn = Turn(page=Page.BACK, subject=f"{found.number}:")
            return True
    return False


def send_back_clean(pen: Pen, command: SendBackClean) -> None:
    """The piece is back with a released load: its ticket is closed, and its tray goes on with it, or it is a spare.

    A damaged one goes for repair, whatever its tray does.
    """
    if next_step(pen.bench, pen.desk).kind not in OPEN_TO_RETURNS:
        raise Refused("refused.not_asked")
    found = find_return(pen.bench, pen.desk, command.ticket)
    if found is None or found.sent is None or found.sent.ticket.whole_tray:
        raise Refused("refused.no_ticket")
    if any(one.says in GRAVE for one in answers_differ(pen.bench, pen.desk, found.number)):
        raise Refused("refused.answers_differ", number=found.number)
    if found.back.says == DAMAGED:
        _to_repair(pen, found)
        return
    if pen.desk.policy.load_release_required and not is_released(pen.bench, pen.desk, command.load):
        raise Refused("refused.load_open", load=command.load)
    if found.back.says == CANNOT_SHIFT:
        raise Refused("refused.cannot_shift")
    sent, own = found.sent, not found.station
    spare = goes_to_spares(pen.bench, pen.desk, found)
    trip = sent.trip.id if own else None
    pen.write(e.ItemReturnedClean(ticket=found.number, load=command.load), trip=trip, off_trip=not own)
    closed = _closed(found, why="spares" if spare else "returned", load=command.load)
    pen.write(closed, trip=trip, off_trip=not own)
    if spare:
        pen.say("notice.to_spares")
    elif own:
        recheck(pen, pen.bench.trips[sent.trip.id], sent.ticket, command.load, found.back.says)
        pen.say("notice.completes", tray=sent.trip.tray.name)
    else:
        pen.say("notice.completes_there", tray=sent.trip.tray.name, bench=found.station)


def _to_repair(pen: Pen, found: OpenReturn) -> None:
    """Decontam says that it is damaged: it leaves with a repair tag, made now where its tray went on without it."""
    assert found.sent is not None
    number, piece = found.number, found.sent.ticket.pieces[0]
    trip = None if found.station else pen.bench.trips.get(found.sent.trip.id)
    pen.write(_closed(found, why="repair", load=""), trip=trip.id if trip else None, off_trip=trip is None)
    if trip is None or trip.pieces[piece].disposition is Disposition.REPAIR:
        pen.say("notice.to_repair", number=number)
        return
    tag = _tag(pen, trip, found.sent.ticket)
    pen.write(e.PrintAsked(doc="repair_tag", number=tag), trip=trip.id)
    pen.say("notice.to_repair_tag", number=number, tag=tag)


def _tag(pen: Pen, trip: Trip, ticket: Ticket) -> str:
    """The repair tag of a piece that decontam found damaged."""
    tag = f"R-{pen.desk.bench_number}{pen.bench.tags_issued + 1:04d}"
    n = ticket.findings[-1] if ticket.findings else 0
    pen.write(e.RepairTagged(tag=tag, piece=ticket.pieces[0], n=n), trip=trip.id, who=pen.desk.decontam)
    return tag


def _closed(found: OpenReturn, *, why: str, load: str) -> e.TicketClosed:
    assert found.sent is not None
    trip = found.sent.trip
    return e.TicketClosed(
        ticket=found.number,
        why=why,
        load=load,
        names=tuple(trip.pieces[name].plan.name for name in found.sent.ticket.pieces),
        codes=tuple(dict.fromkeys(f.code for f in found.findings)),
        says=found.back.says,
        found=found_on(found.findings) if why == "new_trip" else (),
    )


def recheck(pen: Pen, trip: Trip, ticket: Ticket, load: str, says: str) -> None:
    """The waiting tray has its piece again: its hold falls, and it is planned and checked from the start."""
    back = set(ticket.pieces)
    still = [name for name in waits(trip) if name not in back]
    over = tuple(hold.id for hold in trip.holds if not any(name in still for name in hold.waits_for))
    if over:
        pen.write(e.HoldReleased(holds=over, why="returned clean"), trip=trip.id)
    pen.write(e.RecheckStarted(ticket=ticket.number, load=load, pieces=ticket.pieces, says=says), trip=trip.id)
    items = {p.item.id: p.item for name, p in trip.pieces.items() if name in back and p.item}
    if items:
        kit, out = kit_today(pen.bench, pen.desk)
        plans = pen.desk.make_plan(tuple(items.values()), pen.desk.policy, kit, out)
        pen.write(e.PlanShown(plans=tuple(plan for plan in plans if plan.piece in back)), trip=trip.id)
    for name in ticket.pieces:
        record = dirty_record(pen.bench, pen.desk, trip, name, ticket=ticket.number)
        if record is not None:
            pen.write(e.DirtyCheckFound(piece=name, id=record.id), trip=trip.id)


def send_to_be_checked(pen: Pen, piece: Piece) -> None:
    """What can not be reached here is marked not seen, and the piece goes to be looked at on the dirty side."""
    held = [entry for entry in piece.plan.lumens if entry.hold]
    for entry in held:
        if entry.not_seen or entry.not_seen_all:
            mm = int(entry.not_seen_mm) if entry.not_seen_mm is not None else None
            pen.write(e.NotSeenMarked(piece=piece.name, lumen=entry.lumen, mm=mm, all=entry.not_seen_all))
    ways = [entry.lumen for entry in held]
    place = Place(lumen=ways[0]) if len(ways) == 1 else Place(landmark=", ".join(ways))
    n = pen.trip.next_finding
    pen.write(e.Found(n=n, piece=piece.name, key="look", code="cannot_reach", group="check", place=place))


def no_dirty_check(pen: Pen, command: NoDirtyCheck) -> None:
    """The dirty side has no record of this trip for the piece: it goes back to be checked there."""
    step = next_step(pen.bench, pen.desk)
    if step.kind != "dirty_absent" or step.piece != command.piece:
        raise Refused("refused.not_asked")
    piece = pen.trip.pieces[command.piece]
    pen.write(e.DirtyCheckAbsent(piece=piece.name))
    ways = [entry.lumen for entry in piece.plan.lumens]
    place = Place(lumen=ways[0]) if len(ways) == 1 else Place(landmark=", ".join(ways))
    n = pen.trip.next_finding
    pen.write(e.Found(n=n, piece=piece.name, key="look", code="not_checked_dirty", group="check", place=place))


def settle(pen: Pen) -> None:
    """What is new for trays that wait here: closed elsewhere, answered by decontam, checked on the dirty side."""
    for sent in tuple(pen.bench.sent.values()):
        _hear(pen, sent)
    _whole_trays(pen)
    _dirty_checks(pen)


def _hear(pen: Pen, sent: Sent) -> None:
    number = sent.ticket.number
    trip = pen.bench.trips.get(sent.trip.id)
    busy = trip is not None and pen.bench.current == trip.id and next_step(pen.bench, pen.desk).kind != "shelf"
    if sent.ticket.whole_tray or busy:
        return
    going = trip is not None and not trip.ended
    if closed_at(pen.bench, pen.desk, number):
        load = next((b.closed[number] for b in pen.desk.others.values() if number in b.closed), "")
        says = answer_of(pen.bench, pen.desk, number)
        if says == DAMAGED:
            pen.write(e.TicketClosed(ticket=number, why="repair", load=load), off_trip=True)
        elif going and not sent.spare:
            assert trip is not None
            recheck(pen, trip, sent.ticket, load, says)
        else:
            pen.write(e.TicketClosed(ticket=number, why="spares", load=load), off_trip=True)
        return
    says = answer_of(pen.bench, pen.desk, number)
    if trip is not None and going and says and trip.answers.get(number) != says:
        _answered(pen, trip, sent, says)


def _answered(pen: Pen, trip: Trip, sent: Sent, says: str) -> None:
    """Decontam's answer reaches the tray. What will not come off is held and told; what is damaged goes for repair."""
    number, piece = sent.ticket.number, sent.ticket.pieces[0]
    before = trip.answers.get(number)
    pen.write(e.AnswerHeard(ticket=number, says=says), trip=trip.id, who=pen.desk.decontam)
    if before == CANNOT_SHIFT:
        over = tuple(hold.id for hold in trip.holds if hold.code == CANNOT_SHIFT and piece in hold.waits_for)
        if over:
            pen.write(e.HoldReleased(holds=over, why="answered anew"), trip=trip.id, who=pen.desk.decontam)
    if says == CANNOT_SHIFT:
        place_hold(pen, CANNOT_SHIFT, sent.ticket.pieces, trip=trip.id, who=pen.desk.decontam)
        pen.write(e.LeadTold(piece=piece, why=CANNOT_SHIFT), trip=trip.id, who=pen.desk.decontam)
    if says == DAMAGED and trip.pieces[piece].disposition is Disposition.ITEM_BACK and not sent.spare:
        _tag(pen, trip, sent.ticket)


def _whole_trays(pen: Pen) -> None:
    """A tray that went as a whole is open again with the load it came back with: its tickets are closed, and the new
    trip says what was returned."""
    trip = pen.bench.trip
    if trip is None or trip.ended or (trip.load is None and pen.desk.policy.load_release_required):
        return
    for found in went_whole(pen.bench, pen.desk, trip.tray.code):
        if found.sent is not None and found.sent.trip.id != trip.id:
            pen.write(_closed(found, why="new_trip", load=trip.load or ""), trip=trip.id)


def _dirty_checks(pen: Pen) -> None:
    """Where lumens are checked on the dirty side, this trip stands on the record of this trip."""
    trip = pen.bench.trip
    if pen.desk.policy.verify_where == "clean" or trip is None or trip.ended:
        return
    for piece in trip.pieces.values():
        if piece.item is None or not piece.item.lumens or piece.dirty or piece.disposition is not None:
            continue
        ticket = next((came.ticket for came in reversed(trip.came_back) if piece.name in came.pieces), "")
        record = dirty_record(pen.bench, pen.desk, trip, piece.name, ticket=ticket)
        if record is not None:
            pen.write(e.DirtyCheckFound(piece=piece.name, id=record.id))
