"""What was said without hearing each other stands side by side, whatever the clocks show; the careful word counts.

Source: observed-remove sets, Shapiro and others, "A comprehensive study of convergent and commutative replicated data
types" (INRIA RR-7506, 2011): what is taken off is what was seen. For people: *disabled* beats *enabled* until a later
change that knows of it (a choice of the house).
"""

from dataclasses import replace
from decimal import Decimal

import pytest

from kiosk.core import commands as c
from kiosk.core.together.amending import amended
from kiosk.core.together.loads import is_released
from kiosk.core.together.stop_list import stops
from kiosk.core.vocabulary import Role
from tests.core.department import EAR, LATE, PIN
from tests.core.test_two_policies import at_the_desks, bore, changed
from tests.core.two_benches import Stations, stations

LATE_MIN = 120
"""One station's clock, ahead of the other's."""


def keep(known: Stations, at: str, **change: str) -> None:
    known[at].must(c.KeepPerson(**change))


def in_force(known: Stations) -> list[list[tuple[str, str]]]:
    return [[entry for stop in stops(s.bench, s.session.desk) for entry in stop.entries()] for s in known.each.values()]


def test_a_doubled_label_told_elsewhere_meanwhile_outlives_a_new_tag_that_did_not_know_of_it() -> None:
    known = stations("B1", "B2")
    for name, who in (("B1", "T1"), ("B2", "T2")):
        known[name].sign_in(who)
        known[name].open(EAR)
    known["B1"].must(c.SameLabel(tray=EAR), c.RuleRetagged(by="S1", tray=EAR))
    known["B2"].must(c.SameLabel(tray=EAR))
    known.meet()
    for name in ("B1", "B2"):
        (trip,) = known[name].bench.trips.values()
        assert ("@label",) in [hold.waits_for for hold in trip.holds]
    known["B1"].must(c.RuleRetagged(by="S1", tray=EAR))
    known.meet()
    (trip,) = known["B1"].bench.trips.values()
    assert ("@label",) not in [hold.waits_for for hold in trip.holds]
    (trip,) = known["B2"].bench.trips.values()
    assert trip.ended, "its tray goes on under its own tag"


@pytest.mark.parametrize("late", [-LATE_MIN, 0, LATE_MIN])
def test_a_load_found_bad_elsewhere_meanwhile_is_bad_after_a_release_that_did_not_know_of_it(late: int) -> None:
    known = stations("B1", "B2")
    known["B1"].sign_in("T1")
    known["B1"].open(LATE)
    known["B2"].minutes(late)
    known["B2"].must(c.EnterPin(person="S1", pin=PIN), c.WithdrawLoad(load="W-2", why="indicator"))
    known["B1"].must(c.RuleLoad(by="S1", load="W-2"))
    assert is_released(known["B1"].bench, known["B1"].session.desk, "W-2")
    known.meet()
    assert not any(is_released(s.bench, s.session.desk, "W-2") for s in known.each.values())
    assert known["B1"].step.kind == "load_bad"


@pytest.mark.parametrize("late", [-LATE_MIN, 0, LATE_MIN])
def test_a_notice_is_lifted_as_far_as_it_was_known_and_an_entry_put_on_elsewhere_meanwhile_stays(late: int) -> None:
    known = at_the_desks("B1", "B2")
    known["B1"].must(c.StopList(notice="FSN-7", marks=("M-1", "M-2")))
    known.meet()
    known["B2"].minutes(late)
    known["B2"].must(c.StopList(notice="FSN-7", types=("fine_suction",)))
    known["B1"].must(c.LiftStop(notice="FSN-7"))
    known.meet()
    assert in_force(known) == [[("type", "fine_suction")]] * 2
    known["B1"].must(c.LiftStop(notice="FSN-7"))
    known.meet()
    assert in_force(known) == [[]] * 2
    assert not any(stops(s.bench, s.session.desk) for s in known.each.values())


@pytest.mark.parametrize("late", [-LATE_MIN, 0, LATE_MIN])
def test_an_entry_taken_off_here_and_put_on_again_elsewhere_meanwhile_stays(late: int) -> None:
    known = at_the_desks("B1", "B2")
    known["B1"].must(c.StopList(notice="FSN-7", marks=("M-1", "M-2")))
    known.meet()
    known["B2"].minutes(late)
    known["B2"].must(c.StopListMark(notice="FSN-7", mark="M-2"))
    for mark in ("M-1", "M-2"):
        known["B1"].must(c.StopWithdraw(notice="FSN-7", kind="mark", value=mark))
    known.meet()
    assert in_force(known) == [[("mark", "M-2")]] * 2


