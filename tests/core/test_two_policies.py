"""The policy signed, and a record changed, on two machines that were apart: both kept, the stricter in force, ruled."""

import json
from dataclasses import replace
from decimal import Decimal
from itertools import pairwise
from typing import Any

import pytest

from kiosk.core import commands as c
from kiosk.core import events as e
from kiosk.core.policy import Policy, plain_values
from kiosk.core.policy_choices import OPTIONS
from kiosk.core.together.stricter import JOINED, LESS, MORE, RANKED, SHARED, strictest
from kiosk.core.views import AskView, ListView, StopView
from kiosk.core.vocabulary import Check, Learnt
from tests.core.department import EAR, PIN, Shift
from tests.core.department import desk as small_desk
from tests.core.two_benches import Stations, stations


def at_the_desks(*names: str) -> Stations:
    known = stations(*names)
    for name in names:
        known[name].must(c.EnterPin(person="S1", pin=PIN))
    return known


def sign(shift: Shift, **rules: object) -> None:
    """The manager drafts these rules, and infection prevention signs with them."""
    for key, value in rules.items():
        shift.must(c.DraftRule(key=key, value=json.dumps(value)))
    shift.must(c.Turn(page=c.Page.NAMES, subject="second:policy-now:"))
    shift.must(c.EnterPin(person="I1", pin=PIN, second="policy-now"))
    while isinstance(view := shift.session.view(), ListView):  # every change is read before
        go = view.main if view.main is not None and view.main.send is not None else view.next
        assert go.send is not None
        shift.must(go.send)
    assert isinstance(view, AskView)
    assert view.yes.send is not None
    shift.must(view.yes.send)


def signed_apart(here: dict[str, object], there: dict[str, object]) -> Stations:
    known = at_the_desks("B1", "B2")
    sign(known["B1"], **here)
    sign(known["B2"], **there)
    known.meet()
    return known


def policies(known: Stations) -> list[Policy]:
    return [shift.session.desk.policy for shift in known.each.values()]


def test_two_versions_of_one_parent_are_a_conflict_and_every_stricter_rule_counts_at_both() -> None:
    known = signed_apart({"fail_limit": 2, "max_dry_tries": 4}, {"max_dry_tries": 1, "fail_limit": 5})
    assert known.conflict().startswith("policy:2:")
    assert [(p.version, p.fail_limit, p.max_dry_tries) for p in policies(known)] == [(2, 2, 1)] * 2
    assert [len(known.told(name, e.PolicySigned)) for name in ("B1", "B2")] == [1, 1]


def test_a_rule_that_both_made_easier_stays_as_the_last_common_version_had_it() -> None:
    known = signed_apart({"fail_limit": 4}, {"fail_limit": 5})
    assert [p.fail_limit for p in policies(known)] == [3, 3]


def test_of_what_is_not_stricter_either_way_the_older_stands() -> None:
    known = signed_apart({"house_language": "es"}, {"look_time": "wait"})
    assert [(p.house_language, p.look_time) for p in policies(known)] == [("en", "wait")] * 2


def test_the_same_rules_signed_twice_for_the_same_moment_are_no_conflict() -> None:
    known = at_the_desks("B1", "B2")
    for name in ("B1", "B2"):
        sign(known[name], fail_limit=2)
    known.meet()
    assert [p.fail_limit for p in policies(known)] == [2, 2]
    assert not known.conflicts("B1")


def test_one_after_the_other_is_no_conflict() -> None:
    known = at_the_desks("B1", "B2")
    sign(known["B1"], fail_limit=2)
    known.meet()
    sign(known["B2"], fail_limit=5)
    known.meet()
    assert not known.conflicts("B1")
    assert [(p.version, p.fail_limit) for p in policies(known)] == [(3, 5), (3, 5)]


def test_a_supervisor_rules_for_one_of_them_and_it_counts_at_both() -> None:
    known = signed_apart({"fail_limit": 2}, {"fail_limit": 5})
    chosen = known["B2"].bench.staff.policies[-1]
    known.rule("B1", chosen.mark)
    known.meet()
    assert [(p.version, p.fail_limit) for p in policies(known)] == [(2, 5)] * 2
    assert not known.conflicts("B1")
    assert not known.conflicts("B2")


def test_a_supervisor_rules_that_the_stricter_rules_stay() -> None:
    known = signed_apart({"fail_limit": 2, "max_dry_tries": 4}, {"max_dry_tries": 1})
    known.rule("B2", "strictest")
    known.meet()
    assert [(p.fail_limit, p.max_dry_tries) for p in policies(known)] == [(2, 1)] * 2
    assert not known.conflicts("B1")


