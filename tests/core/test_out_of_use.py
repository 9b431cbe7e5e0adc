"""What a rule takes out of use: the stop list, the last allowed use; and what happens beside the checks."""

from dataclasses import replace

import pytest

from kiosk.core import commands as c
from kiosk.core import events as e
from kiosk.core.commands import Page
from kiosk.core.composing import Order, compose
from kiosk.core.meaning import Kind
from kiosk.core.papers import ReturnTicket
from kiosk.core.past.counters import summary
from kiosk.core.place import Place
from kiosk.core.shift import shift_of
from kiosk.core.stamp import local_time
from kiosk.core.together.stop_list import progress, stops
from kiosk.core.views import AskView, ListView, StepsView, StopView
from kiosk.core.vocabulary import Disposition
from tests.core.by_chance import offered
from tests.core.department import BIG, EAR, PLAIN, TUBE, Shift, at_work, desk, names, scan


def department(**item: object) -> Shift:
    """The bent tube carries the mark CA-0007; nobody has signed in."""
    around = desk()
    tube = replace(TUBE, own_mark=True, **{"marks": ("CA-0007",), **item})  # type: ignore[arg-type]
    trays = dict(around.catalogue.trays)
    trays[EAR] = replace(trays[EAR], items=(tube, *trays[EAR].items[1:]))
    return Shift(desk=replace(around, catalogue=replace(around.catalogue, trays=trays)))


def listed(shift: Shift, *marks: str, types: tuple[str, ...] = ()) -> None:
    shift.sign_in("S1")
    shift.must(c.StopList(notice="R-31", marks=marks, types=types), c.Turn())
    shift.must(c.SignOut())


def opened(shift: Shift, tray: str = EAR) -> list[e.Event]:
    """The tray is opened, and what the stop list names is there: it is taken out."""
    shift.sign_in("T1")
    events = shift.open(tray)
    while shift.step.kind == "recalled":
        events += shift.must(c.AnswerRecall(piece=shift.step.piece, here=True))
    return events


def test_a_tray_with_a_recalled_mark_is_asked_at_its_opening_and_the_piece_stays() -> None:
    shift = department()
    listed(shift, "CA-0007", "CA-0008")
    shift.sign_in("T1")
    assert not {"finding", "quarantined", "hold_placed"} & set(names(shift.open()))
    view = shift.session.view()
    assert isinstance(view, AskView)
    assert view.title == "Stop list. Is this piece here?"
    assert "Bent tube CA-0007 · R-31" in view.help
    assert (progress(shift.bench, shift.session.desk, stops(shift.bench, shift.session.desk)[0]).found) == ()
    assert view.yes.send is not None
    assert {"quarantined", "hold_placed", "lead_told"} <= set(names(shift.must(view.yes.send)))
    assert shift.trip.pieces["A1"].disposition is Disposition.QUARANTINE
    assert shift.session.notice is not None
    assert (shift.session.notice[0], shift.session.notice[1]["n"], shift.session.notice[1]["of"]) == (
        "notice.recalled", 1, 2,
    )  # fmt: skip


def test_a_tray_without_the_mark_hears_nothing_of_the_recall() -> None:
    shift = department()
    listed(shift, "CA-0008")
    assert "quarantined" not in names(opened(shift))
    assert shift.session.notice is None


def test_a_recall_entered_at_one_bench_stops_the_piece_at_another() -> None:
    first = department()
    listed(first, "CA-0007")
    shift = department()
    shift.session.hear("B2", first.log)
    assert "quarantined" in names(opened(shift))


def test_a_recall_by_item_type_takes_every_piece_of_it() -> None:
    shift = department()
    listed(shift, types=("fine_suction",))
    opened(shift)
    assert {p.disposition for p in shift.trip.pieces.values() if p.item} == {Disposition.QUARANTINE}


def test_nobody_lets_a_recalled_piece_go_on() -> None:
    shift = department()
    listed(shift, "CA-0007")
    opened(shift)
    shift.send(c.OpenPiece(piece="A1"), c.Answer(piece="A1", key="look", yes=True))
    assert shift.trip.pieces["A1"].yes == {}


def test_only_a_supervisor_puts_anything_on_the_stop_list() -> None:
    shift = department()
    shift.sign_in("T1")
    shift.send(c.StopList(notice="R-31", marks=("CA-0007",)))
    assert shift.refused == "refused.supervisor_only"
    shift.send(c.LiftStop(notice="R-31"))
    assert shift.refused == "refused.supervisor_only"


def test_the_list_says_what_was_found_and_what_nobody_has_seen() -> None:
    shift = department()
    listed(shift, "CA-0007", "CA-0009")
    opened(shift)
    shift.session.turn = c.Turn(page=Page.STOP_NOTICE, subject="R-31")
    view = shift.session.view()
    assert isinstance(view, ListView)
    assert view.title == "R-31: 1 of 2 found"
    assert [(row.title, row.sub[:12]) for row in view.rows] == [
        ("CA-0007", "found in TR-"),
        ("CA-0009", "not seen yet"),
    ]


def test_a_scan_on_the_notice_puts_the_mark_under_it_and_a_lifted_notice_stops_nothing() -> None:
    shift = department()
    shift.sign_in("S1")
    shift.must(c.StopList(notice="R-31"))
    shift.must(scan("CA-0007", Kind.ITEM))
    (stop,) = stops(shift.bench, shift.session.desk)
    assert (stop.marks, progress(shift.bench, shift.session.desk, stop).of) == (("CA-0007",), 1)
    shift.must(c.LiftStop(notice="R-31"), c.SignOut())
    assert "quarantined" not in names(opened(shift))


