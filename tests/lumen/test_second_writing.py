"""The plan of one lumen written a second time, straight down the page of rules, without a word of reason."""

from decimal import Decimal
from typing import Any

from hypothesis import given, settings

from kiosk.core.catalogue import Kit, Lumen
from kiosk.core.policy import Policy
from kiosk.core.vocabulary import Check, Feature, Opening
from tests.lumen import chance
from tests.lumen.bench import planned

RANK = ["one end", "both ends", "part"]


def _reach(reach: Decimal, lumen: Lumen, overlap: Decimal) -> tuple[str, Decimal]:
    assert lumen.length_mm is not None
    if reach >= lumen.length_mm:
        return "one end", Decimal(0)
    if lumen.open is Opening.ONE:
        return "part", lumen.length_mm - reach
    short = lumen.length_mm + overlap - 2 * reach
    return ("both ends", Decimal(0)) if short <= 0 else ("part", short)


def _by_the_page(lumen: Lumen, policy: Policy, kit: Kit) -> dict[str, Any]:
    bore, length, shape = lumen.inside_mm, lumen.length_mm, lumen.features
    assert bore is not None
    assert length is not None
    edges, size = policy.size_edges_mm, "wide"
    for name in ("middle", "narrow", "tiny"):
        if bore < edges[f"{name}_below"]:
            size = name
    need = {str(check) for check in next(checks for key, checks in policy.by_size.items() if key == size)}
    if Feature.CURVED in shape and "light" in need:
        need = need - {"light"} | {"scope"}
    if lumen.open is Opening.ONE:
        need = need - {"light", "air", "water"} | {"swab", "scope"}
    if shape & {Feature.FENESTRATED, Feature.SIDE_HOLE}:
        need = need - {"air", "water"} | {"holes", "scope"}
    if Feature.TOOTHED in shape:
        need |= {"teeth", "scope"}
    if Feature.ROUGH in shape:
        need |= {"scope"}
    if Feature.FILLED in shape:
        need = need - {"light", "swab", "scope"} | {"air"}
    dirty = policy.verify_where == "dirty"
    if dirty:
        need -= {"swab", "scope", "air", "water", "brush"}
    need = {check for check in need if Check(check) in policy.clean_methods and Check(check) not in lumen.forbid}
    air = (
        Check.AIR in policy.clean_methods
        and Check.AIR not in lumen.forbid
        and lumen.open is Opening.BOTH
        and not shape & {Feature.FENESTRATED, Feature.SIDE_HOLE}
        and lumen.air_kpa is not None
        and kit.air_station
    )
    if not air:
        need -= {"air"}
    use: dict[str, str] = {}
    swab_part = False
    if "swab" in need:
        swabs = kit.swabs
        heads = [] if swabs is None else [h for h in swabs.heads_mm if bore <= h <= swabs.max_over * bore]
        if heads and swabs is not None:
            ends, _ = _reach(swabs.reach_mm, lumen, policy.overlap_mm)
            swab_part = ends == "part"
            use["swab"] = f"{min(heads)} mm" + ("" if ends == "one end" else f" {ends}")
        else:
            need -= {"swab"}
    short = None
    forbidden = Check.SCOPE in lumen.forbid and "light" not in need and Feature.FILLED not in shape and not dirty
    if "scope" in need or forbidden:
        fits = []
        for place, scope in enumerate(kit.scopes):
            if scope.od_mm <= policy.scope_fit_ratio * bore and (scope.bends or Feature.CURVED not in shape):
                ends, missed = _reach(scope.reach_mm, lumen, policy.overlap_mm)
                fits.append((RANK.index(ends), missed, place, scope.id))
        if fits and not forbidden:
            rank, short, _, name = min(fits)
            use["scope"] = name if rank == 0 else f"{name} {RANK[rank]}"
        else:
            need -= {"scope"}
            if policy.scope_not_fit[0] == "air" and air:
                need |= {"air"}
            elif policy.scope_not_fit[0] == "mark_not_seen":
                pass
    not_seen: Decimal | None = None
    if not dirty and "light" not in need:
        not_seen = length if "scope" not in need else min(short or Decimal(0), length) or None
    hold = None
    if not dirty:
        if not need & {"light", "swab", "scope", "air", "water"}:
            hold = "cannot_reach"
        elif not_seen and policy.part_not_seen == "hold":
            hold = "part_not_seen"
        elif not_seen and swab_part:
            hold = "cannot_reach"
    order = ["dry", *(c for c in ("light", "holes", "teeth", "swab", "scope", "air", "water") if c in need)]
    return {"plan": order + ["dry"] * ("water" in need), "use": use, "not_seen": not_seen, "hold": hold}


@settings(max_examples=300)
@given(chance.lumens(), chance.policies(), chance.kits())
def test_two_writings_of_the_rules_make_the_same_plan(lumen: Lumen, policy: Policy, kit: Kit) -> None:
    plan, its = planned(lumen, policy, kit)
    got = {
        "plan": [str(check.check) for check in plan.checks if check.lumen],
        "use": {str(check.check): check.use for check in plan.checks if check.use},
        "not_seen": its.not_seen_mm,
        "hold": its.hold,
    }
    assert got == _by_the_page(lumen, policy, kit)
