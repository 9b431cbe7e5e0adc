"""Trays planned again under another policy: nothing where it is the same, and known answers on small trays."""

import math
from collections import Counter
from dataclasses import fields, replace
from decimal import Decimal
from pathlib import Path
from typing import Any, cast

import pytest

from kiosk.core import events as e
from kiosk.core.catalogue import Item, Tray
from kiosk.core.policy import Policy
from kiosk.core.vocabulary import Check, Size
from kiosk.lumen.planner import plan_tray
from kiosk.lumen.records import plan_as_json
from kiosk.places import RESOURCES
from kiosk.quality.every_lumen import every_check
from kiosk.quality.policy_replay import PLAN_KEYS, WayChange, other_keys, replay
from kiosk.quality.trips import OpenedTray, first_plans, opened_in
from kiosk.store.catalogue_files import load_catalogue
from tests.lumen.bench import default_kit, default_policy, tube
from tests.quality.small_log import SINUS, WEEK, answers, at, opening, store_of, told

POLICY, KIT = default_policy(), default_kit()
SWAB_ONLY = default_policy(by_size={"wide": ["light"], "middle": ["swab"], "narrow": ["swab"], "tiny": ["air"]})
DEMO = load_catalogue(RESOURCES / "demo", "B1")
OTHERS = [
    SWAB_ONLY,
    every_check(POLICY),
    default_policy(unknown_lumen="treat_as_tiny", part_not_seen="hold"),
    default_policy(verify_where="dirty"),
    default_policy(air_limit=100, scope_fit_ratio=0.7, overlap_mm=40),
    default_policy(clean_methods=["look", "dry", "light", "air", "brush"], brush_rule="one_per_item"),
    default_policy(size_edges_mm={"tiny_below": 1.5, "narrow_below": 3.0, "middle_below": 6.0}, scope_not_fit=[]),
]


def opened(*trays: Tray) -> list[OpenedTray]:
    return [OpenedTray(trip=f"1-{n:06}", bench="B1", day="2031-03-03", minute=540, tray=t) for n, t in enumerate(trays)]


@pytest.mark.parametrize("policy", [POLICY, *OTHERS])
def test_the_same_policy_on_both_sides_differs_in_nothing(policy: Policy) -> None:
    both = replay(opened(*DEMO.trays.values()), policy, replace(policy, version=9), DEMO.kit)
    assert both.now == both.then
    assert (both.more, both.ways) == ({}, ())
    assert both.trays == len(DEMO.trays)


def test_without_a_scope_check_the_bores_it_looked_through_are_not_seen_any_more() -> None:
    """By hand: two suctions of 3.2 mm, opened three times: six bores; wall pi x 3.2 x 180 mm2 each, all of it seen."""
    now = plan_tray(SINUS.items, POLICY, KIT)
    assert now[0].keys == ("look", "bore.dry", "bore.swab", "bore.scope")
    both = replay(opened(SINUS, SINUS, SINUS), POLICY, SWAB_ONLY, KIT)
    ends = 2 if now[0].checks[-1].ends == "both ends" else 1
    assert both.more == {"scope": -6 * ends}
    assert (both.now.trays_held, both.then.trays_held) == (0, 0)
    (way,) = both.ways
    assert (way.tray, way.item, way.lumen, way.times, way.sight) == ("TR-0100", "E1", "bore", 6, "not seen any more")
    assert float(way.now.seen_mm2 or 0) == pytest.approx(math.pi * 3.2 * 180)
    assert (way.then.seen_mm2, way.then.proof, way.then.hold) == (Decimal(0), True, None)
    (back,) = replay(opened(SINUS), SWAB_ONLY, POLICY, KIT).ways
    assert (back.times, back.sight) == (2, "newly seen")


def test_each_lumen_of_an_item_is_told_by_itself() -> None:
    """A middle bore loses its scope check; the wide side tap keeps its light, and is in no list."""
    two = Item(id="E3", name="Cannula", type="t", lumens=(tube("3.2", "180"), tube("6.0", "30", name="side tap")))
    both = replay(opened(Tray(code="TR-0400", name="Ports", items=(two,))), POLICY, SWAB_ONLY, KIT)
    assert [(way.lumen, way.sight) for way in both.ways if way.sight] == [("bore", "not seen any more")]


def test_a_hold_that_a_policy_brings_or_ends_is_counted_by_tray_and_by_piece() -> None:
    unknown = Item(id="E2", name="Old suction", type="suction_tube", lumens=(tube(None, "180", air=100),), qty=2)
    tray = Tray(code="TR-0200", name="Old set", items=(*SINUS.items, unknown))
    tiny = default_policy(unknown_lumen="treat_as_tiny", air_limit=100)
    kit = replace(KIT, air_station=True)
    both = replay(opened(tray, tray, SINUS), POLICY, tiny, kit)
    assert (both.now.trays_held, dict(both.now.holds)) == (2, {"unknown_lumen": 4})
    assert (both.then.trays_held, dict(both.then.holds)) == (0, {})
    assert both.more == {"air": 4, "dry": 4}
    (way,) = both.ways
    assert (way.item, way.now.hold, way.then.hold, way.then.proof, way.sight) == ("E2", "unknown_lumen", None, True, "")


