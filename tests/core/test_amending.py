"""People, records and policy change by events; what was loaded stays, and what counts is found where it always was."""

from dataclasses import replace
from decimal import Decimal

from kiosk.core import commands as c
from kiosk.core import events as e
from kiosk.core.catalogue import Person
from kiosk.core.evolve import evolve
from kiosk.core.policy import Policy, plain_values
from kiosk.core.stamp import Kept, Stamp
from kiosk.core.state.bench import Bench
from kiosk.core.together.amending import amended
from kiosk.core.vocabulary import Role
from tests.core.department import BIG, EAR, MORNING, PIN, SPARE, TUBE, Shift, at_work
from tests.core.department import desk as small_desk

NEW = Person(id="T9", name="Person T9", role=Role.TECH, badge="900")


def kept(event: e.Event, at_ms: int = MORNING, who: str = "S1") -> Kept:
    return Kept(
        event=event, stamp=Stamp(at_ms=at_ms, offset_min=0, trusted=True, who=who, trip=None, policy=1, record=1)
    )


def bench_of(*kepts: Kept) -> Bench:
    bench = Bench()
    for each in kepts:
        bench = evolve(bench, each)
    return bench


def test_without_a_change_the_desk_is_the_one_that_was_loaded() -> None:
    loaded = small_desk()
    assert amended(loaded, Bench(), MORNING)[0] is loaded


def test_a_person_kept_at_another_station_signs_in_here_with_the_pin_they_typed() -> None:
    shift = Shift()
    hashed = shift.desk.catalogue.people["T1"].pin_hash
    shift.session.hear("B2", [kept(e.PersonKept(person=NEW)), kept(e.PinSet(person="T9", pin_hash=hashed))])
    shift.sign_in("T9")
    assert shift.bench.who == "T9"


def test_disabled_beats_enabled_whichever_station_said_it_first() -> None:
    off, on = kept(e.PersonKept(person=replace(NEW, disabled=True))), kept(e.PersonKept(person=NEW))
    for here, there in ((off, on), (on, off)):
        loaded = replace(small_desk(), others={"B2": bench_of(there)})
        assert amended(loaded, bench_of(here), MORNING)[0].catalogue.people["T9"].disabled
    later = kept(e.PersonKept(person=NEW), at_ms=MORNING + 1)
    loaded = replace(small_desk(), others={"B2": bench_of(later)})
    assert not amended(loaded, bench_of(off), MORNING)[0].catalogue.people["T9"].disabled


def test_a_corrected_record_counts_wherever_the_item_stands_and_open_trips_keep_theirs() -> None:
    shift = at_work(EAR)
    before = shift.trip.tray
    thin = replace(TUBE, lumens=(replace(TUBE.lumens[0], inside_mm=Decimal("1.5")),), version=2)
    shift.session.hear("B2", [kept(e.RecordCorrected(item=thin, source="gauge pin 1.5 mm", why="measured"))])
    trays = shift.session.desk.catalogue.trays
    assert trays[EAR].items[0].lumens[0].inside_mm == trays[BIG].items[1].lumens[0].inside_mm == Decimal("1.5")
    assert trays[EAR].items[1] == before.items[1]
    assert trays[EAR].version == before.version + 1
    assert shift.trip.tray == before
    assert shift.session.desk.catalogue.version == shift.desk.catalogue.version + 1


def test_a_record_of_one_tray_is_changed_in_that_tray_alone() -> None:
    thin = replace(TUBE, name="Bent tube, thin")
    bench = bench_of(kept(e.RecordCorrected(item=thin, tray=EAR)), kept(e.RecordCorrected(item=SPARE)))
    trays = amended(small_desk(), bench, MORNING)[0].catalogue.trays
    assert (trays[EAR].items[0].name, trays[BIG].items[1].name) == ("Bent tube, thin", "Bent tube")


def test_files_loaded_after_a_change_hold_it_already() -> None:
    bench = bench_of(kept(e.RecordCorrected(item=replace(TUBE, name="Old words"))))
    loaded = replace(small_desk(), loaded_ms=MORNING + 1)
    assert amended(loaded, bench, MORNING)[0].catalogue.trays[EAR].items[0].name == "Bent tube"


def test_a_signed_policy_holds_from_its_moment_and_every_version_stays_known() -> None:
    new = e.PolicySigned(
        version=2, values={"fail_limit": "2"}, from_ms=MORNING + 1_200_000, manager="S1", infection_prevention="I1"
    )
    signed = kept(new)
    shift = at_work()
    infection = Person(id="I1", name="Person I1", role=Role.INFECTION_PREVENTION, badge="I1")
    people = {**shift.desk.catalogue.people, "I1": infection}
    shift.session.use(replace(shift.desk, catalogue=replace(shift.desk.catalogue, people=people)))
    shift.session.hear("B2", [signed])
    assert shift.session.desk.policy.fail_limit == 3
    shift.minutes(30)
    shift.send(c.Turn(), c.StopHere(reason="break"))
    assert (shift.session.desk.policy.version, shift.session.desk.policy.fail_limit) == (2, 2)
    assert shift.session.desk.policy_at(1).fail_limit == 3


def test_a_policy_of_a_newer_program_is_passed_over() -> None:
    bench = bench_of(kept(e.PolicySigned(version=2, values={"moon": "1"}, from_ms=0)))
    assert amended(small_desk(), bench, MORNING)[0].policy.version == 1


def test_a_policy_is_the_same_after_it_was_written_out_and_read() -> None:
    policy = small_desk().policy
    assert Policy.from_mapping(plain_values(policy)) == policy


def test_a_day_badge_ends_with_its_day() -> None:
    bench = bench_of(kept(e.DayBadgeLent(person="T1", badge="day-1", until_ms=MORNING + 1000)))
    desk, changes = amended(small_desk(), bench, MORNING)
    assert (desk.catalogue.people["T1"].day_badge, changes) == ("day-1", MORNING + 1000)
    assert amended(small_desk(), bench, MORNING + 1000)[0].catalogue.people["T1"].day_badge == ""


def test_a_right_number_for_a_ruling_ends_a_row_of_wrong_ones() -> None:
    shift = at_work()
    for _ in range(3):
        shift.send(c.EnterPin(person="S1", pin="0000", ruling=True))
    assert shift.bench.refused["S1"] == 3
    shift.must(c.EnterPin(person="S1", pin=PIN, ruling=True))
    assert shift.bench.refused["S1"] == 0


def test_a_second_person_of_the_same_badge_is_refused_and_the_try_is_kept() -> None:
    shift = at_work()
    shift.send(c.EnterPin(person="T1", pin=PIN, second="look"))
    assert shift.refused == "refused.same_person"
    assert shift.log[-1].event == e.PinTaken(person="T1", purpose="look", refused="same_person")
    assert shift.session.turn is None
