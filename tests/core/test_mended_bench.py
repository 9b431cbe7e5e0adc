"""The bench and its kit: scopes that met soil, the bench start, loads, cleaning that is owed."""

from dataclasses import replace
from decimal import Decimal

import pytest

from kiosk.core import commands as c
from kiosk.core import events as e
from kiosk.core.catalogue import Load, Scope
from kiosk.core.commands import Page
from kiosk.core.meaning import Kind
from kiosk.core.place import Place
from kiosk.core.views import AskView, MenuView, ScanView, StepsView, StopView
from kiosk.core.vocabulary import Disposition
from tests.core.department import BIG, EAR, LATE, PLAIN, Shift, at_work, desk, names, scan


def scopes_asked(shift: Shift) -> set[str]:
    """The scopes of the checks that are still open."""
    pieces = [piece for piece in shift.trip.pieces.values() if piece.disposition is None]
    return {check.tool for piece in pieces for check in piece.open_checks() if check.check == "scope"}


def only_the_first_scope(shift: Shift) -> None:
    known = shift.session.desk.catalogue
    kit = replace(known.kit, scopes=known.kit.scopes[:1])
    shift.session.use(replace(shift.session.desk, catalogue=replace(known, kit=kit)))


def scope_met_soil(*, alone: bool = False, **policy: object) -> Shift:
    shift = at_work(EAR, **policy)
    if alone:
        only_the_first_scope(shift)
    shift.yes_until("A1.bore.scope")
    shift.no("brown_film")
    return shift


def test_a_scope_that_met_soil_is_out_of_the_plans_at_once_and_the_notice_says_so() -> None:
    shift = scope_met_soil()
    assert shift.session.notice == ("notice.scope_out", {"scope": "SC-1"})
    shift.confirm("item_back")
    assert scopes_asked(shift) == {"SC-2"}


def test_a_piece_being_decided_keeps_the_plan_it_was_found_by_and_gets_another_when_the_finding_is_taken_back() -> None:
    shift = scope_met_soil()
    assert "SC-1" in scopes_asked(shift)
    shift.must(c.TakeBack())
    assert scopes_asked(shift) == {"SC-2"}
    assert len(shift.trip.pieces["A1"].yes["bore.swab"]) == 1  # answers that stand, stand


def test_a_lumen_that_nothing_reaches_without_the_scope_holds() -> None:
    shift = scope_met_soil(alone=True, part_not_seen="hold")
    shift.confirm("item_back")
    shift.tidy()
    shift.yes_to_all()
    assert (shift.step.kind, shift.step.piece) == ("plan_hold", "A2#1")


def test_a_lumen_that_was_finished_with_the_scope_is_not_held_without_it() -> None:
    shift = at_work(BIG, part_not_seen="hold")
    shift.yes_until("A3.outer.scope")
    shift.no("brown_film")
    shift.must(c.TakeBack())
    plan = shift.trip.pieces["A3"].plan
    assert shift.trip.pieces["A3"].lumen_done("inner")
    assert [way.lumen for way in plan.lumens if way.hold] == ["outer"]
    assert not plan.lumens[0].not_seen


def test_one_end_seen_by_a_scope_that_is_out_never_stands_for_both() -> None:
    shift = at_work(BIG)
    shift.yes_until("A3.inner.scope")
    shift.yes()
    far = Scope(id="SC-3", od_mm=Decimal("1.9"), reach_mm=Decimal(600), bends=True)
    known = shift.session.desk.catalogue
    kit = replace(known.kit, scopes=(*known.kit.scopes, far))
    shift.session.use(replace(shift.session.desk, catalogue=replace(known, kit=kit)))
    shift.no("brown_film")
    shift.must(c.TakeBack())
    step = shift.step
    assert step.check is not None
    assert (step.check.key, step.check.tool, step.end) == ("inner.scope", "SC-3", "tip")


def test_a_scope_that_met_soil_is_out_of_a_tray_that_waited_meanwhile() -> None:
    shift = at_work(BIG)
    shift.must(c.StopHere(reason="break"))
    shift.open(EAR)
    shift.count()
    shift.yes_until("A1.bore.scope")
    shift.no("brown_film")
    shift.confirm("item_back")
    shift.tidy()
    shift.must(c.StopHere(reason="break"))
    assert names(shift.must(scan(BIG))) == ["resumed", "plan_shown"]
    assert "SC-1" not in scopes_asked(shift)