@pytest.mark.parametrize("policy", OTHERS)
def test_checks_are_those_of_each_plan_written_out(policy: Policy) -> None:
    """A second writing: every plan of the demo's trays as `throughlight plan --json` gives it, counted by hand."""

    def written(one: Policy) -> Counter[str]:
        count: Counter[str] = Counter()
        for plan in (plan_as_json(p) for tray in DEMO.trays.values() for p in plan_tray(tray.items, one, DEMO.kit)):
            for key in plan["plan"]:
                count[key.rpartition(".")[2]] += 2 if plan["ends"].get(key) == "both ends" else 1
        return count

    both = replay(opened(*DEMO.trays.values()), POLICY, policy, DEMO.kit)
    before, after = written(POLICY), written(policy)
    assert both.more == {name: after[name] - before[name] for name in before | after if after[name] != before[name]}


@pytest.mark.parametrize("policy", OTHERS)
def test_there_and_back_are_each_other_s_mirror(policy: Policy) -> None:
    there = replay(opened(*DEMO.trays.values()), POLICY, policy, DEMO.kit)
    back = replay(opened(*DEMO.trays.values()), policy, POLICY, DEMO.kit)
    assert there.more == {method: -n for method, n in back.more.items()}

    def sides(ways: tuple[WayChange, ...]) -> set[Any]:
        return {(w.tray, w.item, w.lumen, w.times, w.now, w.then) for w in ways}

    assert sides(there.ways) == {(t, i, n, m, b, a) for t, i, n, m, a, b in sides(back.ways)}


class Read:
    """A policy that notes which of its keys are read."""

    def __init__(self, policy: Policy, keys: set[str]) -> None:
        self._policy, self._keys = policy, keys

    def __getattr__(self, name: str) -> Any:
        self._keys.add(name)
        return getattr(self._policy, name)


def test_the_keys_that_a_plan_rests_on_are_those_that_the_planner_reads() -> None:
    read: set[str] = set()
    odd = Tray(code="X", name="X", items=(Item(id="U", name="U", type="t", lumens=(tube(None, None),)),))
    for policy in (POLICY, *OTHERS):
        for tray in (*DEMO.trays.values(), odd):
            plan_tray(tray.items, cast("Policy", Read(policy, read)), DEMO.kit)
    assert read == PLAN_KEYS
    assert {field.name for field in fields(Policy)} >= PLAN_KEYS


def test_keys_that_differ_and_change_no_plan_are_named() -> None:
    other = default_policy(unknown_lumen="treat_as_tiny", max_dry_tries=5, scope_clean_every="lumen")
    assert other_keys(POLICY, other) == ("max_dry_tries", "scope_clean_every")
    assert other_keys(POLICY, replace(POLICY, version=7)) == ()


def test_trays_let_go_are_left_out_and_own_plans_are_held_against_those_made_here(tmp_path: Path) -> None:
    store = store_of(
        tmp_path / "store",
        opening("1-000001", at(0, "09:00")),
        opening("1-000002", at(0, "10:00"), policy=SWAB_ONLY),  # worked under an older policy
        opening("1-000003", at(0, "11:00")),
        [told(e.TrayLetGo(), at(0, "11:01"), "1-000003")],
        [told(e.TrayOpened(tray=SINUS, load=None), at(6, "23:59"), "1-000004")],  # its plan is not known here
        opening("1-000005", at(7, "00:00")),  # the day after
        answers("swab", [4], at(0, "09:01")),
    )
    trays = opened_in(store.records, WEEK)
    assert [(each.trip, each.day, each.minute) for each in trays.trays] == [
        ("1-000001", "2031-03-03", 540), ("1-000002", "2031-03-03", 600), ("1-000004", "2031-03-09", 1439),
    ]  # fmt: skip
    assert trays.let_go == 1
    assert {each.tray for each in trays.trays} == {SINUS}
    both = replay(trays.trays, POLICY, POLICY, KIT, first_plans(store.records, WEEK))
    assert (both.trays, both.compared, both.alike) == (3, 2, 1)
    store.close()


def test_every_check_asks_what_the_department_has_and_the_planner_leaves_out_what_cannot_be_done() -> None:
    every = every_check(POLICY)
    asked = {str(size): {str(c) for c in checks} for size, checks in every.by_size.items()}
    assert asked == {size: {"light", "swab", "scope", "air"} for size in ("tiny", "narrow", "middle", "wide")}
    assert Size.UNKNOWN not in every.by_size
    forbidden = tube("3.2", "180", air=None, forbid=(Check.SCOPE,))
    (plan,) = plan_tray((Item(id="A", name="A", type="t", lumens=(forbidden,)),), every, KIT)
    assert plan.keys == ("look", "bore.dry", "bore.light", "bore.swab")
    assert plan.lumens[0].seen_mm2 == plan.lumens[0].wall_mm2 != Decimal(0)
