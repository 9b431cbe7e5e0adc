"""Which checks a lumen asks for by size and shape, and which of them policy, IFU and bench let stand, and why."""

from dataclasses import dataclass, field

from kiosk.core.catalogue import Kit, Lumen, Mm
from kiosk.core.limits import air_kpa
from kiosk.core.policy import Policy
from kiosk.core.vocabulary import Check, Feature, Learnt, Size
from kiosk.lumen.fit import is_blind
from kiosk.lumen.geometry import at_least_one_decimal

HOLES = frozenset({Feature.FENESTRATED, Feature.SIDE_HOLE})
_FOR_DIRTY_SIDE = (Check.SWAB, Check.SCOPE, Check.AIR, Check.WATER, Check.BRUSH)


@dataclass(slots=True)
class Needs:
    """The checks asked for, each with its first reason, and those asked for and left out again, with the last one."""

    asked: dict[Check, str] = field(default_factory=dict)
    left_out: dict[Check, str] = field(default_factory=dict)

    def ask(self, why: str, *checks: Check) -> None:
        """Ask for checks; one that is there already keeps its reason."""
        for check in checks:
            self.asked.setdefault(check, why)
            self.left_out.pop(check, None)

    def drop(self, why: str, *checks: Check) -> None:
        """Leave out those of the checks that were asked for."""
        for check in checks:
            if self.asked.pop(check, None) is not None:
                self.left_out[check] = f"left out: {why}"


def size_known(lumen: Lumen) -> bool:
    """Inside and length on record, and not merely typical of such items: that is not known until confirmed once."""
    return lumen.inside_mm is not None and lumen.length_mm is not None and lumen.learnt is not Learnt.TYPICAL


def size_class(lumen: Lumen, policy: Policy) -> Size:
    """Size class by the narrowest clear inside; unknown when the size is not known."""
    if not size_known(lumen) or lumen.inside_mm is None:
        return Size.UNKNOWN
    edges: list[tuple[Size, Mm]] = [
        (size, policy.size_edges_mm[f"{size}_below"]) for size in (Size.TINY, Size.NARROW, Size.MIDDLE)
    ]
    return next((size for size, below in edges if lumen.inside_mm < below), Size.WIDE)


def on_dirty_side(policy: Policy) -> bool:
    """Does the department verify lumens on the dirty side only?"""
    return policy.verify_where == "dirty"


def why_no_air(lumen: Lumen, policy: Policy, kit: Kit) -> str | None:
    """Why air is not possible here, in words; None: it is."""
    if Check.AIR in lumen.forbid:
        return "the IFU forbids it"
    if Check.AIR not in policy.clean_methods:
        return "not a method of this department"
    if is_blind(lumen):
        return "open at one end, air would blow back"
    if lumen.features & HOLES:
        return "side holes, air leaves by the first one"
    if air_kpa(lumen, policy) is None:
        return "the item record gives no IFU pressure"
    return None if kit.air_station else "this bench has no air station"


def by_shape(needs: Needs, lumen: Lumen) -> None:
    """What the features of the lumen add and take away."""
    if Feature.CURVED in lumen.features and Check.LIGHT in needs.asked:
        needs.drop("curved, light does not run straight through", Check.LIGHT)
        needs.ask("curved, so no light", Check.SCOPE)
    if is_blind(lumen):
        needs.drop("open at one end, light does not pass", Check.LIGHT)
        needs.drop("open at one end, it would blow back", Check.AIR, Check.WATER)
        needs.ask("open at one end", Check.SWAB, Check.SCOPE)
    if lumen.features & HOLES:
        needs.drop("side holes, it leaves by the first one", Check.AIR, Check.WATER)
        needs.ask("side holes", Check.HOLES, Check.SCOPE)
    if Feature.TOOTHED in lumen.features:
        needs.ask("toothed", Check.TEETH, Check.SCOPE)
    if Feature.ROUGH in lumen.features:
        needs.ask("rough wall", Check.SCOPE)
    if Feature.FILLED in lumen.features:
        needs.drop("filled, a rod or cable is in the way", Check.LIGHT, Check.SWAB, Check.SCOPE)
        needs.ask("filled, so no light, swab or scope", Check.AIR)


def needs_of(lumen: Lumen, size: Size, policy: Policy, kit: Kit) -> Needs:
    """Rules 1 to 10 of the plan: size, features, dirty side, methods of the department, IFU, air."""
    needs = Needs()
    if size is Size.UNKNOWN:
        needs.ask("size not known, treated as tiny", Check.AIR)
    elif lumen.inside_mm is not None:
        needs.ask(f"{size} ({at_least_one_decimal(lumen.inside_mm)} mm)", *policy.by_size.get(size, ()))
    by_shape(needs, lumen)
    needs.drop("the IFU forbids it", *lumen.forbid)
    if on_dirty_side(policy):
        needs.drop("checked on the dirty side by policy", *_FOR_DIRTY_SIDE)
    needs.drop("not a method of this department", *(set(Check) - policy.clean_methods))
    if policy.brush_rule == "banned":
        needs.drop("brushes are banned on this side", Check.BRUSH)
    if no_air := why_no_air(lumen, policy, kit):
        needs.drop(no_air, Check.AIR)
    return needs
