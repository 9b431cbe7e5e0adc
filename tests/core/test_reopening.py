"""The rows "Opened after packing", "Torn wrap, broken lock found later" and "Wet tray after sterilizer"."""

import pytest

from kiosk.core import commands as c
from kiosk.core import events as e
from kiosk.core.meaning import Kind
from kiosk.core.views import MenuView, StopView
from tests.core.department import EAR, PIN, PLAIN, Shift, at_work, names, scan
from tests.core.test_loads import packed, supervisor


def number_of(shift: Shift) -> str:
    return next(iter(shift.bench.packs))


def test_a_package_opened_here_for_a_forgotten_strip_keeps_its_looks_and_gets_a_new_number() -> None:
    shift = packed(EAR)
    old, trip = number_of(shift), next(iter(shift.bench.trips))
    events = shift.must(c.Reopen(number=old, why="forgotten"))
    assert names(events) == ["tray_reopened", "label_voided", "resumed"]
    shift.must(c.OldLabelGone(number=old))
    assert (shift.trip.id, shift.step.kind) == (trip, "count")
    shift.count()
    assert shift.step.kind == "pack"  # every look stands; count, indicators and packaging are asked again
    assert (shift.trip.indicators, shift.trip.packaging) == (None, "")
    shift.pack()
    assert shift.trip.package != old
    assert set(shift.bench.void) == {old}


@pytest.mark.parametrize("why", ["taken", "after", "wet"])
def test_after_the_sterilizer_or_with_pieces_taken_out_everything_is_asked_again_on_a_new_trip(why: str) -> None:
    shift = packed(EAR)
    old, trip = number_of(shift), next(iter(shift.bench.trips))
    events = shift.must(c.Reopen(number=old, why=why, reason="hot" if why == "wet" else ""))
    assert names(events) == ["tray_reopened", "label_voided"]
    shift.must(c.OldLabelGone(number=old))
    shift.open(EAR)
    assert shift.trip.id != trip
    assert not any(piece.yes for piece in shift.trip.pieces.values())
    shift.count()
    assert shift.step.kind == "check"


def test_policy_may_ask_everything_again_whatever_was_opened() -> None:
    shift = packed(EAR)
    shift.session.desk = at_work(EAR, label_after_opening="everything_again").session.desk
    shift.must(c.Reopen(number=number_of(shift), why="torn"))
    assert shift.bench.trip is None or shift.bench.trip.ended


def test_a_wet_package_says_why_for_the_trend_and_never_who_packed_it() -> None:
    shift = packed(EAR)
    old = number_of(shift)
    shift.must(c.SignOut(), c.EnterPin(person="T2", pin=PIN))
    while shift.step.kind == "startup":
        shift.must(c.AnswerStartup(question=shift.step.question, yes=True))
    shift.must(scan(old, Kind.LABEL))
    view = shift.session.view()
    assert isinstance(view, MenuView)
    assert "Person" not in f"{view.title} {view.help} {view.lines} {view.keys}"
    shift.send(c.Reopen(number=old, why="wet"))
    assert shift.refused  # a reason of the list
    shift.must(c.Reopen(number=old, why="wet", reason="dense"))
    assert e.TrayReopened(package=old, why="wet", reason="dense") in [kept.event for kept in shift.log]


def test_a_void_number_is_never_opened_again_and_its_label_says_so() -> None:
    shift = packed(EAR)
    old = number_of(shift)
    shift.must(c.Reopen(number=old, why="torn"), c.OldLabelGone(number=old))
    shift.must(c.StopHere(reason="break"))
    shift.send(c.Reopen(number=old, why="torn"))
    assert shift.refused == "refused.label_void"
    shift.must(scan(old, Kind.LABEL))
    assert isinstance(shift.session.view(), StopView)


def test_a_package_of_another_bench_is_found_by_its_number_and_begins_a_new_trip() -> None:
    other, shift = packed(EAR), Shift()
    shift.sign_in()
    shift.session.hear("B2", other.log)
    old = number_of(other)
    shift.must(scan(old, Kind.LABEL))
    assert shift.session.turn == c.Turn(page=c.Page.PACKAGE, subject=old)
    assert names(shift.must(c.Reopen(number=old, why="forgotten"))) == ["tray_reopened", "label_voided"]
    shift.open(EAR)
    assert not shift.trip.counted


def test_all_labels_of_a_split_set_are_void_when_one_is_opened() -> None:
    shift = at_work("TR-2")
    shift.yes_to_all()
    shift.must(*2 * [c.Weigh(value="12", unit="kg")], c.RuleSplit(by="S1", parts=2))
    shift.must(*(c.Weigh(value="6", unit="kg", part=n) for n in (1, 2)))
    shift.must(c.PlaceIndicators(count=2), c.ChoosePackaging(kind="container"), c.PackAndPrint())
    shift.print_all()
    shift.must(c.Readable(yes=True), c.Turn())
    first = number_of(shift)
    assert names(shift.must(c.Reopen(number=first, why="torn"))).count("label_voided") == 2


def test_a_label_scanned_with_a_tray_open_opens_nothing_and_says_what_it_is() -> None:
    shift = packed(EAR)
    old = number_of(shift)
    shift.open(PLAIN)
    shift.must(scan(old, Kind.LABEL))
    said = shift.session.view().notice
    assert f"Ear set {EAR}, packed" in said
    assert shift.trip.tray.code == PLAIN


def test_a_package_of_a_load_found_bad_is_fetched_and_not_opened() -> None:
    shift = packed(PLAIN)
    number = number_of(shift)
    supervisor(shift)
    shift.must(c.WithdrawLoad(load="W-1", why="printout"), c.Turn())
    shift.send(c.Reopen(number=number, why="after"))
    assert shift.refused == "refused.label_void"
    shift.must(c.FetchedPackage(number=number))
    assert shift.bench.fetched == {number}
    assert shift.folded() == shift.bench
