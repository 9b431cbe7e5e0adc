"""What a return ticket carries in its own data code, so that it can be taken in with the network down.

Codes only, no names: each side says them in its own words, from its own catalogue.
"""

from kiosk.core.catalogue import Item, Tray
from kiosk.core.desk import Desk
from kiosk.core.plan import PiecePlan
from kiosk.core.state.bench import Sent
from kiosk.core.state.piece import FindingOn, Piece
from kiosk.core.state.tickets import CardFinding, Ticket, TicketCard
from kiosk.core.state.trip import Trip, found_on

MOST = 20
"""Findings that a code carries; of more it says how many there are."""


def card_of(trip: Trip, made: Ticket) -> TicketCard:
    """What the ticket of this trip carries."""
    found = [trip.finding(n) for n in made.findings]
    return TicketCard(
        number=made.number,
        trip=trip.id,
        tray=trip.tray.code,
        whole_tray=made.whole_tray,
        pieces=made.pieces,
        findings=found_on(found[:MOST]),
        why=made.why,
        load=trip.load or "",
        at_ms=made.at_ms,
        more=max(0, len(found) - MOST),
        marks=tuple(trip.pieces[name].mark for name in made.pieces),
    )


def sent_of(card: TicketCard, desk: Desk) -> Sent | None:
    """The return as decontam's pages show it, with the names of this side's catalogue; None: the tray is not in it."""
    tray = desk.catalogue.trays.get(card.tray)
    if tray is None:
        return None
    known = [found for found in card.findings if found.code in desk.findings.kinds]
    on = tuple(_finding(n, found, card, desk) for n, found in enumerate(known, 1))
    names = dict.fromkeys((*card.pieces, *(found.piece for found in known)))
    ticket = Ticket(
        number=card.number,
        whole_tray=card.whole_tray,
        pieces=card.pieces,
        findings=tuple(found.n for found in on),
        why=card.why,
        at_ms=card.at_ms,
    )
    marks = dict(zip(card.pieces, card.marks, strict=False))
    trip = Trip(
        id=card.trip,
        tray=tray,
        load=card.load or None,
        opened_ms=card.at_ms,
        opened_offset=0,
        opened_by="",
        policy=desk.policy.version,
        record=desk.catalogue.version,
        pieces={name: _piece(name, tray, marks.get(name, ""), card.number * (name in card.pieces)) for name in names},
        findings=on,
        tickets=(ticket,),
    )
    return Sent(ticket=ticket, trip=trip)


def _finding(n: int, found: CardFinding, card: TicketCard, desk: Desk) -> FindingOn:
    return FindingOn(
        n=n,
        piece=found.piece,
        key=found.key,
        code=found.code,
        group=desk.findings[found.code].group,
        place=found.place,
        by="",
        at_ms=card.at_ms,
        tool="",
        decided=True,
    )


def _piece(name: str, tray: Tray, mark: str, ticket: str) -> Piece:
    item = next((item for item in tray.items if item.id == name.partition("#")[0]), None)
    return Piece(plan=_plan(name, item), item=item, ticket=ticket, mark=mark)


def _plan(name: str, item: Item | None) -> PiecePlan:
    code, said = (item.id, item.name) if item else ("", name)
    return PiecePlan(piece=name, item=code, name=said, checks=(), lumens=(), seen_share=None, touched_share=None)
