"""What came back from decontam is told where it matters: the answer, the place, the load; and what may not go on."""

from dataclasses import replace

import pytest

from kiosk.core import commands as c
from kiosk.core import events as e
from kiosk.core.commands import Page
from kiosk.core.composing import Order, compose
from kiosk.core.meaning import Kind
from kiosk.core.papers import PackageLabel, ReturnTicket
from kiosk.core.place import Place
from kiosk.core.state.trip import every_load_of
from kiosk.core.views import AskView, IntakeView, OverviewView, StepsView, StopView
from kiosk.core.vocabulary import Disposition
from tests.core.department import EAR, Shift, scan
from tests.core.two_sides import Sides, item_sent, two_sides

TICKET = "K-10001"


def answered(says: str) -> Sides:
    """A piece is at decontam, and decontam said this."""
    sides = item_sent()
    sides.at_decontam(scan(TICKET, Kind.TICKET))
    sides.dirty.sign_in("D1")
    sides.at_decontam(c.AnswerTicket(ticket=TICKET, says=says))
    return sides


def page_of(shift: Shift) -> StopView:
    view = shift.session.view()
    assert isinstance(view, StopView)
    return view


def whole_tray() -> Sides:
    """The ear set went back as a whole for grit at 4 cm; decontam found it and cleaned it."""
    sides = two_sides()
    shift = sides.bench
    shift.sign_in()
    shift.open(EAR)
    shift.count()
    shift.yes_until("A1.bore.swab")
    shift.no("bone_grit", Place(lumen="bore", at_mm=40))
    shift.confirm("tray_back")
    shift.tidy()
    sides.at_decontam(scan(TICKET, Kind.TICKET))
    sides.dirty.sign_in("D1")
    sides.at_decontam(c.AnswerTicket(ticket=TICKET, says="cleaned"))
    return sides


@pytest.mark.parametrize(("says", "key"), [("cannot_shift", ""), ("damaged", "to repair")])
def test_what_decontam_can_not_give_back_never_completes_a_tray(says: str, key: str) -> None:
    sides = answered(says)
    sides.at_bench(scan(TICKET, Kind.TICKET))
    view = page_of(sides.bench)
    assert "does not go" in view.sentence
    assert (view.main.name if view.main else "") == key


def test_a_damaged_piece_leaves_for_repair_and_its_tray_still_waits() -> None:
    sides = answered("damaged")
    events = sides.at_bench(c.SendBackClean(ticket=TICKET, load="W-1"))
    assert [event.why for event in events if isinstance(event, e.TicketClosed)] == ["repair"]
    assert not [event for event in events if isinstance(event, e.RecheckStarted)]
    trip = sides.bench.bench.trips["1-000001"]
    assert trip.pieces["A1"].disposition is Disposition.REPAIR
    assert trip.holds


def test_a_damaged_piece_whose_tray_took_a_spare_gets_its_repair_tag_now() -> None:
    sides = item_sent()
    sides.at_bench(scan(EAR), c.RuleSubstitute(by="S1", piece="A1", spare="X1"))
    sides.at_decontam(scan(TICKET, Kind.TICKET))
    sides.dirty.sign_in("D1")
    sides.at_decontam(c.AnswerTicket(ticket=TICKET, says="damaged"))
    sides.bench.must(c.StopHere(reason="break"))
    events = sides.at_bench(c.SendBackClean(ticket=TICKET, load="W-1"))
    kinds = [type(event) for event in events if not isinstance(event, e.ItemReturnedClean)]
    assert kinds == [e.TicketClosed, e.RepairTagged, e.PrintAsked]


def test_a_piece_that_is_back_can_be_said_at_its_waiting_tray() -> None:
    sides = answered("cleaned")
    sides.at_bench(scan(EAR))
    view = sides.bench.session.view()
    assert isinstance(view, StepsView)
    assert "Scan its ticket" in view.notice
    sides.at_bench(scan(TICKET, Kind.TICKET), scan("W-1", Kind.LOAD))
    assert page_of(sides.bench).main is not None
    events = sides.at_bench(c.SendBackClean(ticket=TICKET, load="W-1"))
    assert [event.pieces for event in events if isinstance(event, e.RecheckStarted)] == [("A1",)]


