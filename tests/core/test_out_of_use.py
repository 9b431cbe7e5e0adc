"""What a rule takes out of use: the stop list, the last allowed use; and what happens beside the checks."""

from dataclasses import replace

import pytest

from kiosk import resources
from kiosk.core import commands as c
from kiosk.core import events as e
from kiosk.core.bench import is_missing
from kiosk.core.commands import Page
from kiosk.core.composing import Order, compose
from kiosk.core.counters import summary
from kiosk.core.meaning import Kind
from kiosk.core.papers import ReturnTicket
from kiosk.core.place import Place
from kiosk.core.shift import shift_of
from kiosk.core.stamp import local_time
from kiosk.core.stop_list import progress, stops
from kiosk.core.views import AskView, CountView, ListView, OverviewView, StepsView, StopView
from kiosk.core.vocabulary import Disposition
from tests.core.by_chance import offered
from tests.core.department import BIG, EAR, PAIR, PLAIN, TUBE, Shift, at_work, desk, names, scan


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


def test_a_recalled_piece_that_is_not_in_the_tray_is_counted_as_missing_and_never_as_found() -> None:
    shift = department()
    listed(shift, "CA-0007")
    shift.sign_in("T1")
    shift.open()
    view = shift.session.view()
    assert isinstance(view, AskView)
    assert view.no.send is not None
    assert names(shift.must(view.no.send)) == ["recall_absent"]
    assert shift.step.kind == "count"
    shift.must(c.CountLine(line="Bent tube", have=0), c.CountLine(line="Paired tube", have=2))
    shift.must(c.CountLine(line="Forceps", have=4), c.CountDiffers())
    assert shift.step.kind == "search"
    assert is_missing(shift.trip.pieces["A1"])
    (stop,) = stops(shift.bench, shift.session.desk)
    assert progress(shift.bench, shift.session.desk, stop).found == ()


def test_of_alike_pieces_the_one_that_was_looked_for_in_vain_is_the_missing_one() -> None:
    around = desk()
    pair = replace(PAIR, own_mark=True, marks=("P-1", "P-2"))
    trays = {**around.catalogue.trays, EAR: replace(around.catalogue.trays[EAR], items=(TUBE, pair))}
    shift = Shift(desk=replace(around, catalogue=replace(around.catalogue, trays=trays)))
    listed(shift, "P-1")
    shift.sign_in("T1")
    shift.open()
    shift.must(scan("P-1", Kind.ITEM))
    assert shift.step.piece == "A2#1"
    shift.must(c.AnswerRecall(piece="A2#1", here=False))
    shift.must(c.CountLine(line="Bent tube", have=1), c.CountLine(line="Paired tube", have=1))
    shift.must(c.CountLine(line="Forceps", have=4), c.CountDiffers())
    assert [name for name, piece in shift.trip.pieces.items() if is_missing(piece)] == ["A2#1"]


def test_a_count_against_the_word_that_it_is_not_here_is_asked_again() -> None:
    shift = department()
    listed(shift, "CA-0007")
    shift.sign_in("T1")
    shift.open()
    shift.must(c.AnswerRecall(piece="A1", here=False))
    shift.count()
    assert (shift.step.kind, shift.step.piece) == ("recalled", "A1")
    assert names(shift.must(c.AnswerRecall(piece="A1", here=False))) == ["recall_absent", "repeated_after_pause"]
    assert shift.step.kind == "count"
    shift.count()
    assert "quarantined" in names(shift.must(c.AnswerRecall(piece="A1", here=True)))


def test_nothing_shows_soil_or_a_piece_gone_where_it_only_stands_on_the_list() -> None:
    shift = department()
    listed(shift, types=("fine_suction",))
    opened(shift)
    shift.session.turn = None
    count = shift.session.view()
    assert isinstance(count, CountView)
    assert [(row.want, row.state) for row in count.rows] == [(0, "1 taken out"), (0, "2 taken out"), (4, "")]
    shift.session.turn = c.Turn(page=Page.OVERVIEW)
    view = shift.session.view()
    assert isinstance(view, OverviewView)
    assert "not clear" not in view.title
    assert {row.state for row in view.rows} == {"Stays here"}
    assert {lumen.ring for row in view.rows for lumen in row.lumens} == {"todo"}


