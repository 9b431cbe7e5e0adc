"""The plan of checks of a lumen, a piece, a tray: what is asked, with which tool, from which end, and why."""

from collections.abc import Iterable, Set

from kiosk.core.catalogue import Item, Kit, Lumen, Mm
from kiosk.core.limits import air_kpa
from kiosk.core.plan import Ends, LumenPlan, PiecePlan, PlannedCheck
from kiosk.core.policy import Policy
from kiosk.core.vocabulary import Check, Size
from kiosk.lumen import geometry, needs, share
from kiosk.lumen.tools import Tool, pick_scope, pick_swab

ORDER = (
    Check.LIGHT, Check.HOLES, Check.TEETH, Check.SWAB, Check.SCOPE,
    Check.AIR, Check.WATER, Check.BRUSH, Check.SOIL_TEST,
)  # fmt: skip
"""After dry. Brush and soil test have no place in the plan's order; a department that allows them gets them last."""

PROOF = frozenset({Check.LIGHT, Check.SWAB, Check.SCOPE, Check.AIR, Check.WATER})
"""Without one of these nothing says that the lumen is clear."""

HOLDS = ("unknown_lumen", "cannot_reach", "part_not_seen")
"""Which hold speaks for a piece with several, first one first (our choice, no source)."""

_USE: dict[Ends, str] = {"one end": "", "both ends": " both ends", "part": " part"}
_CLAIM = {
    Check.LIGHT: "light, straight from end to end",
    Check.HOLES: "each hole clear",
    Check.TEETH: "roots of the teeth clear",
    Check.WATER: "water runs clear",
    Check.BRUSH: "brush comes out bare, every bristle there",
    Check.SOIL_TEST: "soil test within its limit",
}


def plan_tray(
    items: Iterable[Item], policy: Policy, kit: Kit, out_of_use: Set[str] = frozenset()
) -> tuple[PiecePlan, ...]:
    """The plans of all pieces, items in the order given; two pieces of `A3` are `A3#1` and `A3#2`."""
    return tuple(
        plan_piece(item, policy, kit, piece=piece, out_of_use=out_of_use) for item in items for piece in pieces(item)
    )


def pieces(item: Item) -> tuple[str, ...]:
    """The names of an item's pieces: its id alone, or numbered when there are more."""
    return (item.id,) if item.qty == 1 else tuple(f"{item.id}#{n}" for n in range(1, item.qty + 1))


def plan_piece(item: Item, policy: Policy, kit: Kit, *, piece: str, out_of_use: Set[str] = frozenset()) -> PiecePlan:
    """The plan of one piece. `out_of_use` names scopes that may not be used now."""
    checks, lumens = [], []
    if item.takes_apart:
        checks.append(PlannedCheck(check=Check.APART, because="takes apart: every part is checked by itself"))
    checks.append(PlannedCheck(check=Check.LOOK, because="every piece: outside first, under the magnifier"))
    for lumen in item.lumens:
        its_checks, its_plan = _plan_lumen(lumen, policy, kit, out_of_use)
        checks += its_checks
        lumens.append(its_plan)
    if item.insulated:
        checks.append(PlannedCheck(check=Check.INSULATION, because="insulated: coat tested, dry, after the looks"))
    if item.lubricate and not item.type.startswith("eye_"):
        checks.append(PlannedCheck(check=Check.LUBRICATE, because="by its IFU: after the looks, before it is tested"))
    if item.power and item.function:
        checks.append(PlannedCheck(check=Check.READY, because="power tool: battery and blade before it runs"))
    if item.function:
        checks.append(PlannedCheck(check=Check.FUNCTION, because=f"function: {', '.join(item.function)}"))
    can = share.piece_share(lumens)
    held = {lumen.hold for lumen in lumens}
    return PiecePlan(
        piece=piece,
        item=item.id,
        name=item.name,
        checks=tuple(checks),
        lumens=tuple(lumens),
        seen_share=can.seen,
        touched_share=can.touched,
        hold=next((hold for hold in HOLDS if hold in held), None),
    )