def test_a_branch_of_two_versions_falls_whole_when_the_other_one_is_ruled() -> None:
    known = at_the_desks("B1", "B2")
    sign(known["B1"], fail_limit=2)
    sign(known["B1"], max_dry_tries=1)
    sign(known["B2"], tell_lead_at=1)
    known.meet()
    assert [(p.version, p.fail_limit, p.max_dry_tries, p.tell_lead_at) for p in policies(known)] == [(3, 2, 1, 1)] * 2
    known.rule("B1", known["B2"].bench.staff.policies[-1].mark)
    known.meet()
    assert [(p.fail_limit, p.max_dry_tries, p.tell_lead_at) for p in policies(known)] == [(3, 2, 1)] * 2


def test_the_next_version_is_drawn_over_what_counts_and_ends_the_conflict() -> None:
    known = signed_apart({"fail_limit": 2}, {"max_dry_tries": 1})
    sign(known["B1"], tell_lead_at=1)
    known.meet()
    assert [(p.version, p.fail_limit, p.max_dry_tries, p.tell_lead_at) for p in policies(known)] == [(3, 2, 1, 1)] * 2
    assert not known.conflicts("B1")


def test_a_trip_that_began_under_one_of_them_is_asked_by_the_stricter_of_both() -> None:
    known = signed_apart({"max_dry_tries": 1}, {"fail_limit": 2})
    shift = known["B2"]
    shift.must(c.SignOut())
    shift.sign_in("T1")
    shift.open(EAR)
    assert shift.trip.policy == 2
    assert (shift.session.here.policy.max_dry_tries, shift.session.here.policy.fail_limit) == (1, 2)


def test_the_page_shows_what_each_version_says_and_the_ruling_is_an_event() -> None:
    known = signed_apart({"fail_limit": 2}, {"max_dry_tries": 1})
    shift = known["B1"]
    shift.must(c.Turn(page=c.Page.CONFLICT, subject=known.conflict()))
    view = shift.session.view()
    assert isinstance(view, ListView)
    assert sorted(row.name for row in view.rows) == ["rule B1", "rule B2"]
    assert all(len(row.sub) > 5 for row in view.rows)
    assert view.main is not None
    assert view.main.send is not None
    shift.must(view.main.send)
    back = shift.session.view()
    assert isinstance(back, StopView)
    assert not known.told("B1", e.ConflictRuled)  # said back first
    assert back.main is not None
    assert back.main.send is not None
    shift.must(back.main.send)
    (ruled,) = known.told("B1", e.ConflictRuled)
    assert isinstance(ruled, e.ConflictRuled)
    assert ruled.ruling == "strictest"


def values(**changes: Any) -> Policy:
    return Policy.from_mapping({**plain_values(small_desk().policy), **changes}, version=2)


@pytest.mark.parametrize("key", sorted(RANKED))
def test_the_stricter_of_two_choices_counts_whichever_was_older(key: str) -> None:
    """Each list stands with the strictest last, and holds every choice the page of the policy offers."""
    order = RANKED[key]
    assert set(OPTIONS.get(key, order)) <= set(order)
    for easier, stricter in pairwise(order):
        for one, other in ((easier, stricter), (stricter, easier)):
            assert plain_values(strictest(values(**{key: one}), [values(**{key: other})], 3))[key] == stricter


@pytest.mark.parametrize("key", sorted(LESS | MORE))
def test_the_stricter_of_two_figures_counts_whichever_was_older(key: str) -> None:
    for one, other in ((2, 5), (5, 2)):
        out = plain_values(strictest(values(**{key: one}), [values(**{key: other})], 3))[key]
        assert Decimal(str(out)) == (2 if key in LESS else 5)


def test_lists_that_ask_for_more_are_joined_and_lists_that_let_go_are_shared() -> None:
    assert not JOINED & SHARED
    one = values(second_person=["override"], may_override=["not_seen", "substitute"], clean_methods=["look", "swab"])
    other = values(second_person=["unsure"], may_override=["substitute"], clean_methods=["look", "air"])
    out = strictest(one, [other], 3)
    assert out.second_person == {"override", "unsure"}
    assert out.may_override == {"substitute"}
    assert out.clean_methods == {Check.LOOK, Check.SWAB, Check.AIR}


def test_tables_and_the_air_pressure_take_the_more_careful_row_of_each() -> None:
    rule = small_desk().policy.return_rule
    one = values(return_rule={**rule, "tissue": "item", "blocked": "tray"}, air_limit=200, verify_where="clean")
    other = values(return_rule={**rule, "tissue": "tray"}, air_limit=150, verify_where="dirty")
    out = strictest(one, [other], 3)
    assert (out.return_rule["tissue"], out.return_rule["blocked"]) == ("tray", "tray")
    assert (out.air_limit, out.verify_where) == (150, "both")
    assert strictest(one, [values(air_limit="ifu_only")], 3).air_limit is None


def test_nothing_becomes_easier_than_the_older_policy_by_what_another_station_signed() -> None:
    older = small_desk().policy
    assert strictest(older, [older, older], older.version) == older


# Item records