@pytest.mark.parametrize("late", [-LATE_MIN, 0, LATE_MIN])
def test_who_was_disabled_stays_so_after_a_change_that_did_not_know_of_it(late: int) -> None:
    known = at_the_desks("B1", "B2")
    known["B2"].minutes(late)
    keep(known, "B1", person="T2", may="no")
    keep(known, "B2", person="T2", name="tessa two")
    known.meet()
    now = [shift.session.desk.catalogue.people["T2"] for shift in known.each.values()]
    assert [one.disabled for one in now] == [True, True]
    keep(known, "B2", person="T2", may="yes")
    known.meet()
    now = [shift.session.desk.catalogue.people["T2"] for shift in known.each.values()]
    assert [one.disabled for one in now] == [False, False]


@pytest.mark.parametrize("late", [-LATE_MIN, 0, LATE_MIN])
def test_who_leads_no_more_stays_so_after_a_change_that_did_not_know_of_it(late: int) -> None:
    known = at_the_desks("B1", "B2")
    known["B2"].minutes(late)
    keep(known, "B1", person="S2", role="decontam")
    keep(known, "B2", person="S2", badge="4471")
    known.meet()
    assert {shift.session.desk.catalogue.people["S2"].role for shift in known.each.values()} == {Role.DECONTAM}


def test_a_supervisor_disabled_here_and_enabled_there_is_heeded_again_everywhere() -> None:
    known = at_the_desks("B1", "B2")
    keep(known, "B1", person="S2", may="no")
    known.meet()
    known["B2"].minutes(1)
    keep(known, "B2", person="S2", may="yes")
    known["B2"].must(c.SignOut())
    known.meet()
    known["B2"].minutes(1)
    known["B2"].must(c.EnterPin(person="S2", pin=PIN))
    keep(known, "B2", person="T2", name="tessa two")
    known.meet()
    assert {shift.session.desk.catalogue.people["T2"].name for shift in known.each.values()} == {"Tessa Two"}
    assert not any(shift.session.desk.unheeded for shift in known.each.values())


def by_a_supervisor_disabled_elsewhere() -> Stations:
    """At B2 S1 corrects a bore and then S2 does, who is disabled at B1 since; B2 has not heard of it."""
    known = at_the_desks("B1", "B2")
    keep(known, "B1", person="S2", may="no")
    changed(known["B2"], "inside_mm", "2.2")
    known["B2"].must(c.SignOut())
    known["B2"].minutes(5)
    known["B2"].must(c.EnterPin(person="S2", pin=PIN))
    changed(known["B2"], "inside_mm", "9.0")
    return known


def test_a_change_that_does_not_count_leaves_the_one_before_it_in_force_at_every_station() -> None:
    known = by_a_supervisor_disabled_elsewhere()
    assert bore(known["B2"])[0] == Decimal("9.0")
    known.meet()
    assert [bore(shift)[0] for shift in known.each.values()] == [Decimal("2.2")] * 2
    for shift in known.each.values():
        assert [(one.what, one.by) for one in shift.session.desk.unheeded] == [("record", "S2")]
    known["B1"].minutes(10)
    changed(known["B1"], "inside_mm", "2.4")
    known.meet()
    assert not any(shift.session.desk.unheeded for shift in known.each.values()), "it was changed once more"
    assert not any(known.conflicts(name) for name in known.each)
    assert [bore(shift)[0] for shift in known.each.values()] == [Decimal("2.4")] * 2


def test_a_person_changed_by_somebody_who_was_disabled_is_as_they_were_before() -> None:
    known = at_the_desks("B1", "B2")
    keep(known, "B1", person="S2", may="no")
    keep(known, "B2", person="T2", name="tessa two")
    known["B2"].must(c.SignOut())
    known["B2"].minutes(5)
    known["B2"].must(c.EnterPin(person="S2", pin=PIN))
    keep(known, "B2", person="T2", role="supervisor")
    keep(known, "B2", person="T1", may="no")
    known.meet()
    for shift in known.each.values():
        people = shift.session.desk.catalogue.people
        assert (people["T2"].name, people["T2"].role) == ("Tessa Two", Role.TECH)
        assert people["T1"].disabled, "whom somebody disabled who once led stays so until enabled again"


@pytest.mark.parametrize("what", ["record", "pin"])
def test_what_a_supervisor_changed_here_counts_on_when_a_newer_file_of_people_knows_them_no_more(what: str) -> None:
    known = at_the_desks("B1")
    if what == "record":
        changed(known["B1"], "inside_mm", "2.2")
    else:
        known["B1"].must(c.SetPin(person="T2", pin="111222", salt="00" * 16))
    loaded = known["B1"].desk
    left = {who: one for who, one in loaded.catalogue.people.items() if who != "S1"}
    newer = replace(loaded, catalogue=replace(loaded.catalogue, people=left))
    now, _ = amended(newer, known["B1"].bench, known["B1"].at_ms)
    assert now.unheeded == ()
    if what == "record":
        assert now.catalogue.trays[EAR].items[0].lumens[0].inside_mm == Decimal("2.2")
    else:
        assert now.catalogue.people["T2"].pin_hash != loaded.catalogue.people["T2"].pin_hash
