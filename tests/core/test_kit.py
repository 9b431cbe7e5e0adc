"""The kit between the pieces: scopes, swab lots, the air gauge. Source of each rule: JOB 6, POLICY D, FORMS 7."""

from dataclasses import replace
from typing import Any

import pytest

from kiosk.core import commands as c
from kiosk.core import events as e
from kiosk.core.commands import Page
from kiosk.core.composing import Order, ReportOrder, compose, compose_off_trip, compose_report
from kiosk.core.meaning import Kind
from kiosk.core.papers import Report, ReturnTicket, Tag
from kiosk.core.past.kit_log import kit_out, scope_log
from kiosk.core.past.records import LogRecords
from kiosk.core.startup import kit_today
from kiosk.core.views import NumberView, StepsView
from tests.core.department import EAR, PIN, Shift, at_work, desk, names, scan


def shift_of(**policy: Any) -> Shift:
    shift = Shift(desk=desk(**policy))
    shift.must(c.EnterPin(person="T1", pin=PIN))
    return shift


def start(shift: Shift, *no: str) -> None:
    while shift.step.kind == "startup":
        shift.must(c.AnswerStartup(question=shift.step.question, yes=shift.step.question not in no))


def test_scopes_that_are_not_all_ready_are_asked_one_by_one_and_the_other_is_used() -> None:
    shift = shift_of()
    start(shift, "scope", "scope:SC-1")
    assert kit_today(shift.bench, shift.session.desk)[1] == {"SC-1"}
    assert [kept.event.scope for kept in shift.log if isinstance(kept.event, e.ScopeStartOk)] == ["SC-2"]
    assert [(out.what, out.name) for out in kit_out(shift.bench, shift.session.desk)] == [("scope", "SC-1")]


@pytest.mark.parametrize(("policy", "asked"), [("none", False), ("shift", True), ("day", True)])
def test_the_start_check_of_the_scopes_is_asked_as_policy_says(policy: str, asked: bool) -> None:
    shift = shift_of(scope_start_check=policy)
    seen = []
    while shift.step.kind == "startup":
        seen.append(shift.step.question)
        shift.must(c.AnswerStartup(question=shift.step.question, yes=True))
    assert ("scope" in seen) is asked


@pytest.mark.parametrize(("policy", "again"), [("shift", True), ("day", False)])
def test_a_new_shift_of_the_same_day_asks_the_scopes_again_only_where_policy_is_by_shift(
    policy: str, again: bool
) -> None:
    shift = shift_of(scope_start_check=policy)
    start(shift)
    shift.must(c.SignOut())
    shift.minutes(8 * 60)
    shift.must(c.EnterPin(person="T2", pin=PIN))
    seen = []
    while shift.step.kind == "startup":
        seen.append(shift.step.question)
        shift.must(c.AnswerStartup(question=shift.step.question, yes=True))
    assert ("scope" in seen) is again
    assert "surface" in seen


def due() -> Shift:
    """The scope went through A1; the next piece waits."""
    shift = at_work(EAR)
    shift.yes_until("A1.bore.scope")
    shift.yes()
    assert shift.step.kind == "scope"
    return shift


def test_a_scope_that_goes_on_without_a_cleaning_is_a_gap_with_a_reason_and_the_lead_is_told() -> None:
    shift = due()
    assert names(shift.must(c.LeaveScope(reason="no_supplies"))) == ["scope_not_cleaned", "lead_told"]
    assert shift.step.kind == "check"
    lines = scope_log(shift.log, "SC-1")
    assert [line.detail for line in lines if line.kind == "gap"] == ["no_supplies"]


def test_no_time_is_no_reason_to_leave_a_scope() -> None:
    shift = due()
    shift.send(c.LeaveScope(reason="no_time"))
    assert shift.refused == "refused.not_asked"


@pytest.mark.parametrize(
    ("policy", "by", "taken"),
    [("anyone", "", True), ("supervisor", "", False), ("supervisor", "S1", True), ("nobody", "S1", False)],
)
def test_who_may_leave_a_scope_is_the_departments_choice(policy: str, by: str, taken: bool) -> None:
    shift = due()
    shift.session.use(desk(scope_gap=policy))
    shift.send(c.LeaveScope(reason="no_supplies", by=by))
    assert (shift.step.kind == "check") is taken


def test_a_use_after_a_use_on_another_piece_is_a_gap_also_where_policy_never_asks() -> None:
    shift = at_work(EAR, scope_clean_every="shift")
    shift.yes_to_all()
    lines = [line for line in scope_log(shift.log, "SC-1") if line.kind == "use"]
    assert [line.piece for line in lines] == ["A1", "A2#1", "A2#2"]
    assert [line.gap for line in lines] == [False, True, True]


