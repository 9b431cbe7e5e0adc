"""One tray open at two benches that were apart: kept twice, held at both, ruled once. Source: CALM, observed-remove.

Shapiro and others, "A comprehensive study of convergent and commutative replicated data types" (INRIA RR-7506, 2011):
an element that is added while another removes what it has seen stays; the same holds for holds here.
"""

import pytest

from kiosk.core import commands as c
from kiosk.core import events as e
from kiosk.core.place import Place
from kiosk.core.state.trip import Trip
from kiosk.core.together.loads import void_of
from kiosk.core.together.same_tray import held_over
from kiosk.core.views import ListView, PackView
from tests.core.department import EAR, PIN, PLAIN, Shift, names
from tests.core.two_benches import Stations, stations

OWN = EAR
"""The tag that a tray gets in place of one it did not own."""


def both_open(tray: str = PLAIN, **policy: object) -> Stations:
    """The tray is open and counted at B1 and at B2, which have not heard each other."""
    known = stations("B1", "B2", **policy)
    for name, who in (("B1", "T1"), ("B2", "T2")):
        known[name].sign_in(who)
        known[name].open(tray)
        known[name].count()
    return known


def to_the_end(shift: Shift) -> None:
    shift.yes_to_all()
    shift.tidy()


def trip(known: Stations, name: str) -> Trip:
    return next(iter(known[name].bench.trips.values()))


def test_a_tray_open_at_two_benches_is_noted_once_and_stands_on_the_list_of_both() -> None:
    known = both_open()
    known.meet()
    conflict = known.conflict()
    assert conflict == "same_tray:TR-4:1-000001:2-000001"
    noted = [each for name in known.each for each in known.told(name, e.SyncConflict)]
    assert [(each.conflict, each.stations) for each in noted if isinstance(each, e.SyncConflict)] == [
        (conflict, ("B1", "B2"))
    ]


def test_neither_bench_packs_it_before_the_ruling_and_what_was_answered_stays() -> None:
    known = both_open(EAR)
    known["B1"].yes()
    answered = {name: piece.yes for name, piece in known["B1"].trip.pieces.items()}
    known.meet()
    assert {name: piece.yes for name, piece in known["B1"].trip.pieces.items()} == answered
    for name in ("B1", "B2"):
        assert "no packing yet" in known[name].session.view().head.notice
        to_the_end(known[name])
        assert known[name].step.kind == "shelf"
        assert not isinstance(known[name].session.view(), PackView)
        assert "two stations" in known[name].session.view().help
        known[name].send(c.PackAndPrint())
        assert known[name].refused == "refused.not_ready"


def test_the_hold_names_the_conflict_and_only_the_ruling_releases_it() -> None:
    known = both_open()
    known.meet()
    conflict = known.conflict()
    assert list(held_over(trip(known, "B1")).values()) == [conflict]
    known["B1"].must(c.StopHere(reason="break"))
    known.meet()
    assert list(held_over(trip(known, "B1")).values()) == [conflict]
    known.rule("B2", "1-000001")
    known.meet()
    assert not trip(known, "B1").holds
    (released,) = known.told("B1", e.HoldReleased)
    assert isinstance(released, e.HoldReleased)
    assert (released.holds, released.why) == (("1-H1",), "ruled")


def test_a_hold_that_the_ruling_had_not_seen_survives_it() -> None:
    known = both_open(EAR)
    known.meet()
    known["B1"].yes_until("A1.bore.swab")
    known["B1"].no("bone_grit", Place(lumen="bore", at_mm=10))
    known["B1"].confirm("item_back")
    known["B1"].tidy()
    to_the_end(known["B1"])
    mine = {hold.id for hold in known["B1"].trip.holds}
    assert len(mine) == 2
    known.rule("B2", "1-000001")  # B2 has not heard of the piece that went back
    known.meet()
    left = known["B1"].trip.holds
    assert [hold.waits_for for hold in left] == [("A1",)]
    assert not held_over(known["B1"].trip)


def test_one_tray_goes_on_where_it_was_ruled_and_the_other_record_ends() -> None:
    known = both_open()
    known.meet()
    known.rule("B1", "2-000001")
    known.meet()
    assert not known.conflicts("B1")
    assert not known.conflicts("B2")
    assert "gone_over" in names(known.told("B1", e.GoneOver))
    to_the_end(known["B2"])
    assert known["B2"].step.kind == "pack"
    known["B2"].pack()
    known.meet()
    assert not known.conflicts("B1")


