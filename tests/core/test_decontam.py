"""Decontam's side: taking in, answering, handing over. Source of each rule: JOB 3 and 6, FORMS 6, POLICY E."""

import pytest

from kiosk.codes.house import decode, with_check
from kiosk.core import commands as c
from kiosk.core import events as e
from kiosk.core.agenda import Step
from kiosk.core.commands import Page
from kiosk.core.composing import ReportOrder, compose_report
from kiosk.core.meaning import Kind, Meaning
from kiosk.core.papers import Report
from kiosk.core.together.answers import ANSWERS
from kiosk.core.together.returns import answer_of, at_decontam
from kiosk.core.views import IdleView, IntakeView, ListView, StopView
from tests.core.department import EAR, PIN, scan
from tests.core.two_sides import Sides, item_sent, received, two_sides

TICKET = "K-10001"


def names(view: ListView) -> list[str]:
    return [row.name for row in view.rows]


def to_the_dirty_side_check(sides: Sides) -> Step:
    """The bench says YES until a piece is asked for that has no dirty-side check on record."""
    while (step := sides.bench.step).kind != "dirty_absent":
        sides.bench.yes()
    return step


def handover(sides: Sides) -> ListView:
    sides.at_decontam(c.Turn(page=Page.RETURNS), c.Turn(page=Page.HANDOVER))
    view = sides.dirty.session.view()
    assert isinstance(view, ListView)
    return view


def test_one_scan_takes_a_return_in_with_nobody_signed_in() -> None:
    sides = item_sent()
    events = sides.at_decontam(scan(TICKET, Kind.TICKET))
    assert [(event.ticket, event.by) for event in events if isinstance(event, e.TicketReceived)] == [(TICKET, "scan")]
    assert sides.dirty.bench.who is None
    assert sides.return_(TICKET).received


def test_a_return_that_was_taken_in_before_is_not_taken_in_twice() -> None:
    sides = item_sent()
    sides.at_decontam(scan(TICKET, Kind.TICKET))
    again = sides.at_decontam(scan(TICKET, Kind.TICKET))
    assert not [event for event in again if isinstance(event, e.TicketReceived)]
    view = sides.dirty.session.view()
    assert isinstance(view, IntakeView)
    assert "taken in before" in view.notice


def test_a_ticket_that_this_station_does_not_know_is_taken_in_and_its_details_follow() -> None:
    sides = two_sides()
    events = sides.at_decontam(scan("K-90001", Kind.TICKET))
    assert [event.known for event in events if isinstance(event, e.TicketReceived)] == [False]
    view = sides.dirty.session.view()
    assert isinstance(view, IntakeView)
    assert (view.word, view.band) == ("READ THE PAPER", None)


@pytest.mark.parametrize("says", ANSWERS)
def test_each_answer_is_known_at_the_bench(says: str) -> None:
    sides = received()
    sides.at_decontam(c.AnswerTicket(ticket=TICKET, says=says))
    assert answer_of(sides.bench.bench, sides.bench.session.desk, TICKET) == says


@pytest.mark.parametrize("says", ["cannot_shift", "damaged"])
def test_an_answer_with_consequences_is_said_back_before_it_counts(says: str) -> None:
    sides = received()
    view = sides.dirty.session.view()
    if not isinstance(view, IntakeView):
        sides.at_decontam(c.Turn(page=Page.INTAKE, subject=TICKET))
        view = sides.dirty.session.view()
    assert isinstance(view, IntakeView)
    key = next(key for key in view.keys if key.name == f"answer {says}")
    assert key.send is not None
    sides.at_decontam(key.send)
    asked = sides.dirty.session.view()
    assert isinstance(asked, StopView)
    assert sides.return_(TICKET).back.says == ""
    assert asked.main is not None
    assert asked.main.send is not None
    sides.at_decontam(asked.main.send)
    assert sides.return_(TICKET).back.says == says


def test_an_answer_to_a_return_that_was_not_taken_in_is_not_taken() -> None:
    sides = item_sent()
    sides.hear()
    sides.dirty.send(c.AnswerTicket(ticket=TICKET, says="cleaned"))
    assert sides.return_(TICKET).back.says == ""


def test_a_return_that_is_not_here_is_off_the_number_and_on_the_handover() -> None:
    sides = item_sent()
    sides.at_decontam(c.NotHere(ticket=TICKET))
    view = sides.dirty.session.view()
    if not isinstance(view, IdleView):
        sides.at_decontam(c.Turn())
        view = sides.dirty.session.view()
    assert isinstance(view, IdleView)
    assert view.number == ""
    assert names(handover(sides)) == [f"back_absent {TICKET}"]


