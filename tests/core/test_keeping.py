"""A log that goes on under a new origin asks for the supervisor until one has read it."""

import pytest

from kiosk.core import commands as c
from kiosk.core import events as e
from kiosk.core import waiting
from kiosk.core.commands import Page
from kiosk.core.decide.desk_papers import paper_number
from kiosk.core.decide.pen import Pen
from kiosk.core.evolve import evolve
from kiosk.core.stamp import Kept, Stamp
from kiosk.core.state.keeping import SKIPPED
from tests.core.department import Shift, at_work
from tests.core.test_desk import desk_with, found, rows

ORIGIN = "0b8f5ad2-1f0f-4c5e-9d9a-5f1f5a3c2b1a"


def _kept(event: e.Event, at_ms: int) -> Kept:
    stamp = Stamp(at_ms=at_ms, offset_min=0, trusted=True, who=None, trip=None, policy=1, record=1)
    return Kept(event=event, stamp=stamp)


def began(shift: Shift, why: str = "restored") -> Shift:
    """The bench was put back last night."""
    event = e.IncarnationBegan(origin=ORIGIN, was="1" * 36, after=80, why=why, key="ab" * 32)
    shift.session.bench = evolve(shift.bench, _kept(event, shift.at_ms))
    return shift


@pytest.mark.parametrize("why", ["restored", "copied", "fork"])
def test_a_log_under_a_new_origin_stands_first_in_the_list_and_goes_with_one_touch(why: str) -> None:
    shift = desk_with(began(Shift(), why))
    (row,) = [row for row in rows(shift, Page.NEEDS) if row.name.startswith("log")]
    assert rows(shift, Page.NEEDS)[0] == row
    assert str(SKIPPED) in row.sub
    assert row.send == c.SeeIncarnation(origin=ORIGIN)
    assert shift.must(c.SeeIncarnation(origin=ORIGIN)) == [e.IncarnationSeen(origin=ORIGIN)]
    assert found(shift, "log") == []
    shift.send(c.SeeIncarnation(origin=ORIGIN))
    assert shift.refused == "refused.not_asked"


def test_only_a_supervisor_says_that_it_was_read() -> None:
    shift = began(Shift())
    shift.sign_in()
    shift.send(c.SeeIncarnation(origin=ORIGIN))
    assert shift.refused == "refused.supervisor_only"
    assert len(found(shift, "log")) == 1


def test_another_stations_new_origin_is_shown_and_read_over_there() -> None:
    shift = desk_with(Shift())
    event = e.IncarnationBegan(origin=ORIGIN, was="1" * 36, after=80, why="copied", key="ab" * 32)
    shift.session.hear("B7", [_kept(event, shift.at_ms)])
    (line,) = waiting.some(waiting.lines(shift.bench, shift.session.desk, shift.now()), ("log",))
    assert line.station == "B7"
    (row,) = [row for row in rows(shift, Page.NEEDS) if row.name.startswith("log")]
    assert row.send is None


def test_the_next_paper_tag_and_trip_have_numbers_that_nobody_can_hold_yet() -> None:
    before = desk_with(at_work())
    after = began(at_work())
    pens = [Pen(bench=shift.bench, desk=shift.desk, now=shift.now()) for shift in (before, after)]
    first, second = (int(paper_number(pen, "handover_list")[-4:]) for pen in pens)
    assert second - first == SKIPPED
    assert after.bench.trips_begun - before.bench.trips_begun == SKIPPED


def test_a_backup_is_noted_with_its_time_and_nobodys_name() -> None:
    shift = Shift()
    (kept,) = shift.session.send(c.TellBackup(file="throughlight-B1.backup", seq=12))
    assert kept.event == e.BackedUp(file="throughlight-B1.backup", seq=12)
    assert kept.stamp.who is None
    assert shift.bench.keeping.backed_up_ms == kept.stamp.at_ms