def test_both_ends_of_one_lumen_are_no_gap() -> None:
    shift = at_work(EAR)
    shift.yes_to_all()
    assert not [line for line in scope_log(shift.log, "SC-1") if line.gap]


def test_another_piece_may_be_gone_on_with_while_the_scope_waits_until_it_wants_the_scope() -> None:
    shift = due()
    shown = shift.session.view()
    assert isinstance(shown, StepsView)
    assert c.Turn(page=Page.OVERVIEW) in [key.send for key in shown.others]
    shift.must(c.OpenPiece(piece="A2#2"))
    while shift.step.kind == "check":
        assert shift.step.check is not None
        assert shift.step.check.check != "scope"
        shift.yes()
    assert shift.step.kind == "scope"
    assert "scope_cleaned" not in names([kept.event for kept in shift.log])


def soiled() -> Shift:
    shift = at_work(EAR)
    shift.yes_until("A1.bore.scope")
    shift.no("brown_film")
    shift.confirm("item_back")
    shift.tidy()
    return shift


def test_a_scope_that_met_soil_is_out_and_the_second_one_is_planned() -> None:
    shift = soiled()
    assert shift.bench.scopes["SC-1"].out_of_use == "brown_film"
    left = [piece for piece in shift.trip.pieces.values() if piece.disposition is None]
    tools = {check.tool for piece in left for check in piece.open_checks()}
    assert "SC-1" not in tools
    assert "SC-2" in tools


def away() -> Shift:
    shift = soiled()
    shift.must(c.StopHere(reason="break"), scan("SC-1", Kind.SCOPE), c.SendScope(scope="SC-1"))
    return shift


def test_a_soiled_scope_crosses_with_its_own_ticket_and_comes_back_with_its_load() -> None:
    shift = away()
    sent = e.ScopeSent(scope="SC-1", why="brown_film")
    assert sent in [kept.event for kept in shift.log]
    order = ReportOrder(doc="scope_ticket", number="SC-1")
    ticket = compose_off_trip(shift.session.paper_glance(), order)
    assert isinstance(ticket, ReturnTicket)
    assert (ticket.number, ticket.said) == ("SC-1", ("Dry brown or yellow film",))
    assert "Person" not in repr(ticket)
    shift.must(c.Turn(page=Page.SCOPE_BACK, subject="SC-1"))
    events = shift.must(scan("W-1", Kind.LOAD))
    assert events == [e.ScopeReturned(scope="SC-1", load="W-1"), e.ScopeCleaned(scope="SC-1")]
    assert not shift.bench.scopes["SC-1"].out_of_use


def test_a_scope_that_goes_back_a_second_time_goes_with_a_first_print() -> None:
    shift = away()
    scope = c.SendScope(scope="SC-1")
    printed = c.PrintCame(doc="scope_ticket", number="SC-1", copy=0, where="P1")
    shift.must(printed)
    assert [event.copy for event in shift.must(scope) if isinstance(event, e.PrintAsked)] == [1]
    shift.must(replace(printed, copy=1), c.Turn(page=Page.SCOPE_BACK, subject="SC-1"), scan("W-1", Kind.LOAD))
    bench = shift.bench.scopes["SC-1"]
    assert not bench.out_of_use
    again = replace(shift.bench, scopes={**shift.bench.scopes, "SC-1": replace(bench, out_of_use="brown_film")})
    shift.session.bench = again
    assert [event.copy for event in shift.must(scope) if isinstance(event, e.PrintAsked)] == [0]


def test_a_scope_that_is_not_out_is_not_sent() -> None:
    shift = shift_of()
    start(shift)
    shift.send(c.SendScope(scope="SC-2"))
    assert shift.refused == "refused.not_asked"


def log_of(shift: Shift) -> Report:
    glance = shift.session.paper_glance()
    records = LogRecords(lambda: {"B1": shift.log})
    return compose_report(
        replace(glance, desk=replace(glance.desk, records=records)),
        ReportOrder(doc="scope_log", number="SL-10001", about="SC-1"),
    )


