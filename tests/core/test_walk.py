"""The walk of a tray: what is asked, in which order, and what a tap that was not asked does."""

import pytest

from kiosk.core import commands as c
from kiosk.core import events as e
from kiosk.core.decide import Refused, decide
from kiosk.core.pace import pace_ms
from kiosk.core.place import Place
from kiosk.core.state.bench import Bench
from tests.core.department import BIG, EAR, HOLD, LATE, PLAIN, Shift, at_work, desk, names, scan


def test_one_lumen_is_walked_from_the_scan_to_the_label() -> None:
    shift = at_work(EAR)
    asked = []
    while shift.step.kind == "check":
        assert shift.step.check is not None
        asked.append((shift.step.piece, shift.step.check.key))
        shift.yes()
        if shift.step.piece not in {"tray", "A1"} or shift.step.kind != "check":
            break
    ways = ["look", "bore.dry", "bore.swab", "bore.scope"]
    assert asked == [("tray", "basket"), ("tray", "others"), *(("A1", key) for key in ways)]
    assert shift.trip.pieces["A1"].all_yes
    shift.yes_to_all()
    assert shift.step.kind == "pack"
    assert names(shift.pack()) == ["indicators_placed", "packaging_chosen", "packed", "print_asked", "print_asked"]
    assert names(shift.print_all()) == ["sheet_printed", "label_printed"]
    assert names(shift.must(c.Readable(yes=True))) == ["paper_read", "paper_read"]
    assert shift.step.kind == "scan"


def test_a_scan_opens_the_tray_and_shows_its_plan() -> None:
    shift = Shift()
    shift.sign_in()
    assert names(shift.open(EAR)) == ["tray_opened", "load_checked", "plan_shown"]
    assert list(shift.trip.pieces) == ["tray", "A1", "A2#1", "A2#2"]


def test_a_tray_without_a_lumen_has_its_own_two_checks() -> None:
    shift = at_work(PLAIN)
    assert names([*shift.yes(), *shift.yes()]) == ["check_yes", "check_yes"]
    assert shift.step.kind == "pack"


def test_the_scope_is_cleaned_before_it_meets_the_next_piece() -> None:
    shift = at_work(EAR)
    shift.yes_until("A1.bore.scope")
    shift.yes()
    assert (shift.step.kind, shift.step.scope) == ("scope", "SC-1")
    assert shift.must(c.StepDone(step="scope")) == [e.ScopeCleaned(scope="SC-1")]
    assert shift.step.piece == "A2#1"


def test_both_ends_are_asked_one_by_one() -> None:
    shift = at_work(BIG)
    shift.yes_until("A3.inner.swab")
    ends = []
    while shift.step.check is not None and shift.step.check.lumen == "inner":
        ends.append((str(shift.step.check.check), shift.step.end))
        shift.yes()
    assert ends == [("swab", "entry"), ("swab", "tip"), ("scope", "entry"), ("scope", "tip")]
    assert shift.step.kind == "check"  # the same scope goes on in the same piece


ASKED_NOWHERE = [
    c.Answer(piece="A1", key="bore.dry", yes=True), c.ReportFinding(code="red_mark", place=Place()), c.TakeBack(),
    c.MovePlace(by_mm=10), c.KeepPhoto(file="a.png", sha256="00"), c.NoPhoto(reason="no_time"),
    c.Confirm(what="item_back"), c.Confirm(what="shelf"), c.Confirm(what="covered", subject="1-000001"),
    c.StepDone(step="put_right"), c.StepDone(step="bench"), c.StepDone(step="gloves"), c.StepDone(step="scope"),
    c.StepDone(step="dance"), c.Weigh(value="5", unit="kg"), c.PlaceIndicators(count=1),
    c.ChoosePackaging(kind="wrap"), c.PackAndPrint(), c.PrintAgain(), c.WriteByHand(), c.Readable(yes=True),
    c.AnswerStartup(question="lamp", yes=True), c.CountLine(line="Forceps", have=3),
    c.CountAll(lines=("Forceps",), took_ms=9000), c.CountDiffers(), c.OpenPiece(piece="B9"),
    c.RuleQuarantine(by="S1", piece="A1", note=""), c.RuleSubstitute(by="S1", piece="A1", spare="X1"),
]  # fmt: skip


