"""The rows on a tray that changes hands, and "Rush": handed over, open elsewhere, same label, taken ill, order only."""

from kiosk.core import commands as c
from kiosk.core import events as e
from kiosk.core.composing import Order, compose
from kiosk.core.papers import PackageLabel, ReturnTicket, TraySheet
from kiosk.core.together.rush import rush_of
from kiosk.core.views import OverviewView, ScanView, StopView
from tests.core.department import BIG, EAR, LATE, PIN, PLAIN, Shift, at_work, names, scan
from tests.core.test_loads import supervisor


def start(shift: Shift, who: str) -> None:
    shift.sign_in(who)


def test_a_tray_is_handed_over_without_a_login_and_finished_pieces_keep_the_first_name() -> None:
    shift = at_work(EAR)
    while shift.step.piece in {"tray", "A1"}:
        shift.yes()
    shift.yes()  # one answer of the next piece
    half = shift.trip.last
    assert half is not None
    assert names(shift.must(c.HandOver(to="T2"))) == ["handed_over", "paused"]
    assert (shift.bench.who, shift.bench.current) == ("T1", None)
    view = shift.session.view()
    assert isinstance(view, ScanView)
    assert "for Person T2" in view.kept[0].label
    shift.must(c.SignOut())
    start(shift, "T2")
    shift.open(EAR)
    trip = next(iter(shift.bench.trips))
    again = shift.must(c.Confirm(what="covered", subject=trip))
    assert names(again) == ["resumed", "repeated_after_pause"]
    assert shift.step.kind == "count"  # the next tech counts again
    shift.count()
    assert not shift.trip.pieces[half[0]].yes  # and repeats the open piece
    shift.yes_to_all()
    shift.pack()
    sheet = compose(shift.session.glance(), Order(trip=shift.trip, doc="tray_sheet", number=shift.trip.id))
    assert isinstance(sheet, TraySheet)
    by = [piece.by for piece in sheet.pieces]
    assert any("A1 by Person T1" in one for one in by)
    assert any("A2#1 by Person T2" in one for one in by)


def test_a_tray_is_handed_to_nobody_who_may_not_work_here() -> None:
    shift = at_work(EAR)
    for to in ("T1", "D1", "nobody"):
        shift.send(c.HandOver(to=to))
        assert shift.refused


def test_a_tech_taken_ill_leaves_the_tray_as_it_stands_and_no_password_is_asked() -> None:
    shift = at_work(EAR)
    shift.yes_until("A1.bore.swab")
    before = shift.trip.pieces
    shift.must(c.SignOut(idle=True), c.EnterPin(person="S1", pin=PIN))
    trip = next(iter(shift.bench.trips.values()))
    assert trip.pause is not None
    assert (trip.pause.by, trip.pieces) == ("T1", before)


def test_a_tray_open_at_another_station_says_where_and_is_taken_over_only_on_a_touch() -> None:
    other, shift = at_work(EAR), Shift()
    start(shift, "T2")
    shift.session.hear("B2", other.log)
    assert names(shift.open(EAR)) == []
    view = shift.session.view()
    assert isinstance(view, StopView)
    assert "B2" in view.sentence
    assert "Person" not in view.sentence
    shift.must(c.TakeOver(tray=EAR))
    assert shift.trip.tray.code == EAR
    assert not shift.trip.counted
    other.session.hear("B1", shift.log)
    assert "gone_over" in names(other.send(c.Started(last_alive_ms=None)))
    assert all(trip.ended for trip in other.bench.trips.values())


def test_two_trays_with_one_label_are_both_held_until_one_has_a_new_tag() -> None:
    other, shift = at_work(EAR), Shift()
    start(shift, "T2")
    shift.session.hear("B2", other.log)
    shift.open(EAR)
    shift.must(c.SameLabel(tray=EAR))
    shift.send(scan(EAR))
    assert shift.refused == "refused.same_label"
    other.session.hear("B1", shift.log)
    other.must(c.PrintCame(doc="x", number="y", copy=0))
    assert ("@label",) in [hold.waits_for for hold in other.trip.holds]
    other.yes_to_all()
    other.send(c.PackAndPrint())
    assert other.refused
    other.send(c.RuleRetagged(by="T1", tray=EAR))
    assert other.refused == "refused.not_supervisor"
    other.must(c.RuleRetagged(by="S1", tray=EAR))
    assert not other.trip.holds


