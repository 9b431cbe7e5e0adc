"""What one station learns late, in one go with what was made of it elsewhere. Source: as of test_same_tray.

A station may be heard while it hears nothing itself: its line gives out after it has sent.
"""

import pytest

from kiosk.core import commands as c
from kiosk.core import events as e
from kiosk.core.place import Place
from kiosk.core.stamp import Kept, Stamp
from kiosk.core.together.loads import void_of
from kiosk.core.together.same_tray import held_over
from kiosk.core.together.stop_list import stops
from tests.core.department import EAR, PIN, PLAIN, scan
from tests.core.test_same_tray import both_open, to_the_end, trip
from tests.core.two_benches import Stations, stations


def good(known: Stations) -> list[str]:
    """The labels that no station knows to be void."""
    here = known["B1"]
    packs = [number for name in known.each for number in known[name].bench.packs]
    return [number for number in packs if not void_of(here.bench, here.session.desk, number)]


@pytest.mark.parametrize("packed", [False, True])
def test_a_ruling_heard_together_with_the_other_record_counts_at_once(packed: bool) -> None:
    known = both_open()
    if packed:
        to_the_end(known["B2"])
        known["B2"].pack()
        known["B2"].tidy()
    known.hear("B1", "B2")
    known.rule("B1", "1-000001")
    known.hear("B2", "B1")
    assert packed or trip(known, "B2").ended
    known.meet()
    known["B1"].sign_in("T1")
    known["B1"].send(scan(PLAIN), c.Confirm(what="covered", subject="1-000001"))
    if known["B1"].step.kind == "count":
        known["B1"].count()
    to_the_end(known["B1"])
    known["B1"].pack()
    known.meet()
    assert good(known) == list(known["B1"].bench.packs)
    assert known.conflicts("B1") == known.conflicts("B2") == []


def test_a_package_that_was_made_before_the_ruling_was_heard_is_void() -> None:
    known = both_open()
    known.hear("B1", "B2")
    to_the_end(known["B2"])
    known["B2"].pack()
    known["B2"].tidy()
    known.rule("B1", "1-000001")
    known.meet()
    assert good(known) == []
    assert known.told("B2", e.LabelVoided) != []


def test_a_finding_that_the_ruling_had_not_seen_leaves_no_package_in_use() -> None:
    known = both_open(EAR)
    to_the_end(known["B1"])
    known["B1"].pack()
    known["B1"].tidy()
    known.meet()
    known["B2"].yes_until("A1.bore.swab")
    known["B2"].no("bone_grit", Place(lumen="bore", at_mm=10))
    known.rule("B1", "1-000001")
    assert len(good(known)) == 1
    known.meet()
    assert good(known) == []


@pytest.mark.parametrize("name", ["B1", "B3"])
def test_a_tray_with_two_records_is_not_taken_over_past_the_ruling(name: str) -> None:
    known = stations("B1", "B2", "B3")
    for bench, who in (("B1", "T1"), ("B2", "T2")):
        known[bench].sign_in(who)
        known[bench].open(PLAIN)
        known[bench].count()
    to_the_end(known["B1"])
    known["B1"].pack()
    known["B1"].tidy()
    known.meet()
    if known[name].bench.who is None:
        known[name].sign_in("T1")
    for way in (scan(PLAIN), c.TakeOver(tray=PLAIN)):
        known[name].send(way)
        assert known[name].refused == "refused.two_records"
        turn = known[name].session.turn
        assert turn is None or turn.page is not c.Page.ELSEWHERE
    assert known.told(name, e.TrayTakenOver) == []
    known.conflict()