@pytest.mark.parametrize("command", ASKED_NOWHERE, ids=lambda command: f"{type(command).__name__}")
def test_a_tap_that_is_not_asked_is_refused_and_writes_nothing(command: c.Command) -> None:
    shift = at_work(EAR)
    before, length = shift.bench, len(shift.log)
    assert shift.send(command) == []
    assert shift.refused
    assert (shift.bench, len(shift.log)) == (before, length)


@pytest.mark.parametrize("command", ASKED_NOWHERE, ids=lambda command: f"{type(command).__name__}")
def test_nothing_is_answered_by_nobody(command: c.Command) -> None:
    shift = at_work(EAR)
    shift.must(c.SignOut(idle=True))
    shift.send(command)
    assert shift.refused == "refused.sign_in_first"


def test_the_answer_to_another_check_than_the_open_one_is_refused() -> None:
    shift = at_work(EAR)
    shift.send(c.Answer(piece="tray", key="others", yes=True))
    assert shift.refused == "refused.not_asked"


def test_a_refusal_is_raised_to_whoever_decides() -> None:
    shift = Shift()
    with pytest.raises(Refused, match="sign_in_first"):
        decide(Bench(), c.PackAndPrint(), desk(), shift.now())


def test_a_count_is_not_taken_before_the_load_is_released() -> None:
    shift = Shift()
    shift.sign_in()
    shift.open(LATE)
    shift.send(c.CountLine(line="Forceps", have=4))
    assert shift.refused == "refused.not_asked"


def test_a_load_that_is_not_released_stops_the_tray() -> None:
    shift = Shift()
    shift.sign_in()
    assert "load_not_released" in names(shift.open(LATE))
    assert shift.step.kind == "load"
    assert names(shift.must(scan("W-2"))) == ["wrong_scan"]
    assert names(shift.must(c.StopHere(reason="load"))) == ["paused"]
    assert shift.step.kind == "scan"


def test_a_count_faster_than_a_second_is_asked_once_more() -> None:
    """One second: a choice, no published figure."""
    shift = Shift()
    shift.sign_in()
    shift.open(EAR)
    lines = tuple(line.name for line in shift.trip.tray.lines)
    assert shift.send(c.CountAll(lines=lines, took_ms=999)) == []
    assert shift.session.notice == ("notice.count_quick", {})
    assert "count_ok" in names(shift.send(c.CountAll(lines=lines, took_ms=1000)))


def test_a_short_count_makes_the_tray_wait() -> None:
    shift = Shift()
    shift.sign_in()
    shift.open(PLAIN)
    shift.must(c.CountLine(line="Forceps", have=3))
    assert names(shift.must(c.CountDiffers())) == ["count_short", "hold_placed", "lead_told"]
    shift.yes_to_all()
    assert shift.step.kind == "shelf"
    assert shift.trip.holds[0].waits_for == ("Forceps",)


def test_a_scope_yes_faster_than_the_pace_is_asked_once_and_then_taken() -> None:
    """0.4 s a centimeter, at least 4 s: a choice, no published figure. 150 mm is 6 s."""
    shift = at_work(EAR)
    shift.yes_until("A1.bore.scope")
    answer = c.Answer(piece="A1", key="bore.scope", yes=True, took_ms=5999)
    assert shift.send(answer) == []
    assert shift.session.notice == ("notice.quick_look", {"seconds": 5})
    sure = c.Answer(piece="A1", key="bore.scope", yes=True, took_ms=900, sure=True)
    (said,) = shift.send(sure)
    assert isinstance(said, e.CheckYes)
    assert said.asked_twice


