"""NO: what becomes of the piece, the tray and the bench, and what can be taken back."""

from kiosk import resources
from kiosk.core import commands as c
from kiosk.core import events as e
from kiosk.core.place import Place
from kiosk.core.together.repeats import in_a_row
from kiosk.core.vocabulary import Disposition
from tests.core.department import BIG, EAR, PIN, Shift, at_work, names, scan, with_one_back


def test_a_finding_carries_its_place() -> None:
    shift = at_work(EAR)
    shift.yes_until("A1.bore.swab")
    place = Place(lumen="bore", at_mm=70)
    assert names(shift.no("bone_grit", place)) == ["check_no", "finding"]
    (found,) = shift.trip.findings
    assert (found.place, found.tool, found.key) == (place, "3.0 mm", "bore.swab")


def test_the_mark_moves_but_never_off_the_tube() -> None:
    shift = at_work(EAR)
    shift.yes_until("A1.bore.swab")
    shift.no("bone_grit", Place(lumen="bore", at_mm=140))
    shift.must(c.MovePlace(by_mm=10), c.MovePlace(by_mm=10))
    assert shift.trip.findings[0].place.at_mm == 150
    shift.must(c.MovePlace(by_mm=-999))
    assert shift.trip.findings[0].place.at_mm == 0


def test_clear_water_is_dried_twice_and_then_goes_back_as_still_wet() -> None:
    shift = at_work(EAR)
    shift.yes_until("A1.bore.dry")
    for tries in (1, 2):
        shift.no("clear_drops")
        assert shift.step.kind == "put_right"
        (dried,) = shift.must(c.StepDone(step="put_right"))
        assert isinstance(dried, e.Dried)
        assert dried.tries == tries
        assert shift.step.check is not None
        assert shift.step.check.key == "bore.dry"
    shift.no("clear_drops")
    assert shift.trip.findings[-1].code == "still_wet"
    (back, *_) = shift.must(c.Confirm(what="item_back"))
    assert isinstance(back, e.ItemBack)
    assert back.pieces == ("A1",)


def test_a_piece_that_dried_stays_in_the_tray() -> None:
    shift = at_work(EAR)
    shift.yes_until("A1.bore.dry")
    shift.no("clear_drops")
    shift.must(c.StepDone(step="put_right"))
    shift.yes_to_all()
    assert shift.step.kind == "pack"


def test_a_fiber_is_put_right_at_the_bench() -> None:
    shift = at_work(EAR)
    shift.yes_until("A1.look")
    shift.no("fiber", Place(landmark="shaft"))
    (fixed,) = shift.must(c.StepDone(step="put_right"))
    assert isinstance(fixed, e.BenchFixed)
    assert shift.step.piece == "A1"


def test_grit_in_one_piece_sends_the_piece_and_the_tray_waits_for_it() -> None:
    shift = at_work(EAR)
    shift.yes_until("A1.bore.swab")
    shift.no("bone_grit")
    events = shift.confirm("item_back")
    assert names(events)[-1] == "item_back"
    assert names(shift.must(c.StepDone(step="bench"), c.StepDone(step="gloves")))[-1] == "print_asked"
    shift.tidy()
    shift.yes_to_all()
    assert shift.step.kind == "shelf"
    assert shift.trip.holds[-1].waits_for == ("A1",)
    assert names(shift.must(c.Confirm(what="shelf"))) == ["paused"]


def test_the_other_checks_of_a_piece_that_went_back_are_not_asked() -> None:
    shift = with_one_back()
    assert shift.step.piece == "A2#1"


def test_a_second_soiled_piece_sends_the_whole_tray() -> None:
    shift = with_one_back()
    shift.yes_until("A2#1.bore.swab")
    shift.no("brown_film")
    (back, *_) = shift.confirm("tray_back")
    assert isinstance(back, e.TrayBack)
    assert back.why == "because.raised.two_soiled_items"
    assert back.pieces == ("A2#1",)  # the first piece has left on its own ticket
    assert shift.trip.pieces["A1"].disposition is Disposition.ITEM_BACK  # and stays what it is
    others = {p.disposition for p in shift.trip.pieces.values() if p.name != "A1"}
    assert others == {Disposition.TRAY_BACK}
    shift.tidy()
    assert shift.step.kind == "scan"


def test_blood_sends_the_whole_tray_and_the_bench_is_cleaned_step_by_step() -> None:
    shift = at_work(EAR)
    shift.yes_until("A1.bore.swab")
    shift.no("red_mark")
    (back, *_) = shift.confirm("tray_back")
    assert isinstance(back, e.TrayBack)
    assert (back.bench, back.gloves) == ("full", True)
    shift.must(c.StepDone(step="bench"), c.StepDone(step="bench"))
    shift.send(c.StepDone(step="bench"))
    assert shift.refused == "refused.label_time"
    shift.must(c.SetLabelTime(minutes=10), c.StepDone(step="bench"))
    shift.send(c.StepDone(step="bench"))  # keep it wet: not passed before the label time is over
    assert shift.refused == "refused.still_wetting"
    shift.send(scan("TR-4"))
    assert shift.bench.current == "1-000001"
    shift.minutes(10)
    assert shift.must(c.StepDone(step="bench")) == [e.BenchStepDone(step=3)]
    assert shift.must(c.StepDone(step="bench"))[0] == e.BenchCleaned(level="full", wet_minutes=10)
    assert shift.step.kind == "gloves"


