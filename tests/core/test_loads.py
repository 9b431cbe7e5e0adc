"""The rows "Load release", "Hand-off from washer" and what is found out about a load later."""

from dataclasses import replace

from kiosk.core import commands as c
from kiosk.core import events as e
from kiosk.core.catalogue import Load
from kiosk.core.desk import Desk
from kiosk.core.dispositions import tray_disposition
from kiosk.core.meaning import Kind
from kiosk.core.together.loads import is_released, packages_of
from kiosk.core.views import ListView, ScanView, StopView
from kiosk.core.vocabulary import Disposition
from tests.core.department import BIG, EAR, LATE, PIN, PLAIN, Shift, at_work, desk, names, scan
from tests.core.test_desk import rows


def load(text: str) -> c.Scanned:
    return scan(text, Kind.LOAD)


def supervisor(shift: Shift) -> None:
    """The tray is set aside and a supervisor signs in."""
    if shift.bench.trip is not None and not shift.trip.ended:
        shift.must(c.StopHere(reason="break"))
    shift.must(c.SignOut(), c.EnterPin(person="S1", pin=PIN))


def unsigned() -> Desk:
    """A department whose load W-2 is not signed yet."""
    around = desk()
    return replace(around, catalogue=replace(around.catalogue, loads={"W-2": Load(id="W-2", released=False)}))


def stopped_by(shift: Shift, tray: str) -> Shift:
    """At work on a tray that stops for the signature of W-2."""
    shift.sign_in()
    shift.open(tray)
    shift.send(c.Turn())
    shift.must(load("W-2"))
    return shift


def packed(tray: str = PLAIN) -> Shift:
    shift = at_work(tray)
    shift.yes_to_all()
    shift.pack()
    shift.print_all()
    shift.must(c.Readable(yes=True), c.Turn())
    return shift


def test_a_load_that_is_not_released_stops_the_tray_before_the_count() -> None:
    shift = Shift()
    shift.sign_in()
    shift.open(LATE)
    shift.send(c.Turn())
    assert shift.step.kind == "load"
    shift.send(c.CountAll(lines=("Forceps",), took_ms=9000))
    assert shift.refused


def test_a_load_that_was_scanned_and_is_not_released_offers_the_supervisor_a_key() -> None:
    """The tray's load was not known; the one scanned is not signed yet."""
    shift = stopped_by(Shift(desk=unsigned()), EAR)
    assert shift.trip.load == "W-2"
    view = shift.session.view()
    assert isinstance(view, StopView)
    assert any(key.send == c.Turn(page=c.Page.NAMES, subject="ruling:") for key in view.others)
    assert "load_released" in names(shift.must(c.RuleLoad(by="S1", load="W-2")))


def test_a_load_signed_for_at_another_bench_lets_the_tray_here_go_on() -> None:
    here, there = stopped_by(Shift(desk=unsigned()), EAR), stopped_by(Shift(desk=unsigned()), BIG)
    there.must(c.RuleLoad(by="S1", load="W-2"))
    assert here.step.kind == "load"
    here.session.hear("B2", there.log)
    assert "load_checked" in names(here.must(c.Heard()))
    assert here.step.kind == "count"


def test_nobody_releases_the_load_of_the_tray_they_work_on_where_policy_says_two_people() -> None:
    for two, refused in ((True, "refused.own_work"), (False, "")):
        shift = Shift(desk=desk(load_release_two_people=two))
        shift.sign_in("S1")
        shift.open(LATE)
        while shift.step.kind == "startup":
            shift.must(c.AnswerStartup(question=shift.step.question, yes=True))
        if shift.bench.trip is None:
            shift.open(LATE)
        shift.send(c.RuleLoad(by="S1", load="W-2"))
        assert shift.refused == refused


def test_a_load_is_scanned_once_for_its_rack_and_stands_for_the_trays_that_follow() -> None:
    around = desk()
    loads = {"W-8": Load(id="W-8", released=True), "W-9": Load(id="W-9", released=False)}
    shift = Shift(desk=replace(around, catalogue=replace(around.catalogue, loads=loads)))
    shift.sign_in()
    shift.must(load("W-8"))
    view = shift.session.view()
    assert isinstance(view, ScanView)
    assert "W-8" in view.help
    shift.open(EAR)
    assert shift.trip.load == "W-8"
    assert shift.trip.load_ok
    shift.must(c.LetGo())
    shift.must(load("W-9"))  # not released: its trays stay on the rack
    assert isinstance(shift.session.view(), StopView)
    assert shift.bench.rack == "W-8"


def test_a_tray_may_have_several_loads_and_each_must_be_released() -> None:
    shift = Shift()
    shift.sign_in()
    shift.open(EAR)
    shift.must(load("W-2"))
    assert shift.trip.more_loads == ("W-2",)
    assert shift.step.kind == "load"
    shift.must(c.RuleLoad(by="S1", load="W-2"))
    assert shift.step.kind == "count"
    assert (shift.trip.load, shift.trip.load_ok) == ("W-1", True)


def test_a_withdrawn_load_holds_its_open_trays_at_once_and_voids_the_labels_of_its_packed_ones() -> None:
    shift = packed(PLAIN)
    number = next(iter(shift.bench.packs))
    shift.open(EAR)
    shift.count()
    supervisor(shift)
    events = shift.must(c.WithdrawLoad(load="W-1", why="indicator"))
    assert names(events) == ["load_withdrawn", "hold_placed", "label_voided"]
    assert shift.bench.void == {number: "load_withdrawn"}
    view = shift.session.view()
    assert isinstance(view, ListView)
    assert number in view.rows[0].sub
    shift.must(c.SignOut())
    shift.sign_in("T2")
    shift.open(EAR)
    if shift.session.turn is not None:
        shift.must(c.Confirm(what="covered", subject=next(t.id for t in shift.bench.trips.values() if not t.ended)))
    assert shift.step.kind == "load_bad"
    for send in (c.CountAll(lines=("Forceps",), took_ms=9000), c.PackAndPrint(), c.Confirm(what="hold")):
        shift.send(send)
        assert shift.refused
    assert "tray_back" in names(shift.must(c.Confirm(what="tray_back")))
    assert tray_disposition(shift.trip) is Disposition.TRAY_BACK


