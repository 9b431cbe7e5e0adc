"""What another station kept under a name whose role does not allow it: kept, flagged, and not obeyed here."""

from dataclasses import replace

import pytest

from kiosk.core import commands as c
from kiosk.core import events as e
from kiosk.core import waiting
from kiosk.core.catalogue import Load, Person
from kiosk.core.stamp import Kept, Stamp
from kiosk.core.together.authority import Unheeded
from kiosk.core.together.loads import found_bad, is_released
from kiosk.core.views import ListView
from kiosk.core.vocabulary import Role
from tests.core.department import MORNING, PIN, Shift, people
from tests.core.department import desk as small_desk

HASH = people()["T1"].pin_hash
NEW = Person(id="T9", name="Person T9", role=Role.SUPERVISOR, badge="900")


def kept(event: e.Event, who: str, at_ms: int = MORNING) -> Kept:
    return Kept(
        event=event, stamp=Stamp(at_ms=at_ms, offset_min=0, trusted=True, who=who, trip=None, policy=1, record=1)
    )


def with_infection() -> Shift:
    desk = small_desk()
    one = Person(id="I1", name="Person I1", role=Role.INFECTION_PREVENTION, badge="I1", pin_hash=HASH)
    return Shift(desk=replace(desk, catalogue=replace(desk.catalogue, people={**people(), "I1": one})))


CHANGES: dict[str, e.Event] = {
    "person": e.PersonKept(person=NEW),
    "pin": e.PinSet(person="S1", pin_hash="scrypt$" + "0a" * 16 + "$" + "0b" * 32),
    "badge": e.DayBadgeLent(person="T2", badge="day-1", until_ms=MORNING + 3_600_000),
    "record": e.LoadRecordKept(load=Load(id="W-2", released=True)),
    "policy": e.PolicySigned(version=2, values={"fail_limit": "2"}, manager="T1", infection_prevention="I1"),
}


@pytest.mark.parametrize("what", CHANGES)
def test_a_change_by_somebody_who_is_no_supervisor_is_flagged_and_changes_nothing(what: str) -> None:
    shift = with_infection()
    before = shift.session.desk
    shift.session.hear("B2", [kept(CHANGES[what], "T1")])
    desk = shift.session.desk
    assert desk.catalogue.people == before.catalogue.people
    assert desk.catalogue.loads == before.catalogue.loads
    assert desk.policy == before.policy
    assert [(one.station, one.what, one.by) for one in desk.unheeded] == [("B2", what, "T1")]
    assert desk.others["B2"].staff != type(desk.others["B2"].staff)()  # it is kept


@pytest.mark.parametrize("what", CHANGES)
def test_the_same_change_by_a_supervisor_counts_and_nothing_is_flagged(what: str) -> None:
    shift = with_infection()
    before = shift.session.desk
    event = CHANGES[what]
    if isinstance(event, e.PolicySigned):
        event = replace(event, manager="S1")
    shift.session.hear("B2", [kept(event, "S1")])
    desk = shift.session.desk
    assert desk.unheeded == ()
    assert (desk.catalogue.people, desk.catalogue.loads, desk.policy) != (
        before.catalogue.people,
        before.catalogue.loads,
        before.policy,
    )


def test_what_does_not_count_asks_for_the_supervisor_at_the_desk_with_the_name_that_stands_on_it() -> None:
    shift = Shift()
    shift.session.hear("B2", [kept(CHANGES["record"], "T1")])
    shift.must(c.EnterPin(person="S1", pin=PIN), c.Turn(page=c.Page.NEEDS))
    view = shift.session.view()
    assert isinstance(view, ListView)
    row = view.rows[0]
    assert "W-2: a record, changed by Person T1" in row.title
    assert "does not count" in row.sub
    lines = waiting.lines(shift.bench, shift.session.desk, shift.now())
    assert [line.station for line in lines if line.kind == "unheeded"] == ["B2"]


def test_ones_own_number_counts_at_every_station() -> None:
    shift = Shift()
    shift.session.hear("B2", [kept(e.PinSet(person="T1", pin_hash=people()["T2"].pin_hash), "T1")])
    assert shift.session.desk.unheeded == ()