def test_a_person_of_decontam_at_a_clean_bench_sees_decontams_work() -> None:
    sides = item_sent()
    sides.at_bench(c.SignOut(), c.EnterPin(person="D1", pin=PIN))
    assert at_decontam(sides.bench.bench, sides.bench.session.desk)
    assert isinstance(sides.bench.session.view(), IdleView)
    sides.at_bench(scan(TICKET, Kind.TICKET))
    assert sides.return_(TICKET).received


def test_decontam_hands_over_what_it_has_not_taken_in_then_what_it_has_not_answered() -> None:
    sides = item_sent()
    assert names(handover(sides)) == [f"back_coming {TICKET}"]
    sides.at_decontam(scan(TICKET, Kind.TICKET))
    assert names(handover(sides)) == [f"back_here {TICKET}"]


def test_what_will_not_come_off_stays_on_decontams_handover_and_what_was_cleaned_leaves_it() -> None:
    sides = received()
    sides.at_decontam(c.AnswerTicket(ticket=TICKET, says="cannot_shift"))
    assert names(handover(sides)) == [f"back_stuck {TICKET}"]
    sides.at_decontam(c.AnswerTicket(ticket=TICKET, says="cleaned"))
    assert names(handover(sides)) == []


def test_the_returns_page_leads_to_the_handover_and_a_row_to_its_return() -> None:
    sides = item_sent()
    sides.at_decontam(c.Turn(page=Page.RETURNS))
    view = sides.dirty.session.view()
    assert isinstance(view, ListView)
    key = next(key for key in view.others if key.name == "handover list")
    assert key.send is not None
    sides.at_decontam(key.send)
    listed = sides.dirty.session.view()
    assert isinstance(listed, ListView)
    assert listed.rows[0].send == c.Turn(page=Page.INTAKE, subject=TICKET)


def test_decontam_takes_over_by_name_without_a_role_at_the_desk() -> None:
    sides = received()
    events = sides.at_decontam(c.TakeHandover())
    assert [event.lines for event in events if isinstance(event, e.HandoverTaken)] == [1]
    assert "Taken over by" in handover(sides).help


def test_nobody_takes_decontam_over_without_signing_in() -> None:
    sides = item_sent()
    sides.hear()
    assert not sides.dirty.send(c.TakeHandover())


def test_decontams_handover_paper_holds_its_returns_and_no_names() -> None:
    sides = received()
    sides.at_decontam(c.PrintReport(doc="handover_list"))
    job = sides.dirty.bench.jobs[-1]
    assert job.number.startswith("HL-D1")
    session = sides.dirty.session
    paper = compose_report(session.glance(), ReportOrder(doc=job.doc, number=job.number))
    assert isinstance(paper, Report)
    assert paper.headline == ("1 return waits for an answer.",)
    assert paper.sections[0].title == "Taken in, not answered"
    assert [line.label for line in paper.sections[0].lines] == [TICKET]


def test_the_desks_handover_does_not_hold_decontams_lines() -> None:
    sides = item_sent()
    sides.at_bench(c.SignOut(), c.EnterPin(person="S1", pin=PIN), c.Turn(page=Page.HANDOVER))
    view = sides.bench.session.view()
    assert isinstance(view, ListView)
    assert not [name for name in names(view) if name.startswith("back_")]


@pytest.mark.parametrize("where", ["dirty", "both"])
def test_a_tray_without_a_dirty_side_check_waits_until_decontam_records_it(where: str) -> None:
    sides = two_sides(verify_where=where)
    sides.bench.sign_in()
    sides.bench.open(EAR)
    sides.bench.count()
    sides.hear()
    step = to_the_dirty_side_check(sides)
    sides.at_decontam(c.EnterPin(person="D1", pin=PIN), c.CheckDirty(tray=EAR, pieces=(step.piece,)))
    after = sides.bench.step
    assert (after.kind, after.piece) != ("dirty_absent", step.piece)


def test_where_lumens_are_checked_on_the_clean_side_nobody_asks_for_a_dirty_side_check() -> None:
    sides = two_sides(verify_where="clean")
    sides.bench.sign_in()
    sides.bench.open(EAR)
    sides.bench.count()
    sides.bench.yes_until("A1.bore.swab")
    assert sides.bench.step.kind == "check"


def test_a_mistyped_ticket_number_takes_nothing_in() -> None:
    """The last of ten characters is a check character (ISO/IEC 7064, MOD 37-2): one wrong figure is seen."""
    sides = item_sent()
    right = with_check(TICKET)
    assert decode(right) == Meaning(kind=Kind.TICKET, text=TICKET)
    told = decode(right.replace("K-10001", "K-10007"))
    assert told is not None
    assert told.kind not in {Kind.TICKET, Kind.SPARE_FORM}
    events = sides.at_decontam(c.Scanned(meaning=told, typed=True))
    assert not [event for event in events if isinstance(event, e.TicketReceived)]
    assert not sides.return_(TICKET).received