def test_a_scope_yes_at_the_pace_is_taken_at_once() -> None:
    shift = at_work(EAR)
    shift.yes_until("A1.bore.scope")
    assert names(shift.send(c.Answer(piece="A1", key="bore.scope", yes=True, took_ms=6000))) == ["check_yes"]


def test_the_pace_has_a_least_and_a_most() -> None:
    """4 s to 60 s: a choice, no published figure."""
    policy = desk().policy
    lengths = [None, policy.long_over_mm * 0 + 10, policy.long_over_mm, policy.long_over_mm * 100]
    assert [pace_ms(policy, length) for length in lengths] == [4000, 4000, 12000, 60000]


def test_a_piece_that_no_check_reaches_is_held_by_the_plan() -> None:
    shift = at_work(HOLD)
    shift.yes_until("A4.look")
    shift.yes()
    assert (shift.step.kind, shift.step.piece) == ("plan_hold", "A4")
    (held,) = shift.must(c.Confirm(what="hold"))
    assert held == e.HoldPlaced(hold="1-H1", code="unknown_lumen", waits_for=("A4",))
    shift.yes_to_all()
    (held,) = shift.must(c.Confirm(what="hold"))
    assert held == e.HoldPlaced(hold="1-H2", code="cannot_reach", waits_for=("A5",))


def test_a_piece_that_no_check_reaches_can_go_to_the_dirty_side_for_its_check() -> None:
    shift = at_work(HOLD)
    shift.yes_to_all()
    events = shift.must(c.Confirm(what="item_back"))
    assert names(events) == ["finding", "item_back", "print_asked"]
    assert shift.trip.findings[0].code == "cannot_reach"


def test_a_start_up_no_takes_the_kit_out_of_the_plans() -> None:
    def tools_after(question: str) -> set[str]:
        shift = Shift()
        shift.must(c.EnterPin(person="T1", pin="2580"))
        while shift.step.kind == "startup":
            shift.must(c.AnswerStartup(question=shift.step.question, yes=not shift.step.question.startswith(question)))
        shift.open(EAR)
        return {str(check.check) for piece in shift.trip.pieces.values() for check in piece.plan.checks if check.lumen}

    assert tools_after("lamp") == {"dry", "swab", "scope"}
    assert "swab" not in tools_after("swabs")
    assert "scope" not in tools_after("scope")


def test_the_bench_start_is_asked_once_a_shift() -> None:
    shift = Shift()
    shift.sign_in()
    shift.must(c.SignOut())
    shift.must(c.EnterPin(person="T2", pin="2580"))
    assert shift.step.kind == "scan"
    shift.must(c.SignOut())
    shift.minutes(8 * 60)
    shift.must(c.EnterPin(person="T2", pin="2580"))
    assert shift.step.kind == "startup"


def test_a_start_up_that_runs_over_the_change_of_shift_ends() -> None:
    shift = Shift()
    shift.minutes(6 * 60 + 59)  # 14:59, the late shift begins at 15:00
    shift.must(c.EnterPin(person="T1", pin="2580"))
    shift.minutes(2)
    for _ in range(6):
        shift.must(c.AnswerStartup(question=shift.step.question, yes=True))
    assert shift.step.kind == "scan"


def test_no_tray_is_opened_before_the_start_up_is_answered() -> None:
    shift = Shift()
    shift.must(c.EnterPin(person="T1", pin="2580"))
    shift.send(scan(EAR))
    assert shift.refused == "refused.startup_first"


def test_a_code_of_another_kind_opens_nothing() -> None:
    shift = Shift()
    shift.sign_in()
    assert names(shift.must(scan("W-1"))) == ["wrong_scan"]  # a load's code that was read as a tray's
    assert shift.bench.trip is None


def test_the_picked_piece_comes_first() -> None:
    shift = at_work(EAR)
    shift.yes()
    shift.yes()
    assert shift.must(c.OpenPiece(piece="A2#2")) == [e.PieceChosen(piece="A2#2")]
    assert shift.step.piece == "A2#2"