def test_a_use_is_counted_once_a_trip_and_at_its_limit_the_piece_is_out_of_use() -> None:
    shift = department(use_limit=2)
    opened(shift)
    assert shift.bench.uses == {"CA-0007": 1}
    shift.must(c.StopHere(reason="break"))
    shift.open()
    assert shift.bench.uses == {"CA-0007": 1}
    shift.count()
    shift.yes_to_all()
    shift.pack()
    shift.tidy()
    assert any(isinstance(event, e.UseCounted) and event.uses == 2 for event in shift.open())
    shift.count()
    shift.yes_to_all()
    shift.pack()
    shift.tidy()
    assert "quarantined" in names(shift.open())
    assert shift.trip.findings[-1].code == "use_limit"


def test_uses_before_this_tool_and_at_other_stations_count_too() -> None:
    other = department(use_limit=3, uses=1)
    opened(other)
    other.must(c.LetGo())  # the tray itself is not open there any more
    shift = department(use_limit=3, uses=1)
    shift.session.hear("B2", other.log)
    (counted,) = (event for event in opened(shift) if isinstance(event, e.UseCounted))
    assert (counted.uses, counted.limit) == (3, 3)


def test_where_uses_are_counted_no_check_is_answered_before_the_mark_is_read() -> None:
    shift = department(use_limit=5, marks=())
    opened(shift)
    shift.count()
    shift.yes_until("A1.look")
    shift.send(c.Answer(piece="A1", key="look", yes=True))
    assert shift.refused == "refused.mark_first"
    assert "use_counted" in names(shift.must(scan("ZZ-1", Kind.ITEM)))
    shift.yes()


# What happens beside the checks


@pytest.mark.parametrize("piece", ["A1", "A2#2"])
def test_a_piece_that_fell_goes_back_without_a_form_and_is_no_soil(piece: str) -> None:
    shift = at_work(EAR)
    shift.yes_to_all()
    shift.must(c.Dropped(piece=piece))
    assert shift.step.kind == "decide"
    events = shift.must(c.Confirm(what="item_back"))
    assert names(events)[0] == "item_back"
    assert shift.step.kind == "gloves"
    shift.tidy()
    policy = shift.desk.policy
    counted = summary(shift.log, shift_of(local_time(shift.at_ms, 0), policy.shifts), policy)
    assert (counted["soil"], counted["damage"], counted["items_back"]) == (0, 0, 1)
    made = shift.trip.tickets[-1]
    paper = compose(shift.session.glance(), Order(trip=shift.trip, doc="return_ticket", number=made.number))
    assert isinstance(paper, ReturnTicket)
    assert paper.not_clear == "DROPPED"
    assert any("damage" in line for line in paper.todo)


def test_nothing_offers_to_wipe_what_fell_and_pack_it() -> None:
    shift = at_work(PLAIN)
    shift.yes_to_all()
    shift.must(c.Dropped(piece="tray", line="Forceps"))
    sends = tuple(offered(shift.session.view()))
    assert c.Confirm(what="item_back") in sends
    assert not any(isinstance(send, c.StepDone | c.PackAndPrint) for send in sends)
    shift.send(c.Confirm(what="bench_fix"))
    assert shift.refused


def test_a_slip_of_the_finger_at_what_fell_is_taken_back() -> None:
    shift = at_work(EAR)
    shift.yes_to_all()
    shift.must(c.Dropped(piece="A1"), c.TakeBack())
    assert shift.trip.findings == ()
    assert shift.step.kind == "pack"


def test_a_suspected_special_pathogen_stops_everything_and_gives_no_steps() -> None:
    shift = at_work(EAR)
    assert {"pathogen_suspected", "hold_placed", "lead_told"} == set(names(shift.must(c.SuspectPathogen())))
    view = shift.session.view()
    assert isinstance(view, StopView)
    assert view.sentence == "Do not process. Call infection prevention."
    assert view.lines == ("Your facility's plan says what happens next.",)
    shift.send(c.Answer(piece="tray", key="basket", yes=True))
    assert shift.refused == "refused.not_asked"


def test_a_stopped_tray_stays_stopped_over_a_pause_until_the_supervisor_rules() -> None:
    shift = at_work(EAR)
    shift.must(c.SuspectPathogen(), c.Confirm(what="shelf"))
    assert shift.step.kind == "scan"
    shift.open(EAR)
    assert shift.step.kind == "special"
    shift.send(c.RulePathogen(by="T1", note="no"))
    assert shift.refused == "refused.not_supervisor"
    shift.must(c.RulePathogen(by="S1", note="Case ruled out."))
    assert shift.step.kind == "check"
    assert shift.trip.holds == ()


def test_a_piece_broken_off_is_searched_for_and_the_next_name_is_called_where_nobody_answers() -> None:
    shift = at_work(BIG, call_list=["OR lead 4471", "Risk 4480"])
    shift.yes_until("A3.look")
    shift.no("part_broken_off", Place(landmark="shaft"))
    shift.confirm("quarantine")
    view = shift.session.view()
    assert isinstance(view, StepsView)
    assert "Call OR lead 4471." in view.steps
    assert "Nobody cleans it" in view.steps[0]
    shift.must(c.Call(answered=False))
    view = shift.session.view()
    assert isinstance(view, StepsView)
    assert "Call Risk 4480." in view.steps
    (called,) = shift.must(c.Call(answered=True))
    assert called == e.Called(piece="A3", name="Risk 4480", answered=True)
    assert shift.step.kind != "broken"
    assert shift.trip.pieces["A3"].disposition is Disposition.HOLD