def test_what_the_other_record_found_is_looked_at_again_and_counted_again() -> None:
    known = both_open(EAR)
    known["B1"].yes_to_all()
    known["B2"].yes_until("A1.bore.swab")
    known["B2"].no("bone_grit", Place(lumen="bore", at_mm=10))
    known.meet()
    known.rule("B1", "1-000001", by="S1")
    known.meet()
    here = trip(known, "B1")
    assert not here.pieces["A1"].yes
    assert here.pieces["A2#1"].all_yes
    assert not any(isinstance(each, e.GoneOver) for each in known.told("B1", e.GoneOver))
    assert known.told("B2", e.GoneOver)


def test_two_counts_that_differ_both_stand_on_the_page_and_the_tray_is_counted_again() -> None:
    known = stations("B1", "B2")
    for name, who in (("B1", "T1"), ("B2", "T2")):
        known[name].sign_in(who)
        known[name].open(PLAIN)
    known["B1"].count()
    known["B2"].must(c.CountLine(line="Forceps", have=3), c.CountDiffers())
    known.meet()
    conflict = known.conflict()
    known["B1"].must(c.StopHere(reason="end_of_shift"), c.EnterPin(person="S1", pin=PIN))
    known["B1"].must(c.Turn(page=c.Page.CONFLICT, subject=conflict))
    view = known["B1"].session.view()
    assert isinstance(view, ListView)
    assert "B1" in view.rows[0].title
    assert "as listed" in view.rows[0].sub
    assert "Forceps 3 of 4" in view.rows[1].sub
    known["B1"].must(c.SignOut())
    known.rule("B1", "1-000001")
    known.meet()
    assert not trip(known, "B1").counted


def test_packed_before_they_met_its_label_is_void_when_the_open_record_is_the_trays() -> None:
    known = both_open()
    to_the_end(known["B1"])
    known["B1"].pack()
    number = known["B1"].trip.package
    known.meet()
    assert known.conflict().startswith("same_tray:TR-4:")
    assert held_over(trip(known, "B2"))
    events = known.rule("B2", "2-000001")
    assert names(events) == ["conflict_ruled", "label_voided", "hold_released"]
    known.meet()
    assert void_of(known["B1"].bench, known["B1"].session.desk, number) == "same_tray"
    assert not known.conflicts("B1")
    assert not trip(known, "B2").holds
    assert not trip(known, "B2").ended


def test_a_package_does_not_go_on_over_what_the_other_record_has_open() -> None:
    known = both_open(EAR)
    to_the_end(known["B1"])
    known["B1"].pack()
    known["B2"].yes_until("A1.bore.swab")
    known["B2"].no("bone_grit", Place(lumen="bore", at_mm=10))
    known.meet()
    known["B1"].tidy()
    known["B1"].must(c.SignOut(), c.EnterPin(person="S1", pin=PIN))
    known["B1"].send(c.RuleConflict(conflict=known.conflict(), ruling="1-000001"))
    assert known["B1"].refused == "refused.other_record_open"


def test_packed_at_both_before_they_met_one_label_is_void_after_the_ruling() -> None:
    known = both_open()
    for name in ("B1", "B2"):
        to_the_end(known[name])
        known[name].pack()
    known.meet()
    known["B1"].tidy()
    known.rule("B1", "1-000001")
    known.meet()
    here = known["B2"]
    assert void_of(here.bench, here.session.desk, here.trip.package) == "same_tray"
    assert not void_of(here.bench, here.session.desk, known["B1"].trip.package)
    assert not known.conflicts("B2")


def test_two_trays_with_one_label_wait_for_a_tag_of_their_own_and_then_both_go_on() -> None:
    known = both_open()
    known.meet()
    assert "same_label" in names(known.rule("B2", "two_trays"))
    known.meet()
    for name in ("B1", "B2"):
        assert not held_over(trip(known, name))
        assert [hold.waits_for for hold in trip(known, name).holds] == [("@label",)]
        to_the_end(known[name]) if known[name].bench.trip else None
    known["B1"].must(c.RuleRetagged(by="S1", tray=PLAIN))  # B2's tray has the new tag
    known.meet()
    assert known.told("B2", e.TagChanged) == [e.TagChanged(tray=PLAIN)]
    assert trip(known, "B2").ended
    assert not trip(known, "B1").holds
    known["B1"].pack()
    if known["B2"].bench.who is None:
        known["B2"].sign_in("T2")
    known["B2"].open(OWN)
    known["B2"].count()
    to_the_end(known["B2"])
    known["B2"].pack()
    known.meet()
    assert not known.conflicts("B1")
    assert [known[name].trip.tray.code for name in ("B1", "B2")] == [PLAIN, OWN]


