"""A ticket answered at two stations of decontam that were apart: the same answer is one, two that differ are ruled."""

from dataclasses import replace
from itertools import permutations

import pytest

from kiosk.core import commands as c
from kiosk.core import events as e
from kiosk.core.meaning import Kind
from kiosk.core.place import Place
from kiosk.core.together.answers import ANSWERS, CANNOT_SHIFT, CAREFUL, CLEANED, DAMAGED, NOTHING
from kiosk.core.together.returns import answer_of, find_return
from kiosk.core.views import ListView
from tests.core.department import EAR, PIN, Shift, scan
from tests.core.two_benches import Stations, stations

TICKET = "K-10001"


def sent_and_apart() -> Stations:
    """A piece went back from B1; D1 and D2 both know of it, and have both taken it in without the other."""
    known = stations("B1", "D1", "D2")
    bench = known["B1"]
    bench.sign_in()
    bench.open(EAR)
    bench.count()
    bench.yes_until("A1.bore.swab")
    bench.no("bone_grit", Place(lumen="bore", at_mm=40))
    bench.confirm("item_back")
    bench.tidy()
    bench.yes_to_all()
    bench.must(c.Confirm(what="shelf"))
    known.meet()
    for name in ("D1", "D2"):
        known[name].must(scan(TICKET, Kind.TICKET), c.EnterPin(person="D1", pin=PIN))
        known[name].minutes(1)
    return known


def answered(here: str, there: str) -> Stations:
    known = sent_and_apart()
    known["D1"].must(c.AnswerTicket(ticket=TICKET, says=here))
    known["D2"].must(c.AnswerTicket(ticket=TICKET, says=there))
    known.meet()
    return known


def answers(known: Stations) -> set[str]:
    return {answer_of(shift.bench, shift.session.desk, TICKET) for shift in known.each.values()}


@pytest.mark.parametrize("says", ANSWERS)
def test_the_same_answer_twice_is_no_conflict_and_both_stay_in_the_log(says: str) -> None:
    known = answered(says, says)
    assert not known.conflicts("B1")
    assert answers(known) == {says}
    assert [len(known.told(name, e.TicketAnswered)) for name in ("D1", "D2")] == [1, 1]


def test_taken_in_twice_is_one_return_first_seen_by_whoever_had_it_first() -> None:
    known = sent_and_apart()
    known.meet()
    received = [kept.stamp.at_ms for name in ("D1", "D2") for kept in known[name].log if _received(kept.event)]
    assert len(received) == 2
    for shift in known.each.values():
        found = find_return(shift.bench, shift.session.desk, TICKET)
        assert found is not None
        assert found.back.received_ms == min(received)


def _received(event: e.Event) -> bool:
    return isinstance(event, e.TicketReceived)


@pytest.mark.parametrize(("here", "there"), list(permutations(ANSWERS, 2)))
def test_two_answers_that_differ_are_one_conflict_and_the_more_careful_counts(here: str, there: str) -> None:
    known = answered(here, there)
    assert known.conflict().startswith(f"answers:{TICKET}:")
    assert answers(known) == {max(here, there, key=CAREFUL.index)}
    (noted,) = [each for name in known.each for each in known.told(name, e.SyncConflict)]
    assert isinstance(noted, e.SyncConflict)
    assert (noted.kind, noted.what, noted.stations) == ("answers", TICKET, ("D1", "D2"))


def test_what_will_not_come_off_holds_the_tray_whoever_else_said_cleaned() -> None:
    known = answered(CLEANED, CANNOT_SHIFT)
    (trip,) = known["B1"].bench.trips.values()
    assert CANNOT_SHIFT in {hold.code for hold in trip.holds}


@pytest.mark.parametrize("grave", [CANNOT_SHIFT, DAMAGED])
def test_the_piece_does_not_come_back_clean_before_the_ruling(grave: str) -> None:
    known = answered(grave, CLEANED)
    known["B1"].send(c.SendBackClean(ticket=TICKET, load="W-1"))
    assert known["B1"].refused in {"refused.answers_differ", "refused.cannot_shift"}
    known.rule("B1", CLEANED)
    known.meet()
    known["B1"].sign_in()
    known["B1"].must(c.SendBackClean(ticket=TICKET, load="W-1"))


