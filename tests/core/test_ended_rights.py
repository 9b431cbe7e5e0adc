"""What somebody did at a station that had not heard that their right had ended: every station says the same of it.

What takes a hold, a recall or a load's bad word away counts only from somebody who led then; what puts one on counts
from anybody. Source: sync rule of the house, as of test_unseen_words.
"""

from dataclasses import replace
from decimal import Decimal

from kiosk.core import commands as c
from kiosk.core import events as e
from kiosk.core.catalogue import Person
from kiosk.core.stamp import Kept
from kiosk.core.together.loads import found_bad, is_released
from kiosk.core.vocabulary import Role
from tests.core.department import EAR, LATE, PIN
from tests.core.test_two_policies import at_the_desks, bore, changed
from tests.core.test_unseen_words import in_force, keep
from tests.core.test_wrong_clocks import disabled, signed_in
from tests.core.two_benches import Stations, stations

NEW_PIN = "258025"


def people(known: Stations, who: str) -> list[Person | None]:
    return [shift.session.desk.catalogue.people.get(who) for shift in known.each.values()]


def everybody(known: Stations) -> list[dict[str, Person]]:
    return [dict(shift.session.desk.catalogue.people) for shift in known.each.values()]


def ended_and_signed_in(*names: str) -> Stations:
    """S2 was disabled at B2; B1 has not heard of it, and S2 signs in there."""
    known = at_the_desks(*names)
    keep(known, "B2", person="S2", may="no")
    known["B1"].minutes(5)
    signed_in(known, "B1", "S2")
    return known


def newcomer(known: Stations, at: str) -> str:
    """Somebody new with badge and PIN, added and made a supervisor there, and signed in."""
    keep(known, at, name="nina nine")
    who = f"P{at[1]}-1"
    keep(known, at, person=who, badge="N9")
    keep(known, at, person=who, role="supervisor")
    known[at].must(c.SetPin(person=who, pin=NEW_PIN, salt="00" * 16), c.SignOut(), c.EnterPin(person=who, pin=NEW_PIN))
    return who


def test_whom_somebody_raised_whose_right_had_ended_leads_at_no_station_and_locks_nobody_out() -> None:
    known = ended_and_signed_in("B1", "B2", "B3")
    newcomer(known, "B1")
    keep(known, "B1", person="S1", may="no")
    known.meet()
    now = everybody(known)
    assert now[0] == now[1] == now[2]
    assert not now[0]["S1"].disabled


def test_a_newcomer_raised_by_a_supervisor_is_heeded_at_their_own_station_and_at_the_others() -> None:
    known = at_the_desks("B1", "B2", "B3")
    newcomer(known, "B2")
    changed(known["B2"], "inside_mm", "2.2")
    known.meet()
    assert {bore(shift)[0] for shift in known.each.values()} == {Decimal("2.2")}


def test_a_role_does_not_ride_in_on_a_disabling() -> None:
    known = ended_and_signed_in("B1", "B2")
    keep(known, "B1", person="T2", role="supervisor")
    keep(known, "B1", person="T2", may="no")
    known.meet()
    assert [one and (one.role, one.disabled) for one in people(known, "T2")] == [(Role.TECH, True)] * 2


def test_who_was_disabled_before_an_unseen_promotion_changes_nothing_that_counts() -> None:
    known = at_the_desks("B1", "B2")
    keep(known, "B2", person="T1", may="no")
    keep(known, "B1", person="T1", role="supervisor")
    known["B1"].minutes(30)
    signed_in(known, "B1", "T1")
    changed(known["B1"], "inside_mm", "9.0")
    known.meet()
    assert disabled(known, "T1") == [True, True]
    assert {bore(shift)[0] for shift in known.each.values()} == {Decimal("3.0")}


def test_a_disabling_that_all_heard_stays_when_whoever_made_it_is_demoted_where_the_clock_is_behind() -> None:
    known = at_the_desks("B1", "B2", "B3")
    keep(known, "B1", person="T2", role="supervisor")
    keep(known, "B1", person="T2", role="tech")
    known.meet()
    known["B2"].minutes(60)
    signed_in(known, "B2", "S2")
    keep(known, "B2", person="T2", may="no")
    for other in ("B1", "B3"):
        known[other].session.hear("B2", known["B2"].log[known.heard[other, "B2"] :])
        known.heard[other, "B2"] = len(known["B2"].log)
    assert disabled(known, "T2") == [True] * 3
    known["B1"].minutes(5)
    keep(known, "B1", person="S2", role="tech")
    known.meet()
    assert disabled(known, "T2") == [True] * 3