def test_a_doubled_label_told_at_a_bench_whose_clock_is_behind_holds_both_trays() -> None:
    other, shift = at_work(EAR), Shift()
    start(shift, "T2")
    shift.session.hear("B2", other.log)
    shift.open(EAR)
    shift.must(c.SameLabel(tray=EAR))
    shift.must(c.SignOut())
    other.session.hear("B1", shift.log)
    other.at_ms += 600_000  # ten minutes ahead
    other.must(c.RuleRetagged(by="S1", tray=EAR))
    shift.session.hear("B2", other.log)
    start(shift, "T2")
    shift.must(c.SameLabel(tray=EAR))
    shift.send(scan(EAR))
    assert shift.refused == "refused.same_label"


def test_rush_changes_the_order_and_drops_no_check() -> None:
    shift = at_work(PLAIN)
    shift.must(c.StopHere(reason="break"))
    shift.open(EAR)
    plan = [check.key for piece in shift.trip.pieces.values() for check in piece.plan.checks]
    supervisor(shift)
    assert names(shift.must(c.MarkRush(tray=EAR, at=1630))) == ["rush_marked"]
    shift.must(c.TellNotBefore(tray=EAR, at=1715), c.SignOut())
    start(shift, "T1")
    view = shift.session.view()
    assert isinstance(view, ScanView)
    assert view.kept[0].name == f"kept {EAR}"
    assert "Wanted by 16:30" in view.kept[0].label
    shift.open(EAR)
    if shift.bench.trip is None:
        shift.must(
            c.Confirm(what="covered", subject=next(k for k, t in shift.bench.trips.items() if t.tray.code == EAR))
        )
    shift.session.send(c.Turn(page=c.Page.OVERVIEW))
    over = shift.session.view()
    assert isinstance(over, OverviewView)
    assert "On the phone: not before 17:15" in over.facts
    assert [check.key for piece in shift.trip.pieces.values() for check in piece.plan.checks] == plan
    shift.session.send(c.Turn())
    if shift.step.kind == "count":
        shift.count()
    shift.yes_to_all()
    shift.pack()
    label = compose(shift.session.glance(), Order(trip=shift.trip, doc="package_label", number=shift.trip.package))
    assert isinstance(label, PackageLabel)
    assert "RUSH" in label.alerts
    assert rush_of(shift.bench, shift.desk, EAR) is None  # it is packed


def test_the_return_ticket_of_a_rush_tray_says_by_when_it_is_wanted() -> None:
    shift = Shift()
    shift.must(c.EnterPin(person="S1", pin=PIN), c.MarkRush(tray=EAR, at=1630), c.SignOut())
    start(shift, "T1")
    shift.open(EAR)
    shift.count()
    shift.yes_until("A1.bore.swab")
    shift.no("bone_grit")
    shift.confirm("item_back")
    made = shift.trip.tickets[0].number
    ticket = compose(shift.session.glance(), Order(trip=shift.trip, doc="return_ticket", number=made))
    assert isinstance(ticket, ReturnTicket)
    assert ("Wanted by", "16:30") in [(line.label, line.value) for line in ticket.facts]


def test_only_a_supervisor_marks_a_rush_and_only_where_policy_lets_it() -> None:
    shift = at_work(EAR)
    shift.send(c.MarkRush(tray=BIG, at=1630))
    assert shift.refused == "refused.supervisor_only"
    off = at_work(EAR, rush_rule="off")
    supervisor(off)
    off.send(c.MarkRush(tray=BIG, at=1630))
    assert off.refused
    supervisor(shift)
    shift.must(c.MarkRush(tray=LATE, at=1630), c.SignOut())
    shift.sign_in("T1")
    shift.send(c.TellNotBefore(tray=LATE, at=1630))
    assert shift.refused == "refused.supervisor_only"
    supervisor(shift)
    for at in (2460, 1299, -1):
        shift.send(c.MarkRush(tray=LATE, at=at))
        assert shift.refused == "refused.clock"


def test_a_tray_with_a_doubled_label_is_held_on_the_shelf_too() -> None:
    shift = at_work(EAR)
    shift.must(c.StopHere(reason="break"))
    away = shift.trip.id if shift.bench.trip else next(iter(shift.bench.trips))
    shift.open(BIG)
    other = Shift()
    start(other, "T2")
    other.session.hear("B2", shift.log)
    other.must(c.SameLabel(tray=EAR))
    shift.session.hear("B1", other.log)
    shift.must(c.PrintCame(doc="x", number="y", copy=0))
    assert ("@label",) in [hold.waits_for for hold in shift.folded().trips[away].holds]
    assert shift.trip.tray.code == BIG


def test_a_rush_is_one_event_in_the_log() -> None:
    shift = Shift()
    shift.must(c.EnterPin(person="S1", pin=PIN), c.MarkRush(tray=EAR, at=905))
    assert [kept.event for kept in shift.log if isinstance(kept.event, e.RushMarked)] == [
        e.RushMarked(tray=EAR, by="09:05")
    ]
    assert shift.folded() == shift.bench