def test_the_ruling_counts_everywhere_and_lets_go_only_of_what_the_answer_held() -> None:
    known = answered(CLEANED, CANNOT_SHIFT)
    before = {hold.id: hold.code for hold in next(iter(known["B1"].bench.trips.values())).holds}
    known.rule("B1", CLEANED)
    known.meet()
    assert answers(known) == {CLEANED}
    assert not any(known.conflicts(name) for name in known.each)
    left = {hold.id for hold in next(iter(known["B1"].bench.trips.values())).holds}
    assert left == {hold for hold, code in before.items() if code != CANNOT_SHIFT}


def test_an_easier_word_does_not_end_it_and_a_more_careful_one_is_taken() -> None:
    known = answered(NOTHING, DAMAGED)
    known["D1"].send(c.AnswerTicket(ticket=TICKET, says=CLEANED))
    assert known["D1"].refused == "refused.answers_differ"
    known["D1"].must(c.AnswerTicket(ticket=TICKET, says=CANNOT_SHIFT))
    known.meet()
    assert answers(known) == {CANNOT_SHIFT}
    assert known.conflict()


def test_an_answer_that_is_put_right_knowing_the_other_is_no_conflict() -> None:
    known = sent_and_apart()
    known["D1"].must(c.AnswerTicket(ticket=TICKET, says=NOTHING))
    known.meet()
    known["D2"].must(c.AnswerTicket(ticket=TICKET, says=CLEANED))
    known.meet()
    assert answers(known) == {CLEANED}
    assert not known.conflicts("B1")


def test_a_clock_that_is_wrong_decides_nothing() -> None:
    known = sent_and_apart()
    known["D2"].minutes(600)
    known["D1"].must(c.AnswerTicket(ticket=TICKET, says=CANNOT_SHIFT))
    known["D2"].must(c.AnswerTicket(ticket=TICKET, says=CLEANED))
    known.meet()
    assert answers(known) == {CANNOT_SHIFT}


def test_both_answers_stand_on_the_page_with_the_one_that_counts() -> None:
    known = answered(CLEANED, CANNOT_SHIFT)
    shift: Shift = known["B1"]
    shift.must(c.SignOut()) if shift.bench.who else None
    shift.must(c.EnterPin(person="S1", pin=PIN), c.Turn(page=c.Page.CONFLICT, subject=known.conflict()))
    view = shift.session.view()
    assert isinstance(view, ListView)
    assert "will not come off" in view.help
    assert [(row.name, row.sub) for row in view.rows] == [
        (f"rule {CLEANED}", "said at D1"),
        (f"rule {CANNOT_SHIFT}", "said at D2"),
    ]


def test_the_answers_of_an_older_program_are_no_conflict_where_one_came_after_the_other() -> None:
    known = sent_and_apart()
    known["D1"].must(c.AnswerTicket(ticket=TICKET, says=NOTHING))
    known["D2"].must(c.AnswerTicket(ticket=TICKET, says=CLEANED))
    for name, at in (("D1", 0), ("D2", 5_000)):
        kept = known[name].log[-1]
        assert isinstance(kept.event, e.TicketAnswered)
        stamp = replace(kept.stamp, at_ms=kept.stamp.at_ms + at)
        known[name].log[-1] = replace(kept, event=replace(kept.event, over=()), stamp=stamp)
        known[name].session.bench = known[name].folded()
    known.meet()
    assert not known.conflicts("B1")
    assert answer_of(known["B1"].bench, known["B1"].session.desk, TICKET) == CLEANED


def test_an_answer_heard_after_the_piece_is_back_on_the_other_one_still_waits_for_a_ruling() -> None:
    known = sent_and_apart()
    known["D1"].must(c.AnswerTicket(ticket=TICKET, says=CLEANED))
    known["D2"].must(c.AnswerTicket(ticket=TICKET, says=DAMAGED))
    known.hear("B1", "D1")
    known["B1"].must(c.SendBackClean(ticket=TICKET, load="W-1"))
    assert known.told("B1", e.TicketClosed)
    known.meet()
    assert known.conflict().startswith(f"answers:{TICKET}:")
    known["B1"].must(c.Turn())
    known.rule("B1", DAMAGED)
    known.meet()
    assert not any(known.conflicts(name) for name in known.each)