def test_the_tray_on_this_bench_may_be_the_one_with_the_new_tag() -> None:
    known = both_open()
    known.meet()
    known.rule("B2", "two_trays")
    known.meet()
    known["B1"].must(c.RuleRetagged(by="S1", tray=PLAIN, here=True))
    known.meet()
    assert [trip(known, name).ended for name in ("B1", "B2")] == [True, False]
    assert not trip(known, "B2").holds
    assert known["B1"].folded() == known["B1"].bench


def test_two_rulings_that_had_not_seen_each_other_leave_the_tray_held_until_a_third() -> None:
    known = both_open()
    known.meet()
    known.rule("B1", "1-000001", by="S1")
    known.rule("B2", "two_trays", by="S2")
    known.meet()
    assert known.conflicts("B1")
    assert known.conflicts("B2")
    assert held_over(trip(known, "B1"))
    known.rule("B1", "two_trays", by="S2")
    known.meet()
    assert not known.conflicts("B1")
    assert not known.conflicts("B2")


def test_a_third_bench_joins_the_conflict_and_one_ruling_ends_all_of_it() -> None:
    known = stations("B1", "B2", "B3")
    for name in known.each:
        known[name].sign_in("T1")
        known[name].open(PLAIN)
        known[name].count()
    known.meet("B1", "B2")
    known.meet()
    assert known.conflict() == "same_tray:TR-4:1-000001:2-000001:3-000001"
    known.rule("B3", "3-000001")
    known.meet()
    assert not any(known.conflicts(name) for name in known.each)
    assert not trip(known, "B3").holds
    assert [trip(known, name).ended for name in ("B1", "B2", "B3")] == [True, True, False]


@pytest.mark.parametrize("who", ["T1", "T2", "D1"])
def test_nobody_but_a_supervisor_rules(who: str) -> None:
    known = both_open()
    known.meet()
    known["B1"].must(c.SignOut(), c.EnterPin(person=who, pin=PIN))
    known["B1"].send(c.RuleConflict(conflict=known.conflict(), ruling="1-000001"))
    assert known["B1"].refused == "refused.supervisor_only"


def test_a_supervisor_does_not_rule_on_a_tray_they_worked_on() -> None:
    known = both_open()
    known["B1"].must(c.StopHere(reason="end_of_shift"))
    known["B1"].sign_in("S1")
    known["B1"].open(PLAIN)
    known["B1"].must(c.Confirm(what="covered", subject="1-000001"))
    known["B1"].count()
    known.meet()
    known["B1"].send(c.RuleConflict(conflict=known.conflict(), ruling="1-000001"))
    assert known["B1"].refused == "refused.own_work"


def test_a_tray_that_was_taken_over_let_go_or_opened_again_is_in_nobodys_way() -> None:
    known = stations("B1", "B2")
    known["B1"].sign_in("T1")
    known["B1"].open(PLAIN)
    known.meet()
    known["B2"].sign_in("T2")
    known["B2"].open(PLAIN)
    known["B2"].must(c.TakeOver(tray=PLAIN))
    known.meet()
    assert not known.conflicts("B1")
    assert not known.conflicts("B2")
    assert not known.told("B1", e.SyncConflict)


def test_a_tray_packed_before_the_other_bench_opened_it_is_in_nobodys_way() -> None:
    known = stations("B1", "B2")
    known["B1"].sign_in("T1")
    known["B1"].open(PLAIN)
    known["B1"].count()
    to_the_end(known["B1"])
    known["B1"].pack()
    known["B2"].at_ms = known["B1"].at_ms + 3_600_000
    known["B2"].sign_in("T2")
    known["B2"].open(PLAIN)
    known.meet()
    assert not known.conflicts("B1")


def test_the_fold_of_each_log_is_the_bench_that_is_shown() -> None:
    known = both_open()
    known.meet()
    known.rule("B1", "two_trays")
    known.meet()
    for name in known.each:
        assert known[name].folded() == known[name].bench
