"""People hurt or splashed, torn gloves, and everything stopped at once. Source of each rule: JOB section 6, FORMS 6."""

import pytest

from kiosk.core import commands as c
from kiosk.core import events as e
from kiosk.core.commands import Page
from kiosk.core.dispositions import waits
from kiosk.core.past.counters import COUNTERS
from kiosk.core.place import Place
from kiosk.core.state.bench import Bench
from kiosk.core.state.trip import Trip
from kiosk.core.views import FirstAidView, ListView, MenuView
from tests.core.by_chance import offered
from tests.core.department import BIG, EAR, LATE, PIN, PLAIN, Shift, at_work, names, scan, with_one_back


def beside() -> Shift:
    """The plain set lies open beside the ear set, which is half done."""
    shift = Shift()
    shift.sign_in()
    shift.open(PLAIN)
    shift.must(c.StopHere(reason="called_away"))
    shift.open(EAR)
    shift.count()
    shift.yes_until("A1.bore.swab")
    return shift


def helped(shift: Shift, who: str = "T2") -> Shift:
    shift.must(c.FirstAid(), c.FirstAidDone(), c.EnterPin(person=who, pin=PIN))
    return shift


def trip(bench: Bench, tray: str) -> Trip:
    return next(one for one in bench.trips.values() if one.tray.code == tray)


def keys(view: object) -> list[c.Send | None]:
    shown = (getattr(view, "main", None), *getattr(view, "others", ()), *getattr(view, "keys", ()))
    return [key.send for key in shown if key is not None]


def test_first_aid_asks_nothing_and_shows_what_to_do_and_the_time_since() -> None:
    shift = beside()
    shift.must(c.FirstAid())
    shown = shift.session.view()
    assert isinstance(shown, FirstAidView)
    assert (len(shown.steps), shown.since_ms) == (5, shift.at_ms)
    assert {key.send for key in (shown.main, shown.mistake)} == {c.FirstAidDone(), c.FirstAidDone(mistake=True)}
    shift.minutes(90)
    assert isinstance(shift.session.view(), FirstAidView)


def test_the_half_done_tray_stays_on_the_bench_and_is_not_taken_over_by_the_one_who_helps() -> None:
    shift = beside()
    before = shift.trip
    helped(shift)
    assert shift.step.kind == "exposed"
    assert (shift.trip.pieces, shift.trip.pause) == (before.pieces, None)
    shift.must(c.ClearExposure(kind="none"))
    left = trip(shift.bench, EAR)
    assert shift.bench.trip is None
    assert left.pause is not None
    assert left.pause.by == "T1"
    assert left.pieces == before.pieces


def test_after_a_splash_the_bench_is_cleaned_before_its_start_is_asked() -> None:
    shift = beside()
    shift.must(c.FirstAid(), c.FirstAidDone())
    shift.minutes(12 * 60)  # the next shift: nobody has answered its bench start yet
    shift.must(c.EnterPin(person="T2", pin=PIN), c.MarkHit(trip=trip(shift.bench, EAR).id, hit=True))
    shift.must(c.ClearExposure(kind="splash"))
    assert shift.step.kind == "bench"
    shift.must(c.SetLabelTime(minutes=3))
    while shift.step.kind in {"bench", "gloves"}:
        shift.minutes(5)
        shift.must(c.StepDone(step=shift.step.kind))
    assert shift.step.kind == "startup"


def test_a_supervisor_reaches_the_desk_while_the_bench_is_cleaned_and_comes_back_to_the_cleaning() -> None:
    shift = helped(beside(), "S1")
    shift.must(c.MarkHit(trip=trip(shift.bench, EAR).id, hit=True), c.ClearExposure(kind="splash"))
    assert shift.step.kind == "bench"
    shift.must(c.SetLabelTime(minutes=3), c.StepDone(step="bench"))
    before = (shift.step, shift.bench.wet_since_ms)
    stop = c.Turn(page=Page.STOP)
    assert stop in offered(shift.session.view())
    shift.must(stop)
    assert c.Turn(page=Page.DESK) in keys(shift.session.view())
    shift.must(c.Turn(page=Page.DESK), c.Turn(page=Page.POLICY), c.DraftRule(key="fail_limit", value="2"))
    shift.must(c.Turn(page=Page.DESK))
    back = shift.session.view().hand.left[0].send
    assert back is not None
    shift.must(back)
    assert (shift.step, shift.bench.wet_since_ms) == before
    tech = helped(beside(), "T2")
    tech.must(c.MarkHit(trip=trip(tech.bench, EAR).id, hit=True), c.ClearExposure(kind="splash"), stop)
    assert c.Turn(page=Page.DESK) not in keys(tech.session.view())


def test_the_tray_beside_that_was_hit_is_fetched_to_clean_up_before_the_bench_start() -> None:
    shift = beside()
    shift.must(c.FirstAid(), c.FirstAidDone())
    shift.minutes(12 * 60)
    shift.must(c.EnterPin(person="T2", pin=PIN), c.MarkHit(trip=trip(shift.bench, PLAIN).id, hit=True))
    shift.must(c.MarkHit(trip=trip(shift.bench, EAR).id, hit=False), c.ClearExposure(kind="splash"))
    assert shift.step.kind in {"scan", "bench"}
    shift.open(PLAIN)
    assert shift.step.kind == "bench"