def test_no_two_people_have_one_number_although_one_of_them_does_not_count() -> None:
    known = ended_and_signed_in("B1", "B2")
    keep(known, "B1", name="nina nine")
    known.meet()
    signed_in(known, "B1", "S1")
    keep(known, "B1", name="olga other")
    added = [kept.event.person.id for kept in known["B1"].log if isinstance(kept.event, e.PersonKept)]
    assert added == ["P1-1", "P1-2"]


def test_a_release_under_the_name_of_somebody_whose_right_had_ended_counts_nowhere() -> None:
    known = stations("B1", "B2", "B3")
    known["B1"].sign_in("T1")
    known["B1"].open(LATE)
    known["B2"].must(c.EnterPin(person="S1", pin=PIN))
    keep(known, "B2", person="S2", may="no")
    known["B1"].minutes(5)
    known["B1"].must(c.RuleLoad(by="S2", load="W-2"))
    known.meet()
    assert not any(is_released(shift.bench, shift.session.desk, "W-2") for shift in known.each.values())


def test_a_release_that_does_not_count_does_not_hide_the_bad_word_before_it() -> None:
    known = stations("B1", "B2")
    known["B1"].must(c.EnterPin(person="S1", pin=PIN), c.WithdrawLoad(load="W-2", why="indicator"))
    word = e.LoadReleased(load="W-2", over=tuple(one.mark for one in known["B1"].bench.load_words["W-2"]))
    bad = known["B1"].log[-1]
    released = Kept(event=word, stamp=replace(bad.stamp, at_ms=bad.stamp.at_ms + 1, who="T1"))
    known["B2"].session.hear("B1", [bad, released])
    assert found_bad(known["B2"].bench, known["B2"].session.desk, ("W-2",)) == "W-2"


def test_a_notice_lifted_by_somebody_whose_right_had_ended_stays_in_force() -> None:
    known = at_the_desks("B1", "B2")
    known["B1"].must(c.StopList(notice="F", marks=("M-1",)))
    known.meet()
    keep(known, "B1", person="S2", may="no")
    known["B2"].minutes(5)
    signed_in(known, "B2", "S2")
    known["B2"].must(c.LiftStop(notice="F"))
    known.meet()
    assert in_force(known) == [[("mark", "M-1")]] * 2


def test_a_doubled_label_tagged_anew_by_somebody_whose_right_had_ended_still_holds() -> None:
    known = stations("B1", "B2")
    known["B1"].sign_in("T1")
    known["B1"].open(EAR)
    known["B1"].must(c.SameLabel(tray=EAR))
    known.meet()
    known["B2"].must(c.EnterPin(person="S1", pin=PIN))
    keep(known, "B2", person="S2", may="no")
    known["B1"].minutes(5)
    known["B1"].must(c.RuleRetagged(by="S2", tray=EAR))
    known.meet()
    (trip,) = known["B1"].bench.trips.values()
    assert ("@label",) in [hold.waits_for for hold in trip.holds]


def test_the_pin_that_was_set_last_opens_whatever_the_clock_was() -> None:
    known = at_the_desks("B1", "B2")
    known["B1"].minutes(525_600)
    known["B1"].must(c.SetPin(person="T2", pin="111222", salt="00" * 16))
    known["B1"].minutes(-525_600)
    known["B1"].must(c.SetPin(person="T2", pin="333444", salt="00" * 16), c.SignOut())
    known.meet()
    for shift in known.each.values():
        if shift.bench.who:
            shift.must(c.SignOut())
        shift.must(c.EnterPin(person="T2", pin="333444"))


def test_of_two_pins_set_at_one_moment_every_station_takes_the_same() -> None:
    known = at_the_desks("B1", "B2")
    for shift, pin in zip(known.each.values(), ("111222", "333444"), strict=True):
        shift.pace_ms = 0
        shift.must(c.SetPin(person="T2", pin=pin, salt="00" * 16))
    known.meet()
    here, there = people(known, "T2")
    assert here is not None
    assert there is not None
    assert here.pin_hash == there.pin_hash


def test_an_entry_put_on_a_third_time_is_not_taken_off_by_a_lift_that_saw_two() -> None:
    known = at_the_desks("B1", "B2")
    known["B1"].pace_ms = 0
    for _ in range(2):
        known["B1"].must(c.StopList(notice="F", marks=("M-1",)))
    known["B2"].session.hear("B1", known["B1"].log)
    known.heard["B2", "B1"] = len(known["B1"].log)
    known["B1"].must(c.StopList(notice="F", marks=("M-1",)))
    known["B2"].must(c.LiftStop(notice="F"))
    known.meet()
    assert in_force(known) == [[("mark", "M-1")]] * 2