def scope_asked_back() -> Shift:
    """The next day, and the scope's code is scanned."""
    shift = scope_met_soil()
    shift.confirm("item_back")
    shift.tidy()
    shift.must(c.SignOut())
    shift.minutes(24 * 60)
    shift.sign_in()
    shift.open(BIG)
    assert "SC-1" not in scopes_asked(shift)  # its start check does not bring it back
    shift.must(c.LetGo())
    assert shift.must(scan("SC-1", Kind.SCOPE)) == []
    return shift


def test_the_scope_stays_out_until_somebody_says_that_it_is_back() -> None:
    shift = scope_asked_back()
    view = shift.session.view()
    assert isinstance(view, AskView)
    assert view.no.send == c.Turn()
    assert view.yes.send is not None
    assert shift.must(view.yes.send) == [e.ScopeReturned(scope="SC-1"), e.ScopeCleaned(scope="SC-1")]
    shift.open(BIG)
    assert "SC-1" in scopes_asked(shift)


def test_a_scope_that_is_in_use_is_not_asked_back() -> None:
    shift = Shift()
    shift.sign_in()
    assert names(shift.must(scan("SC-1", Kind.SCOPE))) == ["wrong_scan"]
    shift.send(c.ScopeBack(scope="SC-1"))
    assert shift.refused == "refused.not_asked"


def bench_is_owed() -> Shift:
    """Grit in one piece: it goes back, the bench is to be wiped, then new gloves."""
    shift = at_work(EAR)
    shift.yes_until("A1.bore.swab")
    shift.no("bone_grit")
    shift.confirm("item_back")
    assert shift.step.kind == "bench"
    return shift


@pytest.mark.parametrize("gloves", [False, True])
@pytest.mark.parametrize("who", ["T1", "T2"])
def test_no_other_tray_opens_while_the_bench_or_gloves_are_owed(who: str, gloves: bool) -> None:
    shift = bench_is_owed()
    if gloves:
        shift.must(c.StepDone(step="bench"))
    shift.must(c.StopHere(reason="end_of_shift"))
    shift.sign_in(who)
    shift.send(scan(PLAIN))
    assert shift.refused == "refused.bench_owed"
    shift.must(scan(EAR))
    if who == "T2":
        shift.must(c.Confirm(what="covered", subject="1-000001"))
    assert shift.step.kind == ("gloves" if gloves else "bench")  # before the count
    if not gloves:
        shift.must(c.StepDone(step="bench"))
    shift.must(c.StepDone(step="gloves"))
    assert shift.step.kind == ("count" if who == "T2" else "print")


def test_the_bench_comes_first_although_a_paper_stands_before_it() -> None:
    shift = at_work(EAR)
    shift.yes_until("A1.bore.swab")
    shift.no("swab_left")
    shift.confirm("quarantine")
    shift.tidy()
    shift.yes_until("A2#1.bore.swab")
    shift.no("bone_grit")
    shift.must(c.RuleQuarantine(by="S1", piece="A1", note=""), c.NoPhoto(reason="no_time"))
    shift.confirm("item_back")
    assert shift.trip.tasks[0].kind == "print"
    assert shift.step.kind == "bench"


def test_on_a_tray_that_went_back_only_the_end_of_the_shift_is_left_and_the_next_person_cleans_the_bench() -> None:
    shift = at_work(EAR)
    shift.no("red_mark", Place())
    shift.confirm("tray_back")
    shift.must(c.Turn(page=Page.STOP))
    view = shift.session.view()
    assert isinstance(view, MenuView)
    stops = [key.send for key in view.keys if isinstance(key.send, c.StopHere)]
    assert stops == [c.StopHere(reason="end_of_shift")]
    shift.send(c.StopHere(reason="break"))
    assert shift.refused == "refused.finish_first"
    assert shift.must(*stops) == [e.SignedOut(reason="own")]
    shift.sign_in("T2")
    assert shift.step.kind == "bench"


def test_the_label_time_can_be_typed_again_on_the_wiping_step() -> None:
    shift = at_work(EAR)
    shift.no("red_mark", Place())
    shift.confirm("tray_back")
    shift.must(c.StepDone(step="bench"), c.StepDone(step="bench"), c.SetLabelTime(minutes=1))
    view = shift.session.view()
    assert isinstance(view, StepsView)
    assert c.Turn(page=Page.TYPE_NUMBER, subject="minutes") in [key.send for key in view.others]
    shift.must(c.SetLabelTime(minutes=4), c.StepDone(step="bench"))
    shift.minutes(3)
    shift.send(c.StepDone(step="bench"))
    assert shift.refused == "refused.still_wetting"


