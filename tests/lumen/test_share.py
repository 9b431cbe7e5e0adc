"""Shares of the inner wall seen and touched, weighed by area; what was done counts only answered checks."""

from decimal import Decimal

from kiosk.core.catalogue import Kit
from kiosk.core.plan import PiecePlan
from kiosk.core.policy import Policy
from kiosk.core.vocabulary import Feature
from kiosk.lumen.planner import plan_piece, plan_tray
from kiosk.lumen.share import lumen_share, planned_share, tray_share
from tests.lumen.bench import default_kit, item, planned, tube


def _thirds(value: Decimal | None) -> float:
    assert value is not None
    return round(float(value), 12)


def test_a_piece_is_the_mean_of_its_lumens_by_wall_area(policy: Policy, kit: Kit) -> None:
    """6 x 100 against 1 x 300: areas two to one; light and swab see and touch the first, only air the second."""
    both = item(tube("6.0", "100"), tube("0.9", "1000", air=50, name="tap"))
    plan = plan_piece(both, policy, kit, piece="A1")
    assert _thirds(plan.seen_share) == _thirds(plan.touched_share) == 0.4


def test_a_scope_that_reaches_part_counts_the_stretch_it_reaches(policy: Policy, kit: Kit) -> None:
    plan, lumen = planned(tube("3.0", "1000"), policy, kit)
    assert lumen.not_seen_mm == 220
    assert _thirds(plan.seen_share) == 0.78
    assert _thirds(plan.touched_share) == 0.68
    assert lumen_share(lumen).seen == plan.seen_share


def test_a_lumen_of_unknown_size_is_named_and_not_counted(policy: Policy, kit: Kit) -> None:
    plans = plan_tray([item(tube("6.0", "100"), tube(None, name="tap"), qty=2, code="A3")], policy, kit)
    share = planned_share(plans)
    assert share.seen == 1
    assert share.unknown == ("A3#1 tap", "A3#2 tap")
    nothing = planned_share(plan_tray([item(tube(None))], policy, kit))
    assert (nothing.seen, nothing.touched, nothing.unknown) == (None, None, ("A1 bore",))


def test_a_tray_is_the_mean_of_its_pieces_by_wall_area(policy: Policy, kit: Kit) -> None:
    wide, tiny = item(tube("6.0", "100"), code="A1"), item(tube("0.9", "1000", air=50), code="A2")
    assert _thirds(planned_share(plan_tray([wide, tiny], policy, kit)).seen) == 0.4


def _two(policy: Policy, kit: Kit) -> tuple[PiecePlan, ...]:
    return plan_tray([item(tube("3.0", "100"), qty=2, code="A3")], policy, kit)


def test_what_was_seen_counts_only_answered_checks(policy: Policy, kit: Kit) -> None:
    plans = _two(policy, kit)
    assert tray_share(plans, {}).seen == 0
    half = tray_share(plans, {"A3#1": {"look", "bore.dry", "bore.swab", "bore.scope"}})
    assert (half.seen, half.touched) == (Decimal("0.5"), Decimal("0.5"))
    swabbed = tray_share(plans, {"A3#1": {"bore.swab"}, "A3#2": {"bore.swab"}})
    assert swabbed.seen == 0
    assert swabbed.touched == 1


def test_when_all_is_answered_what_was_seen_is_what_was_planned(policy: Policy, kit: Kit) -> None:
    items = [
        item(tube("3.0", "1000"), tube("6.0", "100", Feature.FENESTRATED, name="sleeve"), code="A1"),
        item(tube("0.7", air=50), code="A2"),
    ]
    for kit_ in (kit, Kit(), default_kit(scopes=[{"id": "S", "od_mm": 1, "reach_mm": 30}])):
        plans = plan_tray(items, policy, kit_)
        done = tray_share(plans, {plan.piece: set(plan.keys) for plan in plans})
        assert done == planned_share(plans)


def test_light_alone_and_scope_alone_are_each_sight(policy: Policy, kit: Kit) -> None:
    plans = plan_tray([item(tube("6.0", "100", Feature.SIDE_HOLE))], policy, kit)
    assert tray_share(plans, {"A1": {"bore.light"}}).seen == 1
    assert tray_share(plans, {"A1": {"bore.scope"}}).seen == 1
    assert tray_share(plans, {"A1": {"bore.holes"}}).seen == 0


def test_a_scope_that_reaches_part_without_the_light_answered_is_not_counted_too_high(policy: Policy, kit: Kit) -> None:
    plans = plan_tray([item(tube("6.0", "900", Feature.SIDE_HOLE))], policy, kit)
    assert "SC-1 part" in {check.use for check in plans[0].checks}
    assert tray_share(plans, {"A1": {"bore.scope"}}).seen == 0
    assert tray_share(plans, {"A1": {"bore.scope", "bore.light"}}).seen == 1