def test_the_label_time_is_asked_once_for_a_bench() -> None:
    shift = at_work(EAR)
    for _ in range(2):
        shift.yes_until("tray.basket")
        shift.no("red_mark", Place())
        shift.confirm("tray_back")
        shift.tidy()
        assert shift.bench.label_minutes == 3
        shift.open(EAR)
        shift.count()


def test_a_bench_cleaning_cut_off_by_a_power_cut_goes_on() -> None:
    shift = at_work(EAR)
    shift.must(c.SetLabelTime(minutes=3))
    shift.no("red_mark", Place())
    shift.confirm("tray_back")
    for _ in range(3):
        shift.must(c.StepDone(step="bench"))
    shift.must(c.Started(last_alive_ms=shift.at_ms))
    shift.sign_in()
    assert shift.step.kind == "bench"
    shift.tidy()
    assert shift.bench.wet_since_ms is None
    shift.open(EAR)


def test_a_tray_set_aside_while_its_bench_is_wet_is_the_one_tray_that_goes_on() -> None:
    shift = at_work(EAR, return_rule={**resources.policy().return_rule, "red_mark": "item"})
    shift.must(c.SetLabelTime(minutes=3))
    shift.yes_until("A1.bore.swab")
    shift.no("red_mark")
    shift.confirm("item_back")
    for _ in range(3):
        shift.must(c.StepDone(step="bench"))
    shift.must(c.StopHere(reason="called_away"))
    shift.send(scan("TR-4"))
    assert shift.refused == "refused.bench_wet"
    shift.open(EAR)
    assert shift.step.kind == "bench"


def send_back(shift: Shift) -> list[e.Event]:
    """The paired tube of the late set comes back with grit once more."""
    shift.yes_until("A1.bore.swab")
    shift.no("bone_grit")
    return shift.confirm("item_back")


def three_returns(shift: Shift) -> list[list[e.Event]]:
    """The same line of the same tray is found soiled on three trips; a spare lets each trip end."""
    runs = []
    for time in range(3):
        if time:
            shift.open(EAR)
            shift.count()
        runs.append(send_back(shift))
        if time == 2:
            break
        shift.tidy()
        shift.must(c.RuleSubstitute(by="S1", piece="A1", spare="X1"))
        shift.yes_to_all()
        shift.pack()
        shift.tidy()
    return runs


def test_the_second_return_in_a_row_tells_the_lead_and_the_third_is_quarantine_without_a_ticket() -> None:
    shift = at_work(EAR)
    first, second, third = three_returns(shift)
    assert "item_back" in names(first)
    assert "lead_told" not in names(first)
    assert {"item_back", "lead_told"} <= set(names(second))
    assert {"quarantined", "hold_placed", "lead_told"} <= set(names(third))
    assert "item_back" not in names(third)
    assert len(shift.trip.tickets) == 0
    assert shift.trip.pieces["A1"].disposition is Disposition.QUARANTINE


def test_a_piece_that_passed_between_two_returns_starts_again_from_one() -> None:
    shift = at_work(EAR)
    send_back(shift)
    shift.tidy()
    shift.must(c.RuleSubstitute(by="S1", piece="A1", spare="X1"))
    shift.yes_to_all()
    shift.pack()
    shift.tidy()
    assert in_a_row(shift.bench.turnouts["TR-1/A1"]) == 1
    shift.open(EAR)
    shift.count()
    shift.yes_to_all()
    assert in_a_row(shift.bench.turnouts["TR-1/A1"]) == 0


def test_a_swab_tip_left_inside_holds_the_tray_tells_the_lead_and_stays_with_the_tech() -> None:
    shift = at_work(EAR)
    shift.yes_until("A1.bore.swab")
    shift.no("swab_left")
    shift.send(c.TakeBack())
    assert shift.refused == "refused.finding_stays"
    events = shift.confirm("quarantine")
    assert {"hold_placed", "lead_told"} <= set(names(events))
    assert shift.trip.pieces["A1"].disposition is Disposition.HOLD
    shift.send(c.TakeBack())
    assert shift.refused in {"refused.finding_stays", "refused.nothing_to_change"}
    shift.tidy()
    shift.yes_to_all()
    assert shift.step.kind == "shelf"


