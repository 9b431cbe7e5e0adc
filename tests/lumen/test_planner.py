"""The rules of the plan of checks, one by one, with their reasons in words."""

from decimal import Decimal

import pytest

from kiosk.core.catalogue import Item, Kit
from kiosk.core.policy import Policy
from kiosk.core.vocabulary import Check, Feature, Learnt, Opening, Size
from kiosk.lumen.planner import pieces, plan_piece, plan_tray
from tests.lumen.bench import asked, default_kit, default_policy, item, planned, resource, tube, why

METHODS = [str(method) for method in resource("policy.yaml")["clean_methods"]]


@pytest.mark.parametrize(
    ("inside", "size"),
    [("0.99", "tiny"), ("1.0", "narrow"), ("1.99", "narrow"), ("2.0", "middle"), ("4.99", "middle"), ("5.0", "wide")],
)
def test_the_size_goes_by_the_narrowest_inside_and_the_edges(inside: str, size: str, policy: Policy, kit: Kit) -> None:
    assert planned(tube(inside, air=100), policy, kit)[1].size is Size(size)


@pytest.mark.parametrize(
    ("inside", "checks"),
    [
        ("0.7", ["dry", "air"]),
        ("1.5", ["dry", "swab", "scope"]),
        ("3.0", ["dry", "swab", "scope"]),
        ("6.0", ["dry", "light", "swab"]),
    ],
)
def test_each_size_has_its_own_checks_and_dry_comes_first(
    inside: str, checks: list[str], policy: Policy, kit: Kit
) -> None:
    assert asked(planned(tube(inside, "100", air=100), policy, kit)[0]) == checks


@pytest.mark.parametrize("missing", [(None, "100"), ("3.0", None), (None, None)])
def test_a_lumen_of_unknown_size_is_held_without_checks(
    missing: tuple[str | None, str | None], policy: Policy, kit: Kit
) -> None:
    plan, lumen = planned(tube(*missing, Feature.ROUGH), policy, kit)
    assert plan.keys == ("look",)
    assert plan.hold == lumen.hold == "unknown_lumen"
    assert "not known" in why(plan)["scope"]
    assert plan.seen_share is None


def test_a_typical_size_is_not_known_until_confirmed(policy: Policy, kit: Kit) -> None:
    assert planned(tube(learnt=Learnt.TYPICAL), policy, kit)[0].hold == "unknown_lumen"
    assert planned(tube(learnt=Learnt.GAUGE_PIN), policy, kit)[0].hold is None


def test_a_department_may_treat_an_unknown_lumen_as_tiny(kit: Kit) -> None:
    tiny = default_policy(unknown_lumen="treat_as_tiny")
    plan, lumen = planned(tube(None, None, air=100), tiny, kit)
    assert asked(plan) == ["dry", "air"]
    assert (lumen.not_seen, lumen.not_seen_all, lumen.not_seen_mm, plan.hold) == (True, True, None, None)
    blind, _ = planned(tube(None, None, open=Opening.ONE), tiny, kit)
    assert asked(blind) == ["dry"]
    assert blind.hold == "cannot_reach"
    assert why(blind)["scope"] == why(blind)["swab"] == "left out: the size is not known"


def test_a_curved_lumen_loses_light_and_gets_a_scope(policy: Policy, kit: Kit) -> None:
    plan, _ = planned(tube("6.0", "100", Feature.CURVED), policy, kit)
    assert asked(plan) == ["dry", "swab", "scope"]
    assert why(plan)["light"] == "left out: curved, light does not run straight through"
    assert why(plan)["scope"] == "curved, so no light: scope, 1.9 mm, limit 5.4 mm"


def test_a_blind_tube_is_never_checked_with_air_light_or_water(kit: Kit) -> None:
    wet = default_policy(clean_methods=[*METHODS, "water"], by_size={"wide": ["light", "air", "water"]})
    plan, _ = planned(tube("9.0", "40", open=Opening.ONE, air=100), wet, kit)
    assert asked(plan) == ["dry", "swab", "scope"]
    assert why(plan)["air"] == "left out: open at one end, it would blow back"


