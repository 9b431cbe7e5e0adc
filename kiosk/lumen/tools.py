"""The swab head and the scope picked for a lumen, or why there is none and what the department does then."""

from collections.abc import Set
from dataclasses import dataclass

from kiosk.core.catalogue import Kit, Lumen, Mm
from kiosk.core.policy import Policy
from kiosk.core.vocabulary import Check, Feature, Size
from kiosk.lumen import fit
from kiosk.lumen.geometry import at_least_one_decimal as bore_words
from kiosk.lumen.geometry import plain
from kiosk.lumen.needs import Needs, on_dirty_side, why_no_air


@dataclass(frozen=True, slots=True, kw_only=True)
class Tool:
    """A swab head or scope picked for a lumen."""

    name: str
    reach: fit.Reach
    because: str


def pick_swab(need: Needs, lumen: Lumen, size: Size, policy: Policy, kit: Kit) -> Tool | None:
    if Check.SWAB not in need.asked:
        return None
    inside, length, swabs = lumen.inside_mm, lumen.length_mm, kit.swabs
    if size is Size.UNKNOWN or inside is None or length is None:
        need.drop("the size is not known", Check.SWAB)
        return None
    if swabs is None or not swabs.heads_mm:
        need.drop("this bench has no swabs", Check.SWAB)
        return None
    head = fit.swab_head(swabs, inside)
    if head is None:
        near = min(swabs.heads_mm, key=lambda each: (abs(each - inside), each))
        limits = f"{bore_words(inside)} to {bore_words(swabs.max_over * inside)} mm"
        need.drop(f"no swab head at this bench fits (nearest is {bore_words(near)} mm, limits {limits})", Check.SWAB)
        return None
    reach = fit.reach(swabs.reach_mm, length, blind=fit.is_blind(lumen), overlap_mm=policy.overlap_mm)
    because = "swab, smallest head not thinner than the bore" + _reach_words(reach, swabs.reach_mm, lumen, policy)
    return Tool(name=f"{bore_words(head)} mm", reach=reach, because=because)


def pick_scope(need: Needs, lumen: Lumen, size: Size, policy: Policy, kit: Kit, out_of_use: Set[str]) -> Tool | None:
    """Rule 12: the best scope that fits; none, or forbidden, and the department's way out is followed."""
    sought = Check.SCOPE in need.asked
    bare = Check.LIGHT not in need.asked and Feature.FILLED not in lumen.features
    lost = Check.SCOPE in lumen.forbid and bare and not on_dirty_side(policy)
    if sought and size is not Size.UNKNOWN and lumen.inside_mm is not None and lumen.length_mm is not None:
        limit = f"limit {bore_words(policy.scope_fit_ratio * lumen.inside_mm)} mm"
        found = fit.best_scope(
            fit.scopes_in_use(kit, out_of_use),
            lumen.inside_mm,
            lumen.length_mm,
            curved=Feature.CURVED in lumen.features,
            blind=fit.is_blind(lumen),
            fit_ratio=policy.scope_fit_ratio,
            overlap_mm=policy.overlap_mm,
        )
        if found:
            because = f"scope, {bore_words(found.scope.od_mm)} mm, {limit}"
            because += _reach_words(found.reach, found.scope.reach_mm, lumen, policy)
            return Tool(name=found.scope.id, reach=found.reach, because=because)
        need.drop(_why_no_scope(lumen, kit, out_of_use, limit), Check.SCOPE)
    elif sought:
        need.drop("the size is not known", Check.SCOPE)
    if sought or lost:
        _instead_of_scope(need, lumen, policy, kit)
    return None


def _instead_of_scope(need: Needs, lumen: Lumen, policy: Policy, kit: Kit) -> None:
    for way in policy.scope_not_fit:
        if way == "mark_not_seen":
            return
        if way == Check.AIR:
            why_not = why_no_air(lumen, policy, kit)
            need.ask("no scope here, so by policy", Check.AIR)
            if why_not is None:
                return
            need.drop(why_not, Check.AIR)


def _why_no_scope(lumen: Lumen, kit: Kit, out_of_use: Set[str], limit: str) -> str:
    curved = Feature.CURVED in lumen.features
    pool = [scope for scope in fit.scopes_in_use(kit, out_of_use) if scope.bends or not curved]
    gone = [scope.id for scope in kit.scopes if scope.id in out_of_use]
    tail = f"; out of use: {', '.join(gone)}" if gone else ""
    which = " that bends" if curved else ""
    if not pool:
        return f"this bench has no scope{which}{' in use' if gone else ''} ({limit}){tail}"
    thinnest = bore_words(min(scope.od_mm for scope in pool))
    return f"no scope at this bench fits (thinnest{which} is {thinnest} mm, {limit}){tail}"


def _reach_words(reach: fit.Reach, reach_mm: Mm, lumen: Lumen, policy: Policy) -> str:
    length = plain(lumen.length_mm or Mm(0))
    if reach.ends == "one end":
        return ""
    if reach.ends == "both ends":
        return f"; {plain(reach_mm)} mm from each end covers {length} mm with {plain(policy.overlap_mm)} mm overlap"
    start = "" if fit.is_blind(lumen) else " from each end"
    return f"; {plain(reach_mm)} mm{start} is {plain(reach.short_mm)} mm short of {length} mm"