def test_the_one_who_comes_back_goes_on_where_it_was() -> None:
    shift = helped(beside(), "T1")
    shift.must(c.ClearExposure(kind="none"))
    assert (shift.step.piece, shift.step.check and shift.step.check.key) == ("A1", "bore.swab")


def test_every_open_tray_is_named_and_each_that_was_hit_goes_back_with_its_own_ticket() -> None:
    shift = helped(beside())
    shown = shift.session.view()
    assert isinstance(shown, ListView)
    assert [row.title.rsplit(" ", 1)[-1] for row in shown.rows] == [EAR, PLAIN]
    shift.must(c.ClearExposure(kind="splash"))
    assert [len(trip(shift.bench, tray).tickets) for tray in (EAR, PLAIN)] == [1, 1]
    numbers = {trip(shift.bench, tray).tickets[0].number for tray in (EAR, PLAIN)}
    assert len(numbers) == 2
    assert trip(shift.bench, PLAIN).tickets[0].pieces == ()


def test_a_tray_that_was_covered_stays() -> None:
    shift = helped(beside())
    shift.must(c.MarkHit(trip=trip(shift.bench, PLAIN).id, hit=False), c.ClearExposure(kind="splash"))
    assert trip(shift.bench, EAR).ended
    assert not trip(shift.bench, PLAIN).ended


def test_a_tray_on_the_hold_shelf_is_not_taken_for_hit() -> None:
    shift = with_one_back()
    shift.yes_to_all()
    shift.must(c.Confirm(what="shelf"))
    shift.open(PLAIN)
    helped(shift)
    assert (trip(shift.bench, EAR).hit, trip(shift.bench, PLAIN).hit) == (False, True)


def test_the_bench_is_cleaned_once_in_full_by_whoever_is_there() -> None:
    shift = helped(beside())
    shift.must(c.ClearExposure(kind="splash"))
    cleaned: list[e.Event] = []
    while shift.step.kind in {"bench", "gloves"}:
        if shift.bench.label_minutes is None:
            shift.must(c.SetLabelTime(minutes=3))
        shift.minutes(4)
        cleaned += shift.must(c.StepDone(step=shift.step.kind))
    assert e.BenchCleaned(level="full", wet_minutes=3) in cleaned
    assert names(cleaned).count("bench_cleaned") == 1
    assert shift.bench.who == "T2"
    assert {kept.stamp.who for kept in shift.log if isinstance(kept.event, e.TrayOpened)} == {"T1"}


def test_a_splash_that_hit_no_tray_still_asks_for_the_bench() -> None:
    shift = at_work(EAR)
    helped(shift)
    shift.must(c.MarkHit(trip=shift.trip.id, hit=False), c.ClearExposure(kind="splash"))
    assert (shift.step.kind, shift.step.task and shift.step.task.level) == ("bench", "full")


def test_the_papers_of_every_tray_that_went_back_come_one_after_the_other() -> None:
    shift = helped(beside())
    shift.must(c.ClearExposure(kind="splash"))
    shift.tidy()
    assert shift.step.kind == "scan"
    jobs = [job for one in shift.bench.trips.values() for job in one.jobs]
    assert sorted(job.number for job in jobs) == ["K-10001", "K-10002"]
    assert all(job.readable for job in jobs)


def test_a_sharp_is_secured_before_the_bench_is_touched_and_the_tray_goes_back() -> None:
    shift = helped(at_work(EAR))
    shift.must(c.ClearExposure(kind="sharps"))
    assert shift.step.kind == "sharp"
    assert trip(shift.bench, EAR).back_ms is not None
    assert names(shift.must(c.StepDone(step="sharp"))) == ["sharp_secured"]
    assert shift.step.kind == "bench"


def test_what_may_not_be_washed_does_not_go_back_with_the_splashed_tray() -> None:
    shift = at_work(EAR)
    shift.yes_until("A1.bore.swab")
    shift.no("swab_left")
    helped(shift)
    shift.must(c.ClearExposure(kind="splash"))
    ear = trip(shift.bench, EAR)
    assert ear.pieces["A1"].disposition == "hold"
    assert "A1" not in ear.tickets[0].pieces
    assert ear.tickets[0].findings  # the splash itself, although it hit the very piece that stays
    assert not any(task.kind == "decide" for task in ear.tasks)


def test_nothing_of_an_exposure_in_the_log_carries_a_name_or_a_tray() -> None:
    shift = at_work(EAR)
    length = len(shift.log)
    shift.must(c.FirstAid(), c.FirstAidDone())
    assert {(kept.stamp.who, kept.stamp.trip) for kept in shift.log[length:]} == {(None, None)}