@pytest.mark.parametrize("feature", [Feature.FENESTRATED, Feature.SIDE_HOLE])
def test_side_holes_are_looked_at_and_air_proves_nothing(feature: Feature, policy: Policy, kit: Kit) -> None:
    wide, _ = planned(tube("6.0", "100", feature, air=100), policy, kit)
    assert asked(wide) == ["dry", "light", "holes", "swab", "scope"]
    tiny, lumen = planned(tube("0.7", "100", feature, air=100), policy, kit)
    assert asked(tiny) == ["dry", "holes"]
    assert lumen.hold == "cannot_reach"
    assert why(tiny)["air"] == "left out: side holes, air leaves by the first one"


def test_a_toothed_lumen_gets_teeth_and_scope(policy: Policy, kit: Kit) -> None:
    assert asked(planned(tube("6.0", "100", Feature.TOOTHED), policy, kit)[0]) == [
        "dry", "light", "teeth", "swab", "scope",
    ]  # fmt: skip


def test_a_rough_lumen_gets_a_scope(policy: Policy, kit: Kit) -> None:
    plan, _ = planned(tube("6.0", "100", Feature.ROUGH), policy, kit)
    assert asked(plan) == ["dry", "light", "swab", "scope"]


def test_a_filled_lumen_gets_air_only_and_is_not_seen(policy: Policy, kit: Kit) -> None:
    plan, lumen = planned(tube("3.0", "300", Feature.FILLED, air=80), policy, kit)
    assert asked(plan) == ["dry", "air"]
    assert (lumen.not_seen_all, lumen.not_seen_mm, plan.hold) == (True, Decimal(300), None)
    assert why(plan)["air"] == "filled, so no light, swab or scope: air, at most 80 kPa by the IFU"
    assert planned(tube("3.0", "300", Feature.FILLED), policy, kit)[0].hold == "cannot_reach"


def test_a_filled_lumen_whose_ifu_forbids_the_scope_gets_no_other_air(policy: Policy, kit: Kit) -> None:
    plan, _ = planned(tube("3.0", "300", Feature.FILLED, air=80, forbid=[Check.SCOPE, Check.AIR]), policy, kit)
    assert asked(plan) == ["dry"]


@pytest.mark.parametrize("features", [(), (Feature.CURVED,), (Feature.FENESTRATED,), (Feature.FILLED,)])
def test_on_the_dirty_side_policy_nothing_wet_or_probing_is_asked_and_nothing_is_held(
    features: tuple[Feature, ...], kit: Kit
) -> None:
    dirty = default_policy(verify_where="dirty")
    for inside in ("0.7", "3.0", "6.0"):
        plan, lumen = planned(tube(inside, "900", *features, air=100, forbid=[Check.SCOPE]), dirty, kit)
        assert not {"swab", "scope", "air", "water", "brush"} & set(asked(plan))
        assert (lumen.not_seen, lumen.not_seen_mm, plan.hold) == (False, None, None)


def test_what_the_department_does_not_do_is_not_asked(kit: Kit) -> None:
    no_swab = default_policy(clean_methods=[method for method in METHODS if method != "swab"])
    plan, _ = planned(tube("3.0", "100"), no_swab, kit)
    assert asked(plan) == ["dry", "scope"]
    assert why(plan)["swab"] == "left out: not a method of this department"


@pytest.mark.parametrize("forbidden", list(Check))
def test_what_the_ifu_forbids_is_never_asked(forbidden: Check, policy: Policy, kit: Kit) -> None:
    for features in ((), (Feature.TOOTHED, Feature.FENESTRATED), (Feature.FILLED,)):
        for inside in ("0.7", "3.0", "6.0"):
            plan, _ = planned(tube(inside, "100", *features, air=100, forbid=[forbidden]), policy, kit)
            assert str(forbidden) not in asked(plan)


@pytest.mark.parametrize(
    ("air", "forbid", "station", "reason"),
    [
        (None, [], True, "left out: the item record gives no IFU pressure"),
        (100, [Check.AIR], True, "left out: the IFU forbids it"),
        (100, [], False, "left out: this bench has no air station"),
    ],
)
def test_air_needs_a_pressure_the_ifu_and_a_station(
    air: int | None, forbid: list[Check], station: bool, reason: str, policy: Policy
) -> None:
    plan, lumen = planned(tube("0.7", air=air, forbid=forbid), policy, default_kit(air_station=station))
    assert asked(plan) == ["dry"]
    assert why(plan)["air"] == reason
    assert lumen.hold == "cannot_reach"