def test_a_tray_opens_by_the_newest_load_that_lists_it_and_by_no_other() -> None:
    shift = Shift()
    loads = {**shift.desk.catalogue.loads, "W-3": Load(id="W-3", released=False, trays=(EAR,))}
    shift.session.use(replace(shift.desk, catalogue=replace(shift.desk.catalogue, loads=loads)))
    shift.sign_in()
    assert "load_not_released" in names(shift.open(EAR))
    assert shift.trip.load == "W-3"
    shift.send(scan("W-1", Kind.LOAD))
    assert (shift.trip.load, shift.step.kind) == ("W-3", "load")  # another load never stands for it


def test_a_supervisor_and_nobody_else_records_that_the_printout_is_signed() -> None:
    shift = Shift()
    shift.sign_in()
    shift.open(LATE)
    shift.must(c.Turn())
    view = shift.session.view()
    assert isinstance(view, StopView)
    assert c.Turn(page=Page.NAMES, subject="ruling:") in [key.send for key in view.others]
    for by, load, said in (("T2", "W-2", "not_supervisor"), ("?", "W-2", "not_supervisor"), ("S1", "W-1", "not_asked")):
        shift.send(c.RuleLoad(by=by, load=load))
        assert shift.refused == f"refused.{said}"
    assert names(shift.must(c.RuleLoad(by="S1", load="W-2"))) == ["load_released", "load_checked"]
    assert shift.log[-1].stamp.who == "T1"
    assert shift.log[-2].stamp.who == "S1"
    assert shift.step.kind == "count"


def test_a_load_recorded_as_signed_counts_for_its_next_tray_too() -> None:
    shift = Shift()
    shift.sign_in()
    shift.open(LATE)
    shift.must(c.RuleLoad(by="S1", load="W-2"), c.LetGo())
    assert "load_checked" in names(shift.open(LATE))


@pytest.mark.parametrize("small", [True, False])
def test_the_bench_start_is_asked_again_from_its_own_pages_and_from_the_scan_page(small: bool) -> None:
    shift = Shift()
    shift.session.small = small
    shift.must(c.EnterPin(person="T1", pin="2580"), c.AnswerStartup(question="surface", yes=True))
    view = shift.session.view()
    assert c.StartAgain() in [key.send for key in (*view.hand.left, *view.hand.right)]
    shift.sign_in()
    view = shift.session.view()
    assert isinstance(view, ScanView)
    sends = [key.send for key in (*view.hand.left, *view.hand.right)]
    if small:  # there it lies one touch further, on the page of one's own settings
        assert c.Turn(page=c.Page.SETTINGS) in sends
        shift.send(c.Turn(page=c.Page.SETTINGS))
        page = shift.session.view()
        assert isinstance(page, MenuView)
        sends = [key.send for key in page.keys]
    assert c.StartAgain() in sends
    assert shift.must(c.StartAgain()) == [e.StartupAgain()]
    assert (shift.step.kind, shift.step.question) == ("startup", "surface")


def test_the_bench_start_is_not_asked_again_under_an_open_tray() -> None:
    shift = at_work(EAR)
    shift.send(c.StartAgain())
    assert shift.refused == "refused.not_asked"


def test_an_insulation_check_is_not_answered_yes_after_the_tester_failed() -> None:
    shift = Shift()
    shift.must(c.EnterPin(person="T1", pin="2580"))
    while shift.step.kind == "startup":
        shift.must(c.AnswerStartup(question=shift.step.question, yes=shift.step.question != "tester"))
    shift.open(BIG)
    shift.count()
    shift.yes_until("A3.insulation")
    shift.send(c.Answer(piece="A3", key="insulation", yes=True, took_ms=9000))
    assert shift.refused == "refused.tester_out"
    shift.no("kit_fault", Place())
    shift.confirm("hold")
    assert shift.trip.pieces["A3"].disposition is Disposition.HOLD


def test_the_policy_that_needs_no_release_asks_for_no_load() -> None:
    shift = Shift(desk=desk(load_release_required=False))
    shift.sign_in()
    shift.open(LATE)
    assert shift.step.kind == "count"