def test_the_check_where_it_was_found_says_so_and_marks_the_place() -> None:
    sides = answered("cleaned")
    sides.at_bench(c.SendBackClean(ticket=TICKET, load="W-1"), scan(EAR))
    shift = sides.bench
    if shift.session.turn is not None:
        shift.must(c.Confirm(what="covered", subject=shift.session.turn.subject))
    shift.yes_until("A1.bore.swab")
    shift.must(c.Turn())
    view = shift.session.view()
    assert isinstance(view, AskView)
    assert any("Bone" in fact for fact in view.facts)
    assert any("found and cleaned" in fact for fact in view.facts)
    assert view.band is not None
    assert [flag.place.at_mm for flag in view.band.flags] == [40]


def test_a_tray_that_went_back_as_a_whole_asks_for_the_load_it_came_back_with() -> None:
    sides = whole_tray()
    shift = sides.bench
    sides.at_bench(scan(EAR))
    assert shift.step.kind == "load"
    shift.send(scan("W-1", Kind.LOAD))
    assert shift.refused == "refused.load_spent"
    shift.must(scan(shift.wash(EAR), Kind.LOAD))
    assert shift.step.kind == "count"


def test_a_whole_tray_that_is_back_says_on_its_first_page_and_at_the_check_what_had_been_found() -> None:
    sides = whole_tray()
    shift = sides.bench
    sides.hear()
    shift.open(EAR)
    view = shift.session.view()
    assert isinstance(view, OverviewView)
    said = " ".join(view.facts)
    assert "Bone" in said
    assert "found and cleaned" in said
    shift.must(c.Turn())
    shift.count()
    shift.yes_until("A1.bore.swab")
    check = shift.session.view()
    assert isinstance(check, AskView)
    assert any("Bone" in fact for fact in check.facts)
    assert check.band is not None
    assert [flag.place.at_mm for flag in check.band.flags] == [40]


def test_part_c_of_a_whole_trays_ticket_does_not_speak_of_a_tray_on_the_shelf() -> None:
    shift = whole_tray().bench
    trip = shift.bench.trips["1-000001"]
    paper = compose(shift.session.glance(), Order(trip=trip, doc="return_ticket", number=TICKET))
    assert isinstance(paper, ReturnTicket)
    said = " ".join((paper.part_c, *(line.label for line in paper.c_lines)))
    for word in ("covered", "Covered", "Shelf", "waits"):
        assert word not in said


def test_the_label_names_the_load_of_a_piece_that_came_back_too() -> None:
    sides = answered("cleaned")
    shift = sides.bench
    load = shift.wash("TR-9")
    sides.at_bench(c.SendBackClean(ticket=TICKET, load=load), scan(EAR))
    trip = shift.trip
    assert every_load_of(trip) == ("W-1", load)
    glance = shift.session.glance()
    done = replace(trip, package="B1-310306-0001", packed_ms=shift.at_ms)
    label = compose(glance, Order(trip=done, doc="package_label", number="B1-310306-0001"))
    assert isinstance(label, PackageLabel)
    assert any(load in fact.value for fact in label.facts)


def test_a_typed_number_that_no_bench_has_told_of_is_read_once_more() -> None:
    sides = item_sent()
    sides.at_decontam(c.Scanned(meaning=scan("K-19999", Kind.TICKET).meaning, typed=True))
    view = page_of(sides.dirty)
    assert "on no bench's list" in view.title
    assert not sides.dirty.bench.returns
    sides.at_decontam(c.ReceiveTicket(ticket="K-19999", by="typed"))
    assert sides.dirty.bench.returns["K-19999"].received_ms


def test_a_wrong_number_that_was_taken_in_can_be_taken_off_the_list() -> None:
    sides = item_sent()
    sides.at_decontam(c.ReceiveTicket(ticket="K-19999", by="typed"))
    view = sides.dirty.session.view()
    assert isinstance(view, IntakeView)
    assert "wrong number" in [key.name for key in view.keys]
    sides.at_decontam(c.NotHere(ticket="K-19999"))
    assert "K-19999" not in sides.open_numbers()


def test_decontam_counts_returns_in_a_row_as_the_benchs_own_paper_does() -> None:
    sides = item_sent()
    trip = sides.bench.bench.sent[TICKET].trip
    paper = compose(sides.bench.session.glance(), Order(trip=trip, doc="return_ticket", number=TICKET))
    assert isinstance(paper, ReturnTicket)
    sides.at_decontam(scan(TICKET, Kind.TICKET), c.Turn(page=Page.INTAKE, subject=TICKET))
    view = sides.dirty.session.view()
    assert isinstance(view, IntakeView)
    assert not paper.effort
    assert "return" not in " ".join(view.lines)
