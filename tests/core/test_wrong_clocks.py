"""Words of older programs, clocks that stand still, run ahead or behind: the careful word counts all the same.

Source: as of test_unseen_words. An older program's words name nothing.
"""

from dataclasses import replace
from decimal import Decimal

import pytest

from kiosk.core import commands as c
from kiosk.core import events as e
from kiosk.core.catalogue import Person
from kiosk.core.stamp import Kept, Stamp
from kiosk.core.state.amendments import Amendments, KeptPerson
from kiosk.core.together.authority import heeded
from kiosk.core.together.loads import found_bad
from kiosk.core.together.stop_list import stops
from kiosk.core.vocabulary import Role
from tests.core.department import EAR, PIN, Shift
from tests.core.test_two_policies import at_the_desks, bore, changed
from tests.core.test_unseen_words import keep
from tests.core.two_benches import Stations

HOUR = 3_600_000


def older(shift: Shift, event: e.Event, at_ms: int) -> None:
    """An event as a program before the names kept it, under the supervisor's sign-in."""
    stamp = Stamp(at_ms=at_ms, offset_min=0, trusted=True, who="S1", trip=None, policy=1, record=1)
    shift.log.append(Kept(event=event, stamp=stamp))
    shift.session.bench = shift.folded()
    shift.session.use(shift.desk)


def as_kept(shift: Shift, who: str, **changes: object) -> e.PersonKept:
    person = replace(shift.session.desk.catalogue.people[who], pin_hash="", day_badge="")
    return e.PersonKept(person=replace(person, **changes))  # type: ignore[arg-type]


def disabled(known: Stations, who: str) -> list[bool]:
    return [shift.session.desk.catalogue.people[who].disabled for shift in known.each.values()]


def bad(known: Stations, load: str) -> list[str]:
    return [found_bad(shift.bench, shift.session.desk, (load,)) for shift in known.each.values()]


def signed_in(known: Stations, at: str, who: str) -> None:
    known[at].must(c.SignOut(), c.EnterPin(person=who, pin=PIN))
    known[at].minutes(1)


def test_a_change_that_knows_an_older_programs_one_stands_although_its_clock_is_behind() -> None:
    known = at_the_desks("B1")
    shift = known["B1"]
    older(shift, as_kept(shift, "T2", name="Person X"), shift.at_ms + HOUR)
    keep(known, "B1", person="T2", may="no")
    assert disabled(known, "T2") == [True]
    item = shift.session.desk.catalogue.trays[EAR].items[0]
    older(shift, e.RecordCorrected(item=replace(item, version=2), tray=EAR, source="", why=""), shift.at_ms + HOUR)
    changed(shift, "inside_mm", "2.2")
    assert bore(shift)[0] == Decimal("2.2")


@pytest.mark.parametrize("heard", [True, False])
def test_a_load_found_bad_is_bad_whatever_an_older_programs_release_has_for_a_clock(heard: bool) -> None:
    known = at_the_desks("B1", "B2")
    older(known["B2"], e.LoadReleased(load="W-1"), known["B2"].at_ms + HOUR)
    if heard:
        known["B1"].session.hear("B2", known["B2"].log)
    known["B1"].must(c.WithdrawLoad(load="W-1", why="indicator"))
    known.meet()
    assert bad(known, "W-1") == ["W-1", "W-1"]


def test_what_one_station_said_last_counts_although_its_clock_was_set_back() -> None:
    known = at_the_desks("B1")
    shift = known["B1"]
    older(shift, as_kept(shift, "T2", name="Person X"), shift.at_ms + HOUR)
    older(shift, as_kept(shift, "T2", disabled=True), shift.at_ms)
    assert disabled(known, "T2") == [True]


def test_with_a_clock_that_stands_still_the_last_word_counts() -> None:
    known = at_the_desks("B1", "B2")
    for shift in known.each.values():
        shift.pace_ms = 0
    known["B1"].must(c.StopList(notice="F", marks=("M-1",)), c.LiftStop(notice="F"))
    known["B1"].must(c.StopList(notice="F", marks=("M-1",)))
    (stop,) = stops(known["B1"].bench, known["B1"].session.desk)
    assert stop.entries() == (("mark", "M-1"),)
    for may in ("no", "yes", "no"):
        keep(known, "B1", person="T2", may=may)
    assert disabled(known, "T2")[0]


def test_whoever_was_made_a_supervisor_where_the_clock_runs_ahead_leads_at_once() -> None:
    known = at_the_desks("B1", "B2")
    keep(known, "B2", name="nina nine")
    new = next(code for code in known["B2"].session.desk.catalogue.people if code.startswith("P"))
    keep(known, "B2", person=new, badge="N9")
    known["B2"].must(c.SetPin(person=new, pin="258025", salt="00" * 16))
    known.meet()
    known["B1"].minutes(24 * 60)
    keep(known, "B1", person=new, role="supervisor")
    known["B2"].session.hear("B1", known["B1"].log[known.heard["B2", "B1"] :])
    known["B2"].must(c.SignOut(), c.EnterPin(person=new, pin="258025"))
    keep(known, "B2", person="T2", may="no")
    assert disabled(known, "T2")[1]