def _plan_lumen(lumen: Lumen, policy: Policy, kit: Kit, out_of_use: Set[str]) -> tuple[list[PlannedCheck], LumenPlan]:
    size = needs.size_class(lumen, policy)
    if size is Size.UNKNOWN and policy.unknown_lumen == "hold":
        return [], _held_unknown(lumen)
    need = needs.needs_of(lumen, size, policy, kit)
    swab = pick_swab(need, lumen, size, policy, kit)
    scope = pick_scope(need, lumen, size, policy, kit, out_of_use)
    tools = {Check.SWAB: swab, Check.SCOPE: scope}
    checks = [] if Check.DRY in lumen.forbid else [_dry(lumen, "every lumen: dry comes first")]
    kpa = air_kpa(lumen, policy)
    checks += [_planned(lumen, check, why, tools.get(check), kpa) for check in ORDER if (why := need.asked.get(check))]
    if Check.WATER in need.asked and Check.DRY not in lumen.forbid:
        checks.append(_dry(lumen, "dry again after water"))
    return checks, _lumen_plan(lumen, size, policy, need, swab, scope)


def _held_unknown(lumen: Lumen) -> LumenPlan:
    """No checks: what every lumen and what its shape would ask for waits for the size."""
    need = needs.Needs()
    need.ask("every lumen", Check.DRY)
    needs.by_shape(need, lumen)
    missing = [word for word, value in (("inside size", lumen.inside_mm), ("length", lumen.length_mm)) if value is None]
    why = f"{' and '.join(missing)} not known" if missing else "the size is typical only, not confirmed"
    need.drop(f"on hold, {why}", *list(need.asked))
    return LumenPlan(lumen=lumen.name, size=Size.UNKNOWN, hold="unknown_lumen", left_out=_words(need), not_seen=False)


def _dry(lumen: Lumen, because: str) -> PlannedCheck:
    return PlannedCheck(check=Check.DRY, lumen=lumen.name, because=because)


def _air_claim(lumen: Lumen, kpa: int | None) -> str:
    return f"air, at most {kpa} kPa {'by the IFU' if kpa == lumen.air_kpa else 'by this department'}"


def _planned(lumen: Lumen, check: Check, why: str, tool: Tool | None, kpa: int | None) -> PlannedCheck:
    if tool is None:
        claim = _air_claim(lumen, kpa) if check is Check.AIR else _CLAIM[check]
        return PlannedCheck(check=check, lumen=lumen.name, because=f"{why}: {claim}")
    return PlannedCheck(
        check=check,
        lumen=lumen.name,
        use=tool.name + _USE[tool.reach.ends],
        tool=tool.name,
        ends=tool.reach.ends,
        because=f"{why}: {tool.because}",
    )


def _lumen_plan(
    lumen: Lumen, size: Size, policy: Policy, need: needs.Needs, swab: Tool | None, scope: Tool | None
) -> LumenPlan:
    length, dirty = lumen.length_mm, needs.on_dirty_side(policy)
    light = Check.LIGHT in need.asked
    part = scope.reach.missed_mm(length) if scope and length is not None and scope.reach.ends == "part" else None
    everything = not (dirty or light or scope)
    not_seen = everything or (part is not None and not (dirty or light))
    short = swab is not None and swab.reach.ends == "part"
    hold = why_held(policy, proof=bool(PROOF & need.asked.keys()), not_seen=not_seen, swab_short=short)
    wall = None
    if size is not Size.UNKNOWN and lumen.inside_mm is not None and length is not None:
        wall = geometry.wall_mm2(lumen.inside_mm, length)
    return LumenPlan(
        lumen=lumen.name,
        size=size,
        not_seen=not_seen,
        not_seen_all=everything,
        not_seen_mm=(length if everything else part) if not_seen else None,
        hold=hold,
        left_out=_words(need),
        wall_mm2=wall,
        seen_mm2=None if wall is None else wall if light else _covered_mm2(lumen, scope),
        touched_mm2=None if wall is None else _covered_mm2(lumen, swab),
    )


def why_held(policy: Policy, *, proof: bool, not_seen: bool, swab_short: bool) -> str | None:
    """Why a lumen of known size holds its piece. `swab_short`: its swab does not get through all of it."""
    if needs.on_dirty_side(policy):
        return None
    if not proof:
        return "cannot_reach"
    if not_seen and policy.part_not_seen == "hold":
        return "part_not_seen"
    return "cannot_reach" if not_seen and swab_short else None


def _covered_mm2(lumen: Lumen, tool: Tool | None) -> Mm:
    """Wall area in mm2 that a tool gets to."""
    if tool is None or lumen.inside_mm is None or lumen.length_mm is None:
        return share.NOTHING
    return geometry.wall_mm2(lumen.inside_mm, lumen.length_mm - tool.reach.missed_mm(lumen.length_mm))


def _words(need: needs.Needs) -> tuple[tuple[str, str], ...]:
    return tuple((str(check), need.left_out[check]) for check in Check if check in need.left_out)