def test_a_supervisor_whose_right_ends_while_signed_in_rules_nothing_more() -> None:
    known = both_open()
    known.meet()
    for name in ("B1", "B2"):
        known[name].must(c.SignOut())
    known["B2"].must(c.EnterPin(person="S2", pin=PIN))
    known["B1"].must(c.EnterPin(person="S1", pin=PIN), c.KeepPerson(person="S2", may="no"), c.SignOut())
    known.meet()
    (one,) = known.conflicts("B2")
    known["B2"].send(c.RuleConflict(conflict=one.conflict, ruling="1-000001"))
    assert known["B2"].refused == "refused.disabled"
    known["B2"].send(c.KeepPerson(person="T2", role="supervisor"))
    assert known["B2"].refused == "refused.disabled"
    assert known.told("B2", e.ConflictRuled, e.PersonKept) == []
    assert [each.why for each in known.told("B2", e.TryRefused) if isinstance(each, e.TryRefused)] == ["disabled"] * 2


def test_a_notice_that_was_lifted_once_can_be_entered_again_at_another_station() -> None:
    known = stations("B1", "B2")
    known["B1"].must(c.EnterPin(person="S1", pin=PIN), c.StopList(notice="FSN-7", types=("lap_takeapart",)))
    known["B1"].must(c.LiftStop(notice="FSN-7"), c.SignOut())
    known.meet()
    assert stops(known["B2"].bench, known["B2"].session.desk) == ()
    known["B2"].minutes(1)
    known["B2"].must(c.EnterPin(person="S2", pin=PIN), c.StopList(notice="FSN-7", types=("fine_suction",)))
    known.meet()
    for name in ("B1", "B2"):
        (stop,) = stops(known[name].bench, known[name].session.desk)
        assert (stop.notice, stop.types) == ("FSN-7", ("fine_suction",))


def test_a_ruling_of_somebody_whose_right_had_ended_elsewhere_is_kept_and_not_obeyed() -> None:
    known = both_open()
    known.meet()
    for name in ("B1", "B2"):
        known[name].must(c.SignOut())
    known["B1"].must(c.EnterPin(person="S1", pin=PIN), c.KeepPerson(person="S2", role="tech"), c.SignOut())
    known["B2"].minutes(1)
    (one,) = known.conflicts("B2")
    known["B2"].must(c.EnterPin(person="S2", pin=PIN), c.RuleConflict(conflict=one.conflict, ruling="2-000001"))
    known.meet()
    assert not trip(known, "B1").ended
    assert list(held_over(trip(known, "B1")).values()) == [known.conflict()]
    known.rule("B1", "1-000001")
    known.meet()
    assert not trip(known, "B1").holds
    assert known.conflicts("B1") == known.conflicts("B2") == []


def test_a_ruling_under_a_technicians_name_is_kept_and_not_obeyed() -> None:
    known = both_open()
    known.meet()
    word = e.ConflictRuled(conflict=known.conflict(), ruling="1-000001")
    at_ms = known["B1"].at_ms
    stamp = Stamp(at_ms=at_ms, offset_min=0, trusted=True, who="T2", trip=None, policy=1, record=1)
    known["B1"].session.hear("B2", [Kept(event=word, stamp=stamp)])
    known["B1"].session.send(c.Heard())
    assert len(known.conflicts("B1")) == 1
    assert trip(known, "B1").holds


def test_at_one_station_the_last_word_on_a_notice_counts_whatever_its_clock_says() -> None:
    known = stations("B1")
    shift = known["B1"]
    shift.must(c.EnterPin(person="S1", pin=PIN), c.StopList(notice="FSN-7", types=("lap_takeapart",)))
    shift.minutes(-60)
    shift.must(c.LiftStop(notice="FSN-7"))
    assert stops(shift.bench, shift.session.desk) == ()
    shift.minutes(-60)
    shift.must(c.StopList(notice="FSN-7", types=("fine_suction",)))
    (stop,) = stops(shift.bench, shift.session.desk)
    assert stop.types == ("fine_suction",)
    shift.minutes(-60)
    shift.must(c.StopWithdraw(notice="FSN-7", kind="type", value="fine_suction"))
    assert not any(one.types for one in stops(shift.bench, shift.session.desk))