def test_whom_a_supervisor_disabled_stays_so_when_that_supervisor_is_disabled_where_the_clock_is_behind() -> None:
    known = at_the_desks("B1", "B2")
    signed_in(known, "B2", "S2")
    keep(known, "B2", person="T2", may="no")
    known.meet()
    known["B1"].minutes(-24 * 60)
    keep(known, "B1", person="S2", may="no")
    known["B2"].session.hear("B1", known["B1"].log[known.heard["B2", "B1"] :])
    assert disabled(known, "T2") == [True, True]


def test_of_two_supervisors_who_disable_each_other_at_one_moment_one_still_leads() -> None:
    known = at_the_desks("B1", "B2")
    known["B2"].must(c.SignOut(), c.EnterPin(person="S2", pin=PIN))
    known["B2"].at_ms = known["B1"].at_ms
    keep(known, "B1", person="S2", may="no")
    keep(known, "B2", person="S1", may="no")
    known.meet()
    for shift in known.each.values():
        people = shift.session.desk.catalogue.people
        assert [people["S1"].disabled, people["S2"].disabled].count(True) == 1


def raised_elsewhere() -> Stations:
    """B3 makes T1 a supervisor; B2 hears of it, and B1 does not. T1 is signed in at B2."""
    known = at_the_desks("B1", "B2", "B3")
    keep(known, "B3", person="T1", role="supervisor")
    known.hear("B2", "B3")
    signed_in(known, "B2", "T1")
    return known


def test_a_change_that_did_not_count_yet_when_another_was_made_was_not_seen_by_it() -> None:
    known = raised_elsewhere()
    keep(known, "B2", person="T2", may="no")
    changed(known["B2"], "inside_mm", "2.2")
    known.hear("B1", "B2")
    known["B1"].minutes(1)
    keep(known, "B1", person="T2", name="tessa two")
    changed(known["B1"], "length_mm", "160")
    known.meet()
    assert disabled(known, "T2") == [True] * 3
    assert {bore(shift)[0] for shift in known.each.values()} == {Decimal("2.2")}


def test_stations_that_heard_the_same_say_the_same_of_everybody() -> None:
    known = at_the_desks("B1", "B2", "B3")
    keep(known, "B1", person="S2", role="tech")
    signed_in(known, "B3", "S2")
    keep(known, "B3", person="T1", role="supervisor")
    known.hear("B2", "B3")
    signed_in(known, "B2", "T1")
    keep(known, "B2", person="T2", may="no")
    known.meet()
    people = [shift.session.desk.catalogue.people for shift in known.each.values()]
    assert all(each == people[0] for each in people)


def test_a_pin_set_by_somebody_who_no_longer_led_brings_no_old_pin_back() -> None:
    known = at_the_desks("B1", "B2")
    keep(known, "B1", person="S2", role="tech")
    known["B2"].must(c.SetPin(person="T2", pin="111222", salt="00" * 16))
    signed_in(known, "B2", "S2")
    known["B2"].must(c.SetPin(person="T2", pin="333444", salt="00" * 16))
    known.meet()
    for shift in known.each.values():
        shift.must(c.SignOut())
        for pin in (PIN, "333444"):
            shift.send(c.EnterPin(person="T2", pin=pin))
            assert shift.bench.who is None
        shift.must(c.EnterPin(person="T2", pin="111222"))


def test_many_changes_that_do_not_count_do_not_push_out_the_one_that_does() -> None:
    known = at_the_desks("B1", "B2")
    keep(known, "B1", person="S2", may="no")
    changed(known["B2"], "inside_mm", "2.2")
    signed_in(known, "B2", "S2")
    for bore_mm in ("9.0", "9.1", "9.2", "9.3", "9.4"):
        changed(known["B2"], "inside_mm", bore_mm)
    known.meet()
    assert [bore(shift)[0] for shift in known.each.values()] == [Decimal("2.2")] * 2


def test_whoever_was_raised_by_a_change_that_does_not_count_does_not_lead() -> None:
    loaded = {who: Person(id=who, name=who, role=Role.SUPERVISOR if who in "SY" else Role.TECH) for who in "SXYZ"}

    def change(who: str, by: str, at_ms: int, *, off: bool = False) -> KeptPerson:
        person = Person(id=who, name=who, role=Role.SUPERVISOR, disabled=off)
        return KeptPerson(person=person, at_ms=at_ms, by=by, mark=f"{who}{by}{at_ms}", over=("loaded",))

    others = {
        "B1": Amendments(people={"X": (change("X", "S", 900),)}),
        "B2": Amendments(people={"Y": (change("Y", "X", 100, off=True),)}),
        "B3": Amendments(people={"Z": (change("Z", "Y", 200),)}),
    }
    _, unheeded, leads = heeded(loaded, Amendments(), others)
    assert [one.about for one in unheeded] == ["Z"]
    assert not leads.led("Z", 500)
