"""Failed checks in a row: on the piece's own mark across trays and stations, else on this line of this tray."""

from dataclasses import replace

from kiosk.core import commands as c
from kiosk.core import events as e
from kiosk.core.composing import Order, compose
from kiosk.core.meaning import Kind
from kiosk.core.papers import ReturnTicket, Tag
from kiosk.core.state.bench import Bench
from kiosk.core.together.repeats import in_a_row, often, visits
from kiosk.core.views import AskView, ListView
from kiosk.core.vocabulary import Disposition
from kiosk.store.codec import from_bytes, to_bytes
from tests.core.department import BIG, EAR, TUBE, Shift, at_work, desk, names, scan

MARK = "SH-0031"
DAYS = 24 * 60


def marked(*, other: str = BIG) -> Shift:
    """The bent tube of two trays is the same marked piece: its record says so."""
    tube = replace(TUBE, own_mark=True, marks=(MARK,))
    around = desk()
    trays = dict(around.catalogue.trays)
    for code in (EAR, other):
        trays[code] = replace(trays[code], items=tuple(tube if i.id == TUBE.id else i for i in trays[code].items))
    shift = Shift(desk=replace(around, catalogue=replace(around.catalogue, trays=trays)))
    shift.sign_in()
    return shift


def found_again(shift: Shift, tray: str) -> list[e.Event]:
    """Opened, counted, grit in the tube: what the confirmation brings. The whole tray goes, so that it comes again."""
    shift.open(tray)
    shift.count()
    shift.must(c.OpenPiece(piece="A1"))
    shift.yes_until("A1.bore.swab")
    shift.no("bone_grit")
    return shift.confirm("tray_back")


def test_failed_checks_are_counted_on_the_mark_across_trays() -> None:
    shift = marked()
    assert "lead_told" not in names(found_again(shift, EAR))
    shift.tidy()
    assert "lead_told" in names(found_again(shift, BIG))
    shift.tidy()
    shift.open(EAR)
    shift.count()
    shift.yes_until("A1.bore.swab")
    events = shift.no("bone_grit") + shift.must(c.NoPhoto(reason="too_dark"))
    assert {"quarantined", "hold_placed", "lead_told"} <= set(names(events))
    assert shift.trip.tickets == ()
    assert shift.trip.pieces["A1"].disposition is Disposition.QUARANTINE


def test_failed_checks_at_another_station_count_on_the_same_mark() -> None:
    other = marked()
    found_again(other, EAR)
    other.tidy()
    found_again(other, EAR)
    shift = marked()
    shift.session.hear("B2", other.log)
    shift.minutes(60)
    shift.open(BIG)
    shift.count()
    shift.must(c.OpenPiece(piece="A1"))
    shift.yes_until("A1.bore.swab")
    assert "quarantined" in names(shift.no("bone_grit") + shift.must(c.NoPhoto(reason="too_dark")))


def test_without_a_mark_the_line_of_the_tray_counts_and_no_other_tray_does() -> None:
    shift = at_work(EAR)
    shift.yes_until("A1.bore.swab")
    shift.no("bone_grit")
    shift.confirm("tray_back")
    shift.tidy()
    assert "lead_told" not in names(found_again(shift, BIG))
    assert set(shift.bench.turnouts) >= {"TR-1/A1", "TR-2/A1"}


def test_a_pass_between_two_failed_checks_starts_the_row_again() -> None:
    shift = marked()
    found_again(shift, EAR)
    shift.tidy()
    shift.open(BIG)
    shift.count()
    shift.must(c.OpenPiece(piece="A1"))
    shift.yes_until("A3.look")
    assert in_a_row(visits(shift.bench, shift.session.desk, f"mark {MARK}")) == 0


def test_the_tag_says_which_time_it_is_and_who_decides_and_names_no_tech() -> None:
    shift = marked()
    for tray in (EAR, BIG):
        found_again(shift, tray)
        shift.tidy()
    shift.open(EAR)
    shift.count()
    shift.yes_until("A1.bore.swab")
    shift.no("bone_grit")
    shift.must(c.NoPhoto(reason="too_dark"))
    number = shift.trip.pieces["A1"].ticket
    tag = compose(shift.session.glance(), Order(trip=shift.trip, doc="quarantine_tag", number=number))
    assert isinstance(tag, Tag)
    facts = {line.label: line.value for line in tag.facts}
    assert facts["Rule"] == "third failed check in a row"
    assert facts["Ruled by"] == "supervisor decides"
    assert (tag.state, MARK in tag.piece) == ("still soiled: bag it", True)
    assert "Person T1" not in repr(tag)


def test_the_second_return_says_so_on_the_ticket_with_the_mark() -> None:
    shift = marked()
    found_again(shift, EAR)
    shift.tidy()
    found_again(shift, BIG)
    made = shift.trip.tickets[-1]
    paper = compose(shift.session.glance(), Order(trip=shift.trip, doc="return_ticket", number=made.number))
    assert isinstance(paper, ReturnTicket)
    assert paper.effort == "SECOND RETURN"
    assert MARK in paper.pieces[0]


def test_three_in_the_window_are_listed_even_with_a_pass_between() -> None:
    shift = marked()
    for _ in range(2):
        found_again(shift, EAR)
        shift.tidy()
    shift.open(BIG)
    shift.count()
    shift.must(c.OpenPiece(piece="A1"))
    shift.yes_until("A3.look")
    assert often(shift.bench, shift.session.desk, shift.at_ms) == {}
    shift.must(c.StopHere(reason="break"))
    found_again(shift, EAR)
    assert list(often(shift.bench, shift.session.desk, shift.at_ms)) == [f"mark {MARK}"]
    shift.session.turn = c.Turn(page=c.Page.OFTEN)
    view = shift.session.view()
    assert isinstance(view, ListView)
    assert (view.rows[0].title, view.rows[0].value) == (f"Mark {MARK}", "3 times")
    assert often(shift.bench, shift.session.desk, shift.at_ms + 31 * DAYS * 60_000) == {}


def test_a_scanned_mark_chooses_its_piece_and_a_strange_mark_opens_nothing() -> None:
    shift = marked()
    shift.open(BIG)
    shift.count()
    shift.must(scan(MARK, Kind.ITEM))
    shift.yes_until("A1.look")
    assert shift.step.piece == "A1"
    shift.send(scan("SH-9999", Kind.ITEM))
    assert shift.session.notice == ("notice.scan.item", {"text": "SH-9999"})


def test_a_piece_that_carries_a_mark_asks_for_it_and_is_counted_on_the_line_until_it_is_read() -> None:
    shift = marked()
    tube = replace(TUBE, own_mark=True)
    known = shift.session.desk.catalogue
    trays = {**known.trays, EAR: replace(known.trays[EAR], items=(tube, *known.trays[EAR].items[1:]))}
    shift.session.use(replace(shift.session.desk, catalogue=replace(known, trays=trays)))
    shift.open(EAR)
    shift.count()
    shift.yes_until("A1.look")
    view = shift.session.view()
    assert isinstance(view, AskView)
    assert "Scan its mark" in view.facts
    shift.must(scan("QX-1", Kind.ITEM))
    view = shift.session.view()
    assert isinstance(view, AskView)
    assert "QX-1" in view.facts


def test_a_bench_where_a_piece_was_found_again_can_be_noted_for_a_faster_start() -> None:
    shift = marked()
    found_again(shift, EAR)
    assert from_bytes(Bench, to_bytes(shift.bench)) == shift.bench