def test_a_piece_without_a_mark_is_named_without_a_gap() -> None:
    shift = department(marks=())
    listed(shift, types=("fine_suction",))
    shift.sign_in("T1")
    shift.open()
    shift.must(c.AnswerRecall(piece="A1", here=True))
    assert shift.session.view().notice.startswith("Bent tube: stop list, R-31. It stays here.")


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
    assert shift.refused == "refused.not_supervisor"
    shift.send(c.LiftStop(notice="R-31"))
    assert shift.refused == "refused.not_supervisor"


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


def on_list(shift: Shift, subject: str = "R-31", page: Page = Page.STOP_NOTICE) -> ListView:
    shift.session.turn = c.Turn(page=page, subject=subject)
    view = shift.session.view()
    assert isinstance(view, ListView)
    return view


def test_what_is_not_found_yet_leads_to_the_trays_that_have_it() -> None:
    shift = department()
    listed(shift, "CA-0007", types=("fine_suction",))
    shift.sign_in("S1")
    first = on_list(shift)
    assert (first.rows[0].title, first.rows[0].sub) == ("CA-0007", "not seen yet; it is listed in Ear set TR-1")
    told = {row.title: (row.sub, row.value) for row in first.rows}
    assert told["Ear set · TR-1"] == ("Bent tube, Paired tube", "0 of 3 found")
    assert told["Big set · TR-2"] == ("Bent tube", "0 of 1 found")


def test_a_wrong_entry_is_taken_off_by_touch_and_its_piece_is_not_asked_after() -> None:
    shift = department()
    shift.sign_in("S1")
    shift.must(c.StopList(notice="R-31", marks=("CA-0007", "CA-0008")))
    (row,) = [row for row in on_list(shift).rows if row.title == "CA-0007"]
    assert row.send is not None
    shift.must(row.send)
    view = shift.session.view()
    assert isinstance(view, AskView)
    assert view.yes.send is not None
    assert shift.must(view.yes.send) == [e.StopWithdrawn(notice="R-31", kind="mark", value="CA-0007")]
    assert [row.title for row in on_list(shift).rows] == ["CA-0008"]
    shift.must(c.SignOut())
    shift.sign_in("T1")
    shift.open()
    assert shift.step.kind == "count"


def test_an_entry_put_on_again_anywhere_after_it_was_taken_off_is_in_force() -> None:
    first = department()
    listed(first, "CA-0007")
    first.sign_in("S1")
    first.must(c.StopWithdraw(notice="R-31", kind="mark", value="CA-0007"))
    second = department()
    second.session.hear("B2", first.log)
    assert [stop.marks for stop in stops(second.bench, second.session.desk)] == [()]
    second.at_ms = first.at_ms
    listed(second, "CA-0007")
    assert [stop.marks for stop in stops(second.bench, second.session.desk)] == [("CA-0007",)]


def test_item_types_stand_in_the_order_of_the_names_that_are_read() -> None:
    for language in ("en", "es"):
        shift = department()
        shift.session.tongues = resources.tongues()
        listed(shift, "CA-0007")
        shift.sign_in("S1")
        shift.must(c.ChooseSetting(key="language", value=language))
        shift.session.turn = c.Turn(page=Page.STOP_TYPES, subject="R-31")
        view = shift.session.view()
        assert isinstance(view, ListView)
        titles = [row.title for row in view.rows]
        assert len(titles) == 4
        assert titles == sorted(titles, key=str.casefold)


def test_a_lot_is_put_on_the_list_and_no_box_of_it_is_opened() -> None:
    shift = department()
    shift.sign_in("S1")
    shift.must(c.OpenSwabLot(lot="7719"))
    shift.must(c.StopList(notice="R-32"), c.Turn(page=Page.STOP_LOT, subject="R-32"))
    shift.must(c.StopListLot(notice="R-32", lot=" 7719 "), c.StopListLot(notice="R-32", lot="7720"))
    rows = on_list(shift, "R-32").rows
    assert [(row.title, row.sub) for row in rows] == [
        ("Lot 7719", "a box of it is open at B1: set it aside"),
        ("Lot 7720", "no open box is of this lot"),
    ]
    shift.send(c.OpenSwabLot(lot="7720"))
    assert shift.refused == "refused.lot_stopped"


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