def changed(shift: Shift, field: str, value: str) -> None:
    shift.must(c.KeepItem(tray=EAR, item="A1", lumen="bore" if field != "name" else "", field=field, value=value))


def bore(shift: Shift) -> tuple[Decimal | None, Decimal | None, Learnt]:
    (way,) = shift.session.desk.catalogue.trays[EAR].items[0].lumens
    return way.inside_mm, way.length_mm, way.learnt


def changed_apart() -> Stations:
    known = at_the_desks("B1", "B2")
    changed(known["B1"], "inside_mm", "2.2")
    changed(known["B2"], "length_mm", "160")
    known.meet()
    return known


def test_a_record_changed_on_two_machines_counts_with_the_more_careful_of_each_value() -> None:
    known = changed_apart()
    assert known.conflict().startswith("record:item TR-1 A1:")
    assert [bore(shift) for shift in known.each.values()] == [(Decimal("2.2"), Decimal(160), Learnt.TYPICAL)] * 2


def test_less_air_and_every_check_that_either_forbids() -> None:
    known = at_the_desks("B1", "B2")
    changed(known["B1"], "air_kpa", "200")
    changed(known["B1"], "forbid", "swab")
    changed(known["B2"], "air_kpa", "120")
    known.meet()
    for shift in known.each.values():
        (way,) = shift.session.desk.catalogue.trays[EAR].items[0].lumens
        assert way.air_kpa == 120
        assert way.forbid == {Check.SWAB}


def test_the_ruling_keeps_the_record_once_more_and_it_counts_at_both() -> None:
    known = changed_apart()
    (chosen,) = known["B1"].bench.staff.records["item TR-1 A1"]
    known.rule("B2", chosen.mark)
    known.meet()
    assert [bore(shift)[:2] for shift in known.each.values()] == [(Decimal("2.2"), Decimal(150))] * 2
    assert not known.conflicts("B1")
    assert not known.conflicts("B2")


def test_two_names_are_no_conflict_and_the_newer_counts() -> None:
    known = at_the_desks("B1", "B2")
    changed(known["B1"], "name", "Bent tube, left")
    known["B2"].minutes(5)
    changed(known["B2"], "name", "Bent tube, right")
    known.meet()
    assert not known.conflicts("B1")
    names = {shift.session.desk.catalogue.trays[EAR].items[0].name for shift in known.each.values()}
    assert names == {"Bent tube, right"}


def test_a_change_knowing_the_other_is_no_conflict() -> None:
    known = at_the_desks("B1", "B2")
    changed(known["B1"], "inside_mm", "2.2")
    known.meet()
    changed(known["B2"], "inside_mm", "2.4")
    known.meet()
    assert not known.conflicts("B1")
    assert [bore(shift)[0] for shift in known.each.values()] == [Decimal("2.4")] * 2


def test_an_item_changed_while_its_tray_was_changed_elsewhere_is_not_undone() -> None:
    known = at_the_desks("B1", "B2")
    changed(known["B1"], "inside_mm", "2.2")
    known["B2"].minutes(5)
    known["B2"].must(c.KeepTray(tray=EAR, name="Ear set, large"))
    known.meet()
    for shift in known.each.values():
        assert shift.session.desk.catalogue.trays[EAR].name == "Ear set, large"
        assert bore(shift)[0] == Decimal("2.2")


def test_kit_that_either_says_is_gone_is_on_no_plan() -> None:
    known = at_the_desks("B1", "B2")
    kit = known["B1"].session.desk.catalogue.kit
    known["B1"].must(c.KeepKit(field="air_station"))
    known["B2"].must(c.KeepKit(field="gauge_pins"))
    known.meet()
    left = known["B1"].session.desk.catalogue.kit
    assert left.air_station == (kit.air_station and not kit.air_station)
    assert left.gauge_pins == (kit.gauge_pins and not kit.gauge_pins)
    assert known.conflict().startswith("record:kit:")


def test_the_page_of_a_record_shows_each_change() -> None:
    known = changed_apart()
    shift = known["B1"]
    shift.must(c.Turn(page=c.Page.CONFLICT, subject=known.conflict()))
    view = shift.session.view()
    assert isinstance(view, ListView)
    assert "A1" in view.title
    assert "2.2 mm" in view.rows[0].sub
    assert "160 mm" in view.rows[1].sub
    assert len(view.rows) == 2


def test_the_stations_come_to_the_same_whichever_they_hear_first() -> None:
    known = at_the_desks("B1", "B2", "B3")
    sign(known["B1"], fail_limit=2)
    sign(known["B2"], max_dry_tries=1)
    sign(known["B3"], tell_lead_at=1)
    known.meet("B2", "B3")
    known.meet("B1", "B3")
    known.meet()
    left = [replace(policy, version=0) for policy in policies(known)]
    assert left[0] == left[1] == left[2]
    assert (left[0].fail_limit, left[0].max_dry_tries, left[0].tell_lead_at) == (2, 1, 1)
