"""What must hold of every plan, whatever the lumen, the kit and the department."""

from dataclasses import replace
from decimal import Decimal
from typing import Any

from hypothesis import given
from hypothesis import strategies as st

from kiosk.core.catalogue import Kit, Lumen, Scope, Swabs
from kiosk.core.plan import PiecePlan
from kiosk.core.policy import Policy
from kiosk.core.vocabulary import Check
from kiosk.lumen.planner import plan_tray
from tests.lumen import chance
from tests.lumen.bench import item, planned

SCALES = st.sampled_from([Decimal("0.5"), Decimal("0.8"), Decimal("1.25"), Decimal(2), Decimal(3)])


def _seen(plan: PiecePlan) -> Decimal:
    assert plan.seen_share is not None
    return plan.seen_share


def _touched(plan: PiecePlan) -> Decimal:
    assert plan.touched_share is not None
    return plan.touched_share


def _missed(plan: PiecePlan) -> Decimal:
    lumen = plan.lumens[0]
    return lumen.not_seen_mm or Decimal(0)


@given(chance.lumens(), chance.policies(), chance.kits(), chance.scopes("NEW"), st.integers(0, 3))
def test_one_more_scope_never_lowers_what_is_seen(
    lumen: Lumen, policy: Policy, kit: Kit, more: Scope, place: int
) -> None:
    richer = replace(kit, scopes=(*kit.scopes[:place], more, *kit.scopes[place:]))
    before, after = planned(lumen, policy, kit)[0], planned(lumen, policy, richer)[0]
    assert _seen(after) >= _seen(before)
    assert _missed(after) <= _missed(before)
    assert _touched(after) == _touched(before)


@given(chance.lumens(), chance.policies(), chance.kits(), chance.bores(14))
def test_more_swabs_or_an_air_station_never_lower_what_is_seen_or_touched(
    lumen: Lumen, policy: Policy, kit: Kit, head: Decimal
) -> None:
    had = kit.swabs or Swabs(heads_mm=(), reach_mm=Decimal(350), max_over=Decimal("1.5"))
    swabs = replace(had, heads_mm=(*had.heads_mm, head))
    before = planned(lumen, policy, kit)[0]
    for richer in (replace(kit, swabs=swabs), replace(kit, air_station=True), replace(kit, gauge_pins=True)):
        after = planned(lumen, policy, richer)[0]
        assert _seen(after) >= _seen(before)
        assert _touched(after) >= _touched(before)


@given(chance.lumens(), chance.policies(), chance.kits(), st.sampled_from(Check))
def test_forbidding_a_method_never_adds_sight_or_touch(
    lumen: Lumen, policy: Policy, kit: Kit, forbidden: Check
) -> None:
    before = planned(lumen, policy, kit)[0]
    after = planned(replace(lumen, forbid=lumen.forbid | {forbidden}), policy, kit)[0]
    assert _seen(after) <= _seen(before)
    assert _touched(after) <= _touched(before)
    assert _missed(after) >= _missed(before)


@given(chance.lumens(), chance.policies(), chance.kits(), st.integers(1, 500), st.integers(0, 2))
def test_a_longer_tool_never_reaches_less(lumen: Lumen, policy: Policy, kit: Kit, more: int, which: int) -> None:
    longer = kit
    if kit.swabs:
        longer = replace(longer, swabs=replace(kit.swabs, reach_mm=kit.swabs.reach_mm + more))
    longer = replace(
        longer,
        scopes=tuple(
            replace(scope, reach_mm=scope.reach_mm + more) if n == which else scope
            for n, scope in enumerate(kit.scopes)
        ),
    )
    before, after = planned(lumen, policy, kit)[0], planned(lumen, policy, longer)[0]
    assert _seen(after) >= _seen(before)
    assert _touched(after) >= _touched(before)
    assert _missed(after) <= _missed(before)


@st.composite
def _same_bench_at_two_scales(draw: st.DrawFn, *, edges_too: bool) -> tuple[PiecePlan, PiecePlan, Decimal]:
    scale = draw(SCALES)
    lumen, kit, policy = draw(chance.lumens()), draw(chance.kits()), draw(chance.policies())
    assert lumen.inside_mm is not None
    assert lumen.length_mm is not None
    edges = {name: edge * scale for name, edge in policy.size_edges_mm.items()} if edges_too else policy.size_edges_mm
    big = Kit(
        scopes=tuple(replace(s, od_mm=s.od_mm * scale, reach_mm=s.reach_mm * scale) for s in kit.scopes),
        swabs=kit.swabs
        and replace(
            kit.swabs,
            heads_mm=tuple(head * scale for head in kit.swabs.heads_mm),
            reach_mm=kit.swabs.reach_mm * scale,
        ),
        air_station=kit.air_station,
    )
    grown = replace(lumen, inside_mm=lumen.inside_mm * scale, length_mm=lumen.length_mm * scale)
    scaled = replace(policy, overlap_mm=policy.overlap_mm * scale, size_edges_mm=edges)
    return planned(lumen, policy, kit)[0], planned(grown, scaled, big)[0], scale


def _tools(plan: PiecePlan) -> dict[str, Any]:
    scopes = {c.key: c.use for c in plan.checks if c.check is Check.SCOPE}
    return scopes | {c.key: c.ends for c in plan.checks if c.check is Check.SWAB}


@given(_same_bench_at_two_scales(edges_too=True))
def test_scaling_sizes_tools_overlap_and_size_edges_together_changes_nothing(
    plans: tuple[PiecePlan, PiecePlan, Decimal],
) -> None:
    before, after, scale = plans
    assert after.keys == before.keys
    assert _tools(after) == _tools(before)
    assert after.hold == before.hold
    assert _missed(after) == _missed(before) * scale
    assert round(_seen(after), 20) == round(_seen(before), 20)
    assert round(_touched(after), 20) == round(_touched(before), 20)


@given(_same_bench_at_two_scales(edges_too=False))
def test_scaling_sizes_and_tools_alone_changes_only_what_the_size_class_asks(
    plans: tuple[PiecePlan, PiecePlan, Decimal],
) -> None:
    before, after, scale = plans
    there, here = _tools(before), _tools(after)
    assert all(there[key] == here[key] for key in there.keys() & here.keys())
    if before.lumens[0].size is after.lumens[0].size:
        assert after.keys == before.keys
        assert _missed(after) == _missed(before) * scale


@given(st.lists(chance.lumens(), min_size=2, max_size=4), chance.policies(), chance.kits(), st.randoms())
def test_the_plan_of_a_piece_never_depends_on_the_order_of_the_pieces(
    lumens: list[Lumen], policy: Policy, kit: Kit, chances: Any
) -> None:
    items = [item(lumen, code=f"A{n}", qty=1 + n % 2) for n, lumen in enumerate(lumens)]
    shuffled = list(items)
    chances.shuffle(shuffled)
    before = {plan.piece: plan for plan in plan_tray(items, policy, kit)}
    assert {plan.piece: plan for plan in plan_tray(shuffled, policy, kit)} == before


@given(chance.lumens(), chance.policies(), chance.kits())
def test_shares_lie_between_nothing_and_all(lumen: Lumen, policy: Policy, kit: Kit) -> None:
    plan, its = planned(lumen, policy, kit)
    assert 0 <= _seen(plan) <= 1
    assert 0 <= _touched(plan) <= 1
    assert its.not_seen or policy.verify_where == "dirty" or _seen(plan) == 1