def test_a_swab_says_its_head_and_how_far_it_reaches(policy: Policy, kit: Kit) -> None:
    def swab(length: str, opening: Opening = Opening.BOTH) -> tuple[str, str | None, str]:
        plan, _ = planned(tube("2.6", length, open=opening), policy, kit)
        check = next(check for check in plan.checks if check.check is Check.SWAB)
        return check.use, check.ends, check.because

    start = "middle (2.6 mm): swab, smallest head not thinner than the bore"
    assert swab("350") == ("3.0 mm", "one end", start)
    assert swab("680") == (
        "3.0 mm both ends", "both ends", f"{start}; 350 mm from each end covers 680 mm with 20 mm overlap",
    )  # fmt: skip
    assert swab("700") == ("3.0 mm part", "part", f"{start}; 350 mm from each end is 20 mm short of 700 mm")
    assert swab("400", Opening.ONE)[2] == f"{start}; 350 mm is 50 mm short of 400 mm"


def test_no_head_that_fits_leaves_the_swab_out_and_names_the_nearest(policy: Policy, kit: Kit) -> None:
    plan, _ = planned(tube("14", "100"), policy, kit)
    assert asked(plan) == ["dry", "light"]
    limits = "limits 14.0 to 21.0 mm"
    assert why(plan)["swab"] == f"left out: no swab head at this bench fits (nearest is 13.0 mm, {limits})"


def test_a_bench_without_swabs_or_scopes_says_so(policy: Policy) -> None:
    plan, _ = planned(tube("3.0", "100"), policy, Kit())
    assert plan.hold == "cannot_reach"
    assert why(plan)["swab"] == "left out: this bench has no swabs"
    assert why(plan)["scope"] == "left out: this bench has no scope (limit 2.7 mm)"


def test_no_scope_that_fits_brings_air_and_names_the_thinnest(policy: Policy, kit: Kit) -> None:
    plan, _ = planned(tube("1.2", "150", Feature.CURVED, air=100), policy, kit)
    assert asked(plan) == ["dry", "swab", "air"]
    assert why(plan)["scope"] == (
        "left out: no scope at this bench fits (thinnest that bends is 1.9 mm, limit 1.08 mm)"
    )
    assert why(plan)["air"] == "no scope here, so by policy: air, at most 100 kPa by the IFU"


def test_a_scope_out_of_use_is_named_where_it_is_missed(policy: Policy, kit: Kit) -> None:
    plan, _ = planned(tube("2.6", "160", Feature.CURVED), policy, kit, out_of_use=frozenset({"SC-1"}))
    assert asked(plan) == ["dry", "swab"]
    assert why(plan)["scope"] == (
        "left out: this bench has no scope that bends in use (limit 2.34 mm); out of use: SC-1"
    )


def test_mark_not_seen_first_means_no_air(kit: Kit) -> None:
    marking = default_policy(scope_not_fit=["mark_not_seen", "air"])
    assert asked(planned(tube("1.2", "150", Feature.CURVED, air=100), marking, kit)[0]) == ["dry", "swab"]


def test_a_scope_the_ifu_forbids_brings_air_unless_light_is_there(policy: Policy, kit: Kit) -> None:
    middle, _ = planned(tube("3.0", "100", air=100, forbid=[Check.SCOPE]), policy, kit)
    assert asked(middle) == ["dry", "swab", "air"]
    wide, lumen = planned(tube("6.0", "100", air=100, forbid=[Check.SCOPE]), policy, kit)
    assert asked(wide) == ["dry", "light", "swab"]
    assert not lumen.not_seen


def test_nothing_is_unseen_with_light_all_without_scope_part_with_a_short_one(policy: Policy, kit: Kit) -> None:
    def unseen(inside: str, length: str) -> tuple[bool, bool, Decimal | None]:
        lumen = planned(tube(inside, length, air=100), policy, kit)[1]
        return lumen.not_seen, lumen.not_seen_all, lumen.not_seen_mm

    assert unseen("6.0", "900") == (False, False, None)
    assert unseen("0.7", "100") == (True, True, Decimal(100))
    assert unseen("3.0", "830") == (True, False, Decimal(50))
    assert unseen("3.0", "780") == (False, False, None)