def test_the_scopes_log_shows_uses_cleanings_gaps_soil_and_what_is_not_known() -> None:
    shift = away()
    paper = log_of(shift)
    rows = [f"{line.label} {line.value} {line.note}" for part in paper.sections for line in part.lines]
    told = ("start check passed", "Bent tube A1 · bore · TR-1 · trip 1-", "soil met: Dry brown or yellow film")
    for words in (*told, "sent to decontam"):
        assert any(words in row for row in rows), words
    shift = at_work(EAR, scope_clean_every="shift")
    shift.yes_to_all()
    paper = log_of(shift)
    assert "2 gaps" in paper.headline[0]
    assert any("GAP" in line.value for part in paper.sections for line in part.lines)
    assert any(part.paragraphs for part in paper.sections if "Not known" in part.title)


def test_the_lot_of_a_new_box_counts_from_its_scan_on() -> None:
    shift = at_work(EAR)
    shift.must(scan("SW-0012", Kind.SWAB_LOT))
    shift.yes_until("A1.bore.scope")
    assert shift.bench.swab_lot == "SW-0012"
    shift.must(c.OpenSwabLot(lot="7719"))
    shift.yes_until("A2#1.bore.scope")
    assert shift.bench.swab_lot == "7719"


def test_a_lost_swab_tip_names_its_lot_on_the_tag() -> None:
    shift = at_work(EAR)
    shift.must(c.OpenSwabLot(lot="7719"))
    shift.yes_until("A1.bore.swab")
    shift.no("swab_left")
    shift.confirm("quarantine")
    shift.must(c.OpenSwabLot(lot="8000"))  # another box since
    shift.must(c.RuleQuarantine(by="S1", piece="A1", note="seen"))
    order = Order(trip=shift.trip, doc="quarantine_tag", number=shift.trip.pieces["A1"].ticket)
    tag = compose(shift.session.paper_glance(), order)
    assert isinstance(tag, Tag)
    assert ("Swab lot in use", "7719") in [(fact.label, fact.value) for fact in tag.facts]


def test_a_lot_that_was_set_aside_is_not_opened_again_and_the_bench_says_so() -> None:
    shift = Shift()
    shift.sign_in("S1")
    shift.must(c.OpenSwabLot(lot="7719"), c.SetLotAside(lot="7719"))
    assert "7719" in shift.session.view().head.notice or kit_out(shift.bench, shift.session.desk)
    assert [(out.what, out.name) for out in kit_out(shift.bench, shift.session.desk)] == [("swab_lot", "7719")]
    shift.send(c.OpenSwabLot(lot="7719"))
    assert shift.refused == "refused.lot_aside"
    shift.must(c.OpenSwabLot(lot="8000"))
    assert not kit_out(shift.bench, shift.session.desk)


def test_a_lot_is_set_aside_by_a_supervisor_only() -> None:
    shift = shift_of()
    start(shift)
    shift.must(c.OpenSwabLot(lot="7719"))
    shift.send(c.SetLotAside(lot="7719"))
    assert shift.refused == "refused.supervisor_only"


def gauged(kpa: str) -> Shift:
    shift = shift_of(air_gauge_kpa=[100, 170])
    while shift.step.question != "air":
        shift.must(c.AnswerStartup(question=shift.step.question, yes=True))
    assert isinstance(shift.session.view(), NumberView)
    shift.send(c.ReadAirGauge(kpa=kpa))
    return shift


@pytest.mark.parametrize(("kpa", "air"), [("100", True), ("140", True), ("170", True), ("99.9", False), ("171", False)])
def test_a_gauge_out_of_its_range_takes_air_out_of_the_plans(kpa: str, air: bool) -> None:
    shift = gauged(kpa)
    start(shift)
    assert kit_today(shift.bench, shift.session.desk)[0].air_station is air
    assert [out.what for out in kit_out(shift.bench, shift.session.desk)] == ([] if air else ["air"])
    assert e.AirGaugeRead(kpa=kpa, ok=air) in [kept.event for kept in shift.log]


@pytest.mark.parametrize("kpa", ["", "x", "NaN", "-3", "1e9"])
def test_what_is_no_reading_is_not_taken(kpa: str) -> None:
    shift = gauged(kpa)
    assert shift.refused == "refused.gauge"
    assert shift.step.question == "air"


def test_every_no_of_the_bench_start_stands_as_kit_out_with_a_way_to_work_without_it() -> None:
    shift = shift_of()
    start(shift, "surface", "lamp", "swabs", "scope", "scope:SC-1", "scope:SC-2", "air", "tester")
    out = kit_out(shift.bench, shift.session.desk)
    assert [one.what for one in out] == ["surface", "lamp", "swabs", "air", "tester", "scope", "scope"]
    assert all(one.since_ms for one in out)
    words = shift.session.words
    assert all(words.say(f"kit.without.{one.what}") and words.say(f"kit.out.{one.what}", name=one.name) for one in out)