def test_two_who_were_hurt_one_after_the_other_are_two_exposures_and_asked_once() -> None:
    shift = at_work(EAR)
    shift.must(c.FirstAid(), c.FirstAidDone(), c.FirstAid(), c.FirstAidDone(), c.EnterPin(person="T2", pin=PIN))
    shift.must(c.ClearExposure(kind="none"))
    assert [one.number for one in shift.bench.exposures] == ["E-1", "E-2"]
    assert all(one.cleared for one in shift.bench.exposures)


def test_a_torn_glove_brings_new_gloves_and_is_counted_for_nobody() -> None:
    shift = at_work(EAR)
    assert names(shift.must(c.TornGlove())) == ["glove_torn"]
    assert shift.step.kind == "gloves"
    shift.must(c.StepDone(step="gloves"))
    assert shift.step.kind == "check"
    assert not [name for name in COUNTERS if "glove" in name]


def test_gloves_are_asked_after_soil_and_not_at_every_lumen() -> None:
    shift = at_work(EAR)
    shift.yes_to_all()
    assert "gloves_changed" not in names([kept.event for kept in shift.log])
    shift = at_work(EAR)
    shift.yes_until("A1.bore.swab")
    shift.no("bone_grit")
    shift.confirm("item_back")
    shift.must(c.StepDone(step="bench"))
    assert shift.step.kind == "gloves"


def stopped() -> Shift:
    shift = beside()
    shift.must(c.StopAll())
    return shift


def test_stop_all_holds_every_open_tray_at_once_and_nobody_signs_out_first() -> None:
    shift = beside()
    happened = c.Turn(page=Page.HAPPENED)
    shift.must(happened)
    assert c.StopAll() in keys(shift.session.view())
    events = shift.must(c.StopAll())
    assert names(events).count("hold_placed") == 2
    assert all(waits(one) for one in shift.bench.trips.values())
    assert shift.bench.who is None


def test_a_tray_that_was_exposed_is_not_gone_on_with_before_the_ruling() -> None:
    shift = stopped()
    shift.sign_in()
    shift.must(scan(EAR))
    assert shift.bench.trip is None
    shown = shift.session.view()
    assert isinstance(shown, MenuView)
    assert not [send for send in keys(shown) if isinstance(send, c.RuleExposed)]
    shift.send(c.Confirm(what="covered", subject=trip(shift.bench, EAR).id))
    assert shift.refused == "refused.no_tray"


def test_the_supervisor_lets_one_tray_go_on_for_a_reason_and_sends_another_back() -> None:
    shift = stopped()
    shift.sign_in("S1")
    ear, plain = (trip(shift.bench, tray).id for tray in (EAR, PLAIN))
    shift.must(c.RuleExposed(by="S1", trip=plain, reason="covered"))
    shift.must(c.RuleExposed(by="S1", trip=ear))
    assert shift.bench.trips[ear].back_ms is not None
    assert not shift.bench.trips[plain].holds
    assert not waits(shift.bench.trips[plain])


@pytest.mark.parametrize(("by", "why"), [("T2", "refused.not_supervisor"), ("nobody", "refused.not_supervisor")])
def test_only_a_supervisor_rules_on_an_exposed_tray(by: str, why: str) -> None:
    shift = stopped()
    shift.sign_in("T2")
    shift.send(c.RuleExposed(by=by, trip=trip(shift.bench, EAR).id, reason="covered"))
    assert shift.refused == why


def test_an_own_tray_does_not_go_on_by_ones_own_word() -> None:
    shift = Shift()
    shift.sign_in("S1")
    shift.must(scan(EAR))
    while shift.step.kind == "startup":
        shift.must(c.AnswerStartup(question=shift.step.question, yes=True))
    if shift.bench.trip is None:
        shift.must(scan(EAR))
    shift.must(c.StopAll(), c.EnterPin(person="S1", pin=PIN))
    shift.send(c.RuleExposed(by="S1", trip=trip(shift.bench, EAR).id, reason="covered"))
    assert shift.refused == "refused.own_work"


def test_a_tray_whose_load_is_not_released_may_go_back_too() -> None:
    shift = Shift()
    shift.sign_in()
    shift.open(LATE)
    helped(shift)
    shift.must(c.ClearExposure(kind="splash"))
    assert shift.step.kind == "bench"


def test_the_log_folds_to_the_same_bench() -> None:
    shift = helped(beside())
    shift.must(c.ClearExposure(kind="splash"))
    assert shift.folded() == shift.bench
    shift = stopped()
    assert shift.folded() == shift.bench


def test_an_answer_that_waits_for_its_finding_goes_back_with_the_splash() -> None:
    shift = at_work(BIG)
    shift.yes_until("A3.inner.swab")
    shift.must(c.Answer(piece="A3", key="inner.swab", yes=False))
    helped(shift)
    shift.must(c.ClearExposure(kind="splash"))
    big = trip(shift.bench, BIG)
    assert big.asking is None
    assert [(f.piece, f.key, f.code, f.place) for f in big.findings] == [("A3", "inner.swab", "splash", Place())]