def test_a_no_can_be_taken_back_and_stays_in_the_log_as_a_correction() -> None:
    shift = at_work(EAR)
    shift.yes_until("A1.bore.swab")
    shift.no("bone_grit")
    assert names(shift.must(c.TakeBack())) == ["finding_withdrawn", "correction"]
    assert shift.trip.findings == ()
    assert shift.step.check is not None
    assert shift.step.check.key == "bore.swab"
    assert [type(kept.event).__name__ for kept in shift.log][-4:] == [
        "CheckNo", "Found", "FindingWithdrawn", "Correction",
    ]  # fmt: skip
    shift.yes_to_all()
    assert shift.step.kind == "pack"


def test_a_yes_can_be_taken_back_and_is_asked_again() -> None:
    shift = at_work(EAR)
    shift.yes_until("A1.bore.dry")
    shift.yes()
    assert shift.must(c.TakeBack()) == [e.Correction(piece="A1", key="bore.dry")]
    assert shift.step.check is not None
    assert shift.step.check.key == "bore.dry"


def test_nobody_takes_back_somebody_elses_answer() -> None:
    shift = at_work(EAR)
    shift.yes_until("A1.bore.dry")
    shift.must(c.SignOut(idle=True), c.EnterPin(person="T1", pin=PIN), c.TakeBack())
    shift.yes()
    shift.must(c.SignOut(idle=True), c.EnterPin(person="T2", pin=PIN))
    shift.send(c.TakeBack())
    assert shift.refused


def test_a_decided_finding_can_not_be_taken_back() -> None:
    shift = at_work(EAR)
    shift.yes_until("A1.bore.swab")
    shift.no("bone_grit")
    shift.confirm("item_back")
    shift.send(c.TakeBack())
    assert shift.refused == "refused.ticket_made"


def test_nothing_of_a_packed_tray_can_be_taken_back() -> None:
    shift = at_work(EAR)
    shift.yes_to_all()
    shift.pack()
    shift.send(c.TakeBack())
    assert shift.refused == "refused.nothing_to_change"


def test_damage_wants_a_picture_or_a_reason_for_none() -> None:
    shift = at_work(EAR)
    shift.yes_until("A1.look")
    shift.no("crack", Place(landmark="joint"))
    shift.send(c.Confirm(what="repair"))
    assert shift.refused == "refused.photo_first"
    shift.must(c.NoPhoto(reason="too_dark"))
    (tagged, *_) = shift.must(c.Confirm(what="repair"))
    assert tagged == e.RepairTagged(tag="R-10001", piece="A1", n=1)


def test_cant_tell_waits_for_a_second_look() -> None:
    shift = at_work(EAR)
    shift.yes_until("A1.look")
    events = shift.must(c.Answer(piece="A1", key="look", yes=False, unsure=True))
    assert names(events) == ["check_no", "finding"]
    assert "second_look_asked" in names(shift.confirm("second_look"))
    shift.yes_to_all()
    assert shift.step.kind == "shelf"


def test_a_scope_that_met_soil_is_out_of_use_and_out_of_the_next_plans() -> None:
    shift = at_work(EAR)
    shift.yes_until("A1.bore.scope")
    assert names(shift.no("brown_film")) == ["check_no", "finding", "scope_out_of_use", "plan_shown"]
    shift.confirm("item_back")
    shift.tidy()
    shift.must(c.StopHere(reason="break"))
    shift.open(BIG)
    tools = {check.tool for piece in shift.trip.pieces.values() for check in piece.plan.checks}
    assert "SC-1" not in tools


def test_a_spare_like_for_like_takes_the_place_and_gets_its_own_checks() -> None:
    shift = at_work(EAR)
    send_back(shift)
    shift.tidy()
    assert names(shift.must(c.RuleSubstitute(by="S1", piece="A1", spare="X1"))) == ["replaced", "plan_shown"]
    assert (shift.step.kind, shift.step.piece) == ("check", "X1")
    shift.yes_to_all()
    assert shift.step.kind == "pack"


def test_a_spare_of_another_kind_is_refused_and_so_is_a_second_spare() -> None:
    shift = at_work(EAR)
    send_back(shift)
    shift.send(c.RuleSubstitute(by="S1", piece="A1", spare="X2"))
    assert shift.refused == "refused.not_alike"
    shift.must(c.RuleSubstitute(by="S1", piece="A1", spare="X1"))
    shift.send(c.RuleSubstitute(by="S1", piece="A1", spare="X1"))
    assert shift.refused == "refused.no_piece"


def test_only_a_supervisor_gives_a_ruling() -> None:
    shift = at_work(EAR)
    send_back(shift)
    shift.send(c.RuleSubstitute(by="T2", piece="A1", spare="X1"))
    assert shift.refused == "refused.not_supervisor"
    shift.send(c.EnterPin(person="T2", pin=PIN, ruling=True))
    assert shift.refused == "refused.not_supervisor"