def found_while_the_line_is_down() -> Stations:
    """Open at both; B1 knows of B2's tray and not of what B2 finds then; ruled for B1's, which is packed."""
    known = both_open(EAR)
    known.hear("B1", "B2")
    known["B2"].yes_until("A1.bore.swab")
    known["B2"].no("bone_grit", Place(lumen="bore", at_mm=10))
    known.rule("B1", "1-000001")
    return known


def test_a_finding_that_whoever_packed_after_the_ruling_had_not_heard_of_leaves_no_package_in_use() -> None:
    known = found_while_the_line_is_down()
    known["B1"].sign_in("T1")
    known["B1"].send(scan(EAR), c.Confirm(what="covered", subject="1-000001"))
    to_the_end(known["B1"])
    known["B1"].pack()
    assert len(good(known)) == 1
    known.meet()
    assert good(known) == []
    assert [event.number for event in known.told("B1", e.LabelVoided) if isinstance(event, e.LabelVoided)]


def test_a_finding_that_was_heard_before_the_packing_is_looked_at_again_and_the_package_is_in_use() -> None:
    known = found_while_the_line_is_down()
    known.meet()
    known["B1"].sign_in("T1")
    known["B1"].send(scan(EAR), c.Confirm(what="covered", subject="1-000001"))
    if known["B1"].step.kind == "count":
        known["B1"].count()
    to_the_end(known["B1"])
    known["B1"].pack()
    known.meet()
    assert len(good(known)) == 1


def test_a_second_finding_on_a_piece_that_was_asked_again_asks_again() -> None:
    known = both_open(EAR)
    known["B2"].yes_until("A1.bore.swab")
    known["B2"].no("clear_drops", Place(lumen="bore", at_mm=10))
    known.hear("B1", "B2")
    known.rule("B1", "1-000001")
    known["B1"].sign_in("T1")
    known["B1"].send(scan(EAR), c.Confirm(what="covered", subject="1-000001"))
    to_the_end(known["B1"])
    assert known["B1"].step.kind == "pack"
    known["B2"].must(c.TakeBack())
    known["B2"].no("bone_grit", Place(lumen="bore", at_mm=10))
    known.meet()
    assert (known["B1"].step.kind, known["B1"].step.piece) == ("check", "A1")


def test_a_finding_on_the_rest_of_a_tray_whose_count_was_asked_again_is_asked_too() -> None:
    known = stations("B1", "B2")
    for name, who in (("B1", "T1"), ("B2", "T2")):
        known[name].sign_in(who)
        known[name].open(PLAIN)
    known["B1"].count()
    known["B2"].must(c.CountLine(line="Forceps", have=3), c.CountDiffers())
    known.hear("B1", "B2")
    known.rule("B1", "1-000001")
    known["B1"].sign_in("T1")
    known["B1"].send(scan(PLAIN), c.Confirm(what="covered", subject="1-000001"))
    known["B1"].count()
    to_the_end(known["B1"])
    known["B2"].tell_what_differs()
    known["B2"].no("tissue")
    known.meet()
    assert known["B1"].step.kind == "check"


def test_three_records_of_a_tray_come_to_rest() -> None:
    known = stations("B1", "B2", "B3")
    for name, who in (("B1", "T1"), ("B2", "T2"), ("B3", "T1")):
        known[name].sign_in(who)
        known[name].open(EAR)
        known[name].count()
    for name in ("B2", "B3"):
        known[name].yes_until("A1.bore.swab")
        known[name].no("bone_grit", Place(lumen="bore", at_mm=10))
    known.hear("B1", "B2")
    known.rule("B1", "1-000001")
    known.meet()
    known.rule("B1", "1-000001")
    known.meet()
    sizes = {name: len(shift.log) for name, shift in known.each.items()}
    known.meet()
    known.meet()
    assert sizes == {name: len(shift.log) for name, shift in known.each.items()}
    assert all(shift.folded() == shift.bench for shift in known.each.values())