def test_only_a_supervisor_withdraws_a_load_and_nobody_twice() -> None:
    shift = packed(PLAIN)
    shift.send(c.WithdrawLoad(load="W-1", why="indicator"))
    assert shift.refused == "refused.supervisor_only"
    supervisor(shift)
    shift.must(c.WithdrawLoad(load="W-1", why="indicator"))
    shift.send(c.WithdrawLoad(load="W-1", why="indicator"))
    assert shift.refused == "refused.not_asked"


def test_a_load_withdrawn_at_another_bench_stops_the_trays_of_this_one() -> None:
    first, second = packed(PLAIN), at_work(EAR)
    supervisor(first)
    first.must(c.WithdrawLoad(load="W-1", why="printout"))
    second.session.hear("B2", first.log)
    assert second.step.kind == "load_bad"
    assert not is_released(second.bench, second.session.desk, "W-1")
    assert [pack.tray for _, pack in packages_of(second.bench, second.session.desk, "W-1")] == [PLAIN]
    view = second.session.view()
    assert isinstance(view, StopView)
    assert "W-1" in view.sentence
    events = second.must(c.Confirm(what="tray_back"))
    assert names(events)[:2] == ["hold_placed", "tray_back"]


def test_a_load_withdrawn_at_a_bench_whose_clock_is_behind_is_withdrawn() -> None:
    first, second = stopped_by(Shift(desk=unsigned()), EAR), Shift(desk=unsigned())
    second.at_ms += 600_000  # ten minutes ahead
    stopped_by(second, BIG).must(c.RuleLoad(by="S1", load="W-2"))
    first.session.hear("B2", second.log)
    supervisor(first)
    first.must(c.WithdrawLoad(load="W-2", why="printout"))
    assert not is_released(first.bench, first.session.desk, "W-2")
    second.session.hear("B1", first.log)
    second.send(c.Heard())
    assert second.step.kind == "load_bad"


def test_of_two_words_said_without_each_other_found_bad_stands() -> None:
    first, second = (stopped_by(Shift(desk=unsigned()), tray) for tray in (EAR, BIG))
    for shift in (first, second):
        shift.must(c.RuleLoad(by="S1", load="W-2"))
    supervisor(first)
    first.must(c.WithdrawLoad(load="W-2", why="machine"))
    second.at_ms += 600_000
    second.session.hear("B1", first.log)
    assert not is_released(second.bench, second.session.desk, "W-2")


def test_the_third_soiled_piece_of_a_load_in_a_shift_is_told_once_to_every_bench_with_a_tray_of_it() -> None:
    first = at_work(EAR, repeat_load_alert=2, raise_to_tray=[])
    first.yes_until("A1.bore.swab")
    first.no("bone_grit")
    first.confirm("item_back")
    first.tidy()
    assert not any(isinstance(kept.event, e.LoadAlerted) for kept in first.log)
    second = at_work(BIG, repeat_load_alert=2, raise_to_tray=[])
    second.session.hear("B2", first.log)
    second.yes_until("A3.inner.swab")
    events = second.no("bone_grit")
    assert [event for event in events if isinstance(event, e.LoadAlerted)] == [e.LoadAlerted(load="W-1", pieces=2)]
    assert second.session.turn == c.Turn(page=c.Page.LOAD_ALERT, subject="W-1")
    view = second.session.view()
    assert isinstance(view, StopView)
    assert "2 soiled pieces of load W-1" in view.sentence
    first.session.hear("B1", second.log)
    told = first.yes()
    assert first.session.turn == c.Turn(page=c.Page.LOAD_ALERT, subject="W-1")
    assert [event for event in told if isinstance(event, e.LoadAlerted)] == []
    first.yes()
    assert first.session.turn is None  # once


def test_a_bench_restarted_remembers_what_was_said_of_its_loads() -> None:
    shift = packed(PLAIN)
    supervisor(shift)
    shift.must(c.WithdrawLoad(load="W-1", why="machine"))
    assert shift.folded() == shift.bench


def test_the_row_of_a_load_alert_on_the_desk_opens_the_trips_of_that_load() -> None:
    """Also the trip in which nothing was found: it met the same load."""
    shift = at_work(PLAIN, repeat_load_alert=2, raise_to_tray=[])
    shift.must(c.StopHere(reason="break"))
    shift.open(EAR)
    shift.count()
    shift.yes_until("A1.bore.swab")
    shift.no("bone_grit")
    shift.confirm("item_back")
    shift.tidy()
    supervisor(shift)
    assert not [row for row in rows(shift, c.Page.NEEDS) if row.name == "load W-1"]
    shift.must(c.SignOut())
    shift.sign_in("T2")
    shift.open(BIG)
    shift.count()
    shift.yes_until("A3.inner.swab")
    shift.no("bone_grit")
    supervisor(shift)
    (row,) = [row for row in rows(shift, c.Page.NEEDS) if row.name == "load W-1"]
    assert isinstance(row.send, c.Turn)
    assert row.send.page is not None
    opened = {one.name for one in rows(shift, row.send.page, row.send.subject)}
    begun = {kept.stamp.trip for kept in shift.log if isinstance(kept.event, e.TrayOpened)}
    assert len(begun) == 3
    assert opened == {f"trip {trip}" for trip in begun}
