"""The stop list: a named piece is asked after, found only when it was taken out; entries put on, taken off, led to."""

from dataclasses import replace

from kiosk import resources
from kiosk.core import commands as c
from kiosk.core import events as e
from kiosk.core.commands import Page
from kiosk.core.meaning import Kind
from kiosk.core.state.piece import is_missing
from kiosk.core.together.stop_list import progress, stops
from kiosk.core.views import AskView, CountView, ListView, OverviewView
from tests.core.department import EAR, PAIR, TUBE, Shift, desk, names, scan
from tests.core.test_out_of_use import department, listed, opened


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
    (off,) = shift.must(view.yes.send)
    assert isinstance(off, e.StopWithdrawn)
    assert (off.notice, off.kind, off.value) == ("R-31", "mark", "CA-0007")
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