def test_a_supervisor_whom_a_supervisor_made_elsewhere_leads_and_one_who_made_themselves_does_not() -> None:
    by_s1 = [kept(e.PersonKept(person=NEW), "S1"), kept(CHANGES["record"], "T9", MORNING + 1)]
    shift = Shift()
    shift.session.hear("B2", by_s1)
    assert shift.session.desk.unheeded == ()
    assert shift.session.desk.catalogue.loads["W-2"].released
    shift = Shift()
    shift.session.hear("B2", [kept(e.PersonKept(person=NEW), "T9"), kept(CHANGES["record"], "T9", MORNING + 1)])
    assert {one.what for one in shift.session.desk.unheeded} == {"person", "record"}
    assert not shift.session.desk.catalogue.loads["W-2"].released


def test_what_a_supervisor_did_before_they_were_one_no_more_stands_and_what_came_later_does_not() -> None:
    down = replace(people()["S1"], role=Role.TECH, pin_hash="")
    ended = kept(e.PersonKept(person=down), "S9", MORNING + 10_000)
    lead = replace(NEW, id="S9", badge="S9", pin_hash=HASH)
    for at_ms, flagged in ((MORNING, 0), (MORNING + 20_000, 1)):
        desk = small_desk()
        shift = Shift(desk=replace(desk, catalogue=replace(desk.catalogue, people={**people(), "S9": lead})))
        shift.session.hear("B2", [kept(CHANGES["record"], "S1", at_ms)])
        shift.session.hear("B3", [ended])
        assert len(shift.session.desk.unheeded) == flagged


def test_a_first_supervisor_made_at_a_new_station_leads_only_where_nobody_did() -> None:
    first = Person(id="P2-1", name="Ines Verity", role=Role.SUPERVISOR, badge="77")
    told = [kept(e.PersonKept(person=first, why=e.BEGUN), "P2-1"), kept(e.PinSet(person="P2-1", pin_hash=HASH), "P2-1")]
    led = Shift()
    led.session.hear("B2", told)
    assert "P2-1" not in led.session.desk.catalogue.people
    assert [one.about for one in led.session.desk.unheeded] == ["P2-1"]
    desk = small_desk()
    new = Shift(desk=replace(desk, catalogue=replace(desk.catalogue, people={})))
    assert new.step.kind == "begin"
    new.session.hear("B2", told)
    assert new.session.desk.unheeded == ()
    assert new.step.kind == "sign_in"
    new.must(c.EnterPin(person="P2-1", pin=PIN))


def test_of_two_that_began_alone_the_earlier_one_leads_a_third() -> None:
    desk = small_desk()
    third = Shift(desk=replace(desk, catalogue=replace(desk.catalogue, people={})))
    for n, station in ((1, "B1"), (2, "B2")):
        one = Person(id=f"P{n}-1", name=f"Person {n}", role=Role.SUPERVISOR, badge=f"7{n}")
        third.session.hear(station, [kept(e.PersonKept(person=one, why=e.BEGUN), one.id, MORNING + n)])
    assert sorted(third.session.desk.catalogue.people) == ["P1-1"]
    assert third.session.desk.unheeded == (
        Unheeded(station="B2", what="person", about="P2-1", by="P2-1", at_ms=MORNING + 2),
    )


@pytest.mark.parametrize(("who", "released"), [("S1", True), ("T1", False)])
def test_a_load_released_elsewhere_counts_under_the_name_of_a_supervisor_alone(who: str, released: bool) -> None:
    shift = Shift()
    shift.session.hear("B2", [kept(e.LoadReleased(load="W-2"), who)])
    assert is_released(shift.bench, shift.session.desk, "W-2") == released
    shift.session.hear("B2", [kept(e.LoadWithdrawn(load="W-2", why="indicator"), "T1", MORNING + 1)])
    assert found_bad(shift.bench, shift.session.desk, ("W-2",)) == "W-2", "what holds is taken from anybody"
