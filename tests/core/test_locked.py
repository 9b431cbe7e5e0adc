"""Locked by quiet: the person is out, the work is exactly where it was, and no sign-in for one act outlives it."""

from dataclasses import replace

import pytest

from kiosk.core import commands as c
from kiosk.core import events as e
from kiosk.core.place import Place
from kiosk.core.views import SignInView
from tests.core.department import EAR, PIN, Shift, at_work, names, scan
from tests.core.short import short

QUIET = c.SignOut(idle=True)


def half_way() -> Shift:
    shift = at_work(EAR)
    shift.yes_until("A2#1.bore.dry")
    return shift


@pytest.mark.parametrize(
    "turn",
    [
        c.Turn(page=c.Page.OVERVIEW),
        c.Turn(page=c.Page.SOIL),
        c.Turn(page=c.Page.WHY),
        c.Turn(page=c.Page.STOP),
        c.Turn(page=c.Page.HAPPENED),
        c.Turn(page=c.Page.SETTINGS),
        c.Turn(page=c.Page.NAMES, subject="second:cosign:", number=1),
    ],
    ids=lambda turn: turn.page,
)
def test_the_page_that_was_open_is_open_again_for_the_same_person_at_the_same_step(turn: c.Turn) -> None:
    shift = half_way()
    before, step = shift.trip, shift.step
    shift.must(turn, QUIET)
    assert isinstance(shift.session.view(), SignInView)
    shift.minutes(29)
    shift.must(c.EnterPin(person="T1", pin=PIN))
    assert shift.session.turn == turn
    assert (shift.trip, shift.step) == (before, step)


def test_a_finding_that_was_half_told_is_asked_on_where_it_was() -> None:
    shift = half_way()
    shift.no("clear_drops", Place(landmark="shaft"))
    before = shift.trip
    shift.must(QUIET, c.EnterPin(person="T1", pin=PIN))
    assert shift.trip == before
    assert shift.step.kind in {"decide", "put_right"}


def test_a_colleague_finds_no_page_of_somebody_elses_and_takes_the_tray_over_only_by_the_rules() -> None:
    shift = half_way()
    shift.must(c.Turn(page=c.Page.SOIL), QUIET)
    assert names(shift.must(c.EnterPin(person="T2", pin=PIN))) == ["paused", "signed_in"]
    assert shift.session.turn is None
    shift.send(scan(EAR))
    while shift.step.kind == "startup":
        shift.must(c.AnswerStartup(question=shift.step.question, yes=True))
    shift.send(scan(EAR))
    assert "repeated_after_pause" in names(shift.must(c.Confirm(what="covered", subject="1-000001")))
    shift.must(c.SignOut(), c.EnterPin(person="T1", pin=PIN))
    assert shift.session.turn is None


def second_waits() -> Shift:
    """A supervisor let a tray go short; the second person is signed in for their one answer."""
    shift = short(missing_rule="pack_short_by_supervisor")
    shift.must(c.GiveOverride(by="S1", what="missing_pack_short", subjects=("Forceps",), reason="not_found"))
    shift.must(c.EnterPin(person="T2", pin=PIN, second="override"))
    assert shift.session.turn == c.Turn(page=c.Page.SECOND, subject="override:T2")
    return shift


def test_a_second_persons_half_given_answer_waits_and_their_own_number_is_asked_again() -> None:
    shift = second_waits()
    given = dict(shift.bench.overrides_given)
    assert given
    who = shift.bench.who
    assert who is not None
    shift.must(QUIET, c.EnterPin(person=who, pin=PIN))
    assert shift.bench.overrides_given == given
    assert shift.session.turn == c.Turn(page=c.Page.PIN, subject="second:override:T2")
    shift.must(c.EnterPin(person="T2", pin=PIN, second="override"))
    done = [event for event in shift.must(c.SecondOnOverride(by="T2", yes=True)) if isinstance(event, e.OverrideDone)]
    assert [(one.by, one.second) for one in done] == [("S1", "T2")]


@pytest.mark.parametrize(
    "turn",
    [
        c.Turn(page=c.Page.RULING, subject="S1"),
        c.Turn(page=c.Page.RULING_NOTE, subject="S1"),
        c.Turn(page=c.Page.SPARE, subject="S1"),
        c.Turn(page=c.Page.CORRECT, subject="S1:A1|bore|"),
        c.Turn(page=c.Page.EXPOSED_TRAYS, subject="S1"),
        c.Turn(page=c.Page.OVERRIDE, subject="S1"),
    ],
    ids=lambda turn: turn.page,
)
def test_a_supervisors_sign_in_for_one_ruling_ends_with_the_lock(turn: c.Turn) -> None:
    shift = half_way()
    shift.session.turn = turn
    shift.must(QUIET, c.EnterPin(person="T1", pin=PIN))
    assert shift.session.turn == c.Turn(page=c.Page.NAMES, subject="ruling:")


def test_a_page_is_not_laid_over_another_step_than_the_one_it_was_left_at() -> None:
    shift = half_way()
    shift.must(c.Turn(page=c.Page.SOIL), QUIET, c.FirstAid(), c.FirstAidDone(mistake=True))
    shift.session.bench = replace(shift.bench, current=None)
    shift.must(c.EnterPin(person="T1", pin=PIN))
    assert shift.session.turn is None


def test_signing_out_on_purpose_leaves_no_page_behind() -> None:
    shift = half_way()
    shift.must(c.Turn(page=c.Page.SOIL), c.SignOut(), c.EnterPin(person="T1", pin=PIN))
    assert shift.session.turn is None