def test_swab_and_scope_both_short_is_a_hold(policy: Policy, kit: Kit) -> None:
    assert planned(tube("3.0", "830"), policy, kit)[0].hold == "cannot_reach"
    assert planned(tube("3.0", "780"), policy, kit)[0].hold is None  # the scope sees it all


def test_a_department_may_hold_every_lumen_not_wholly_seen(kit: Kit) -> None:
    strict = default_policy(part_not_seen="hold")
    assert planned(tube("0.7", air=100), strict, kit)[0].hold == "part_not_seen"
    assert planned(tube("0.7"), strict, kit)[0].hold == "cannot_reach"
    assert planned(tube("6.0", "100"), strict, kit)[0].hold is None


def test_dry_comes_again_after_water(kit: Kit) -> None:
    wet = default_policy(clean_methods=[*METHODS, "water"], by_size={"wide": ["water", "light", "swab"]})
    plan, _ = planned(tube("6.0", "100"), wet, kit)
    assert asked(plan) == ["dry", "light", "swab", "water", "dry"]


def test_a_piece_is_taken_apart_looked_at_walked_and_tested_last(policy: Policy, kit: Kit) -> None:
    both = item(
        tube("6.0", "100"),
        tube("0.7", "20", air=50, name="tap"),
        takes_apart=True,
        insulated=True,
        function=("jaws meet", "ratchet holds"),
    )
    plan = plan_piece(both, policy, kit, piece="A1")
    assert plan.keys == (
        "apart", "look", "bore.dry", "bore.light", "bore.swab", "tap.dry", "tap.air", "insulation", "function",
    )  # fmt: skip
    assert plan.checks[-1].because == "function: jaws meet, ratchet holds"


def test_the_strictest_hold_of_its_lumens_is_the_hold_of_the_piece(policy: Policy, kit: Kit) -> None:
    both = item(tube("0.7"), tube(None, name="tap"))
    assert plan_piece(both, policy, kit, piece="A1").hold == "unknown_lumen"


def test_each_piece_of_an_item_gets_its_own_plan(policy: Policy, kit: Kit) -> None:
    plans = plan_tray([item(tube(), qty=2, code="A3"), item(tube(), code="A4")], policy, kit)
    assert [(plan.piece, plan.item) for plan in plans] == [("A3#1", "A3"), ("A3#2", "A3"), ("A4", "A4")]
    assert pieces(Item(id="B1", name="x", type="y", lumens=(), qty=1)) == ("B1",)


def test_every_check_there_and_every_check_left_out_has_its_reason(policy: Policy, kit: Kit) -> None:
    wants = {
        Feature.TOOTHED: {"teeth", "scope"}, Feature.FENESTRATED: {"holes", "scope"}, Feature.ROUGH: {"scope"},
        Feature.BLIND: {"swab", "scope"}, Feature.FILLED: {"air"}, Feature.CURVED: set(),
    }  # fmt: skip
    for inside in ("0.7", "1.2", "3.0", "6.0", "14"):
        for feature, by_feature in wants.items():
            plan, lumen = planned(tube(inside, "900", feature), policy, kit)
            assert all(check.because for check in plan.checks)
            by_size = {str(check) for check in policy.by_size[lumen.size]}
            assert (by_size | by_feature) - set(asked(plan)) <= dict(lumen.left_out).keys()


def test_without_a_pressure_in_the_record_air_is_planned_only_under_a_house_figure(kit: Kit) -> None:
    tiny = tube("0.7", "100")
    assert "air" not in asked(planned(tiny, default_policy(), kit)[0])
    plan = planned(tiny, default_policy(air_limit=100), kit)[0]
    assert asked(plan) == ["dry", "air"]
    assert "100 kPa by this department" in why(plan)["air"]


@pytest.mark.parametrize(("rule", "on"), [("banned", False), ("one_per_item", True), ("one_per_tray", True)])
def test_a_brush_is_on_the_plan_only_where_the_rule_for_brushes_lets_it(rule: str, on: bool, kit: Kit) -> None:
    sizes = {**resource("policy.yaml")["by_size"], "middle": ["swab", "scope", "brush"]}
    policy = default_policy(brush_rule=rule, by_size=sizes, clean_methods=[*METHODS, "brush"])
    assert ("brush" in asked(planned(tube("3.0", "100"), policy, kit)[0])) is on
