"""A ticket that tells by its own code what it is about: taken in with the network down, and never twice."""

from typing import Any

from kiosk.core import commands as c
from kiosk.core import events as e
from kiosk.core.commands import Page
from kiosk.core.meaning import Kind, Meaning
from kiosk.core.state.tickets import TicketCard
from kiosk.core.ticket_card import card_of
from kiosk.core.together.returns import open_returns
from kiosk.core.views import IntakeView
from tests.core.two_sides import Sides, two_sides
from tests.core.two_sides import item_sent as sent

NUMBER = "K-10001"


def apart(**policy: Any) -> tuple[Sides, TicketCard]:
    """The piece went, and decontam's station has heard nothing of it; the card is what the ticket's code tells."""
    sides = sent(**policy)
    trip = sides.bench.bench.sent[NUMBER].trip
    return Sides(bench=sides.bench, dirty=two_sides(**policy).dirty), card_of(trip, trip.tickets[0])


def code(card: TicketCard, *, vouched: bool = True) -> c.Scanned:
    told = Meaning(kind=Kind.TICKET, text=card.number, card=card, code="T1:SIGNED:", vouched=vouched)
    return c.Scanned(meaning=told, typed=False)


def page(sides: Sides) -> IntakeView:
    view = sides.dirty.session.view()
    assert isinstance(view, IntakeView)
    return view


def test_with_the_network_down_the_scan_tells_decontam_what_was_found_and_where() -> None:
    sides, card = apart()
    events = sides.dirty.must(code(card))
    assert [event.card for event in events if isinstance(event, e.TicketTold)] == [card]
    view = page(sides)
    assert "Bone" in view.said
    assert view.band is not None
    assert view.band.flags
    assert any("4 cm" in line for line in view.todo)


def test_the_page_is_the_one_that_the_network_would_have_shown() -> None:
    sides, card = apart()
    sides.dirty.must(code(card))
    alone = page(sides)
    sides.hear()
    sides.dirty.must(c.Turn(page=Page.INTAKE, subject=NUMBER))
    heard = page(sides)
    for part in ("title", "help", "ring", "word", "scope", "said", "todo", "keys"):
        assert getattr(alone, part) == getattr(heard, part), part


def test_the_same_ticket_arriving_later_by_the_network_is_one_return_and_its_answer_stands() -> None:
    sides, card = apart()
    sides.dirty.must(code(card))
    sides.dirty.sign_in("D1")
    sides.dirty.must(c.AnswerTicket(ticket=NUMBER, says="cleaned"))
    sides.hear()
    (one,) = open_returns(sides.dirty.bench, sides.dirty.session.desk)
    assert (one.number, one.back.says) == (NUMBER, "cleaned")
    assert one.station == "B1"  # the bench's own word now
    assert sides.bench.bench.trips[card.trip].answers == {NUMBER: "cleaned"}


def test_a_number_that_was_typed_before_its_code_was_scanned_gets_its_details() -> None:
    sides, card = apart()
    sides.dirty.must(c.ReceiveTicket(ticket=NUMBER, by="typed"))
    sides.dirty.must(code(card))
    told = [kept.event for kept in sides.dirty.log if isinstance(kept.event, e.TicketReceived | e.TicketTold)]
    assert [type(event) for event in told] == [e.TicketReceived, e.TicketTold]
    assert "Bone" in page(sides).said


def test_a_code_that_is_scanned_twice_tells_once() -> None:
    sides, card = apart()
    sides.dirty.must(code(card))
    assert not [event for event in sides.dirty.must(code(card)) if isinstance(event, e.TicketTold | e.TicketReceived)]


def test_a_code_of_a_bench_that_is_not_known_says_so_and_leaves_it_to_the_paper() -> None:
    sides, card = apart()
    sides.dirty.must(code(card, vouched=False))
    assert "not known here" in " ".join((page(sides).notice, *page(sides).lines))
    sides.hear()
    sides.dirty.must(c.Turn(page=Page.INTAKE, subject=NUMBER))
    assert "not known here" not in " ".join((page(sides).notice, *page(sides).lines))
