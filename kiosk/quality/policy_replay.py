"""The trays of a span planned again under another policy: what it would have asked, held and seen, and what it costs.

Both sides are planned by the real planner from the set records as they were opened, with the kit of one bench. So the
same policy on both sides differs in nothing. How near that is to what was asked then is told too: `alike`.
"""

from collections import Counter
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, fields
from decimal import Decimal

from kiosk.core.catalogue import Item, Kit, Tray
from kiosk.core.plan import LumenPlan, PiecePlan, ends_of
from kiosk.core.policy import Policy
from kiosk.core.vocabulary import Check
from kiosk.lumen.planner import PROOF, pieces, plan_tray
from kiosk.lumen.share import NOTHING
from kiosk.quality.trips import OpenedTray, questions

SIGHT = frozenset({Check.LIGHT, Check.SCOPE})

PLAN_KEYS = frozenset({
    "verify_where", "clean_methods", "by_size", "size_edges_mm", "scope_fit_ratio", "overlap_mm", "scope_not_fit",
    "part_not_seen", "unknown_lumen", "air_limit", "brush_rule",
})  # fmt: skip
"""The keys of a policy that a plan rests on. What another key changes is in no figure of a replay."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Reach:
    """What one plan does of a lumen. Areas in mm2 of one piece; None: the size is not known.

    `proof`: something asked says whether it is clear.
    """

    seen: bool
    seen_mm2: Decimal | None
    touched_mm2: Decimal | None
    proof: bool
    hold: str | None


@dataclass(frozen=True, slots=True, kw_only=True)
class WayChange:
    """A lumen that one policy sees, touches, proves or holds otherwise than the other. `times`: passages of pieces."""

    tray: str
    item: str
    name: str
    lumen: str
    times: int
    now: Reach
    then: Reach

    @property
    def sight(self) -> str:
        """What becomes of sight: newly seen, not seen any more, seen further, seen less far, or "" (the same)."""
        if self.now.seen != self.then.seen:
            return "newly seen" if self.then.seen else "not seen any more"
        before, after = self.now.seen_mm2 or NOTHING, self.then.seen_mm2 or NOTHING
        return "seen further" if after > before else "seen less far" if after < before else ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Side:
    """What one policy asks of all trays together.

    `asked`: answers wanted by method, two where both ends are asked. `holds`: pieces by what holds them.
    """

    asked: Mapping[str, int]
    holds: Mapping[str, int]
    trays_held: int


@dataclass(frozen=True, slots=True, kw_only=True)
class Replay:
    """The same trays under the policy in force (`now`) and under another one (`then`).

    `lumens`: passages of lumens. `compared`: trays whose own plan is in the log; `alike`: of those the ones whose
    plan asked just what the policy in force asks here.
    """

    trays: int
    lumens: int
    now: Side
    then: Side
    ways: tuple[WayChange, ...]
    compared: int
    alike: int

    @property
    def more(self) -> dict[str, int]:
        """Checks more under the other policy by method, fewer below zero; only methods that differ."""
        methods = sorted({*self.now.asked, *self.then.asked})
        both = ((method, self.then.asked.get(method, 0) - self.now.asked.get(method, 0)) for method in methods)
        return {method: n for method, n in both if n}


def replay(
    trays: Iterable[OpenedTray], now: Policy, then: Policy, kit: Kit, shown: Mapping[str, frozenset[str]] | None = None
) -> Replay:
    """Plan trays under both policies. `shown`: by trip what its own plan asked (`kiosk.quality.trips.first_plans`)."""
    opened = list(trays)
    times = Counter(each.tray for each in opened)
    plans = {tray: (plan_tray(tray.items, now, kit), plan_tray(tray.items, then, kit)) for tray in times}
    asks = {tray: questions(each[0]) for tray, each in plans.items()}
    own = [(each.tray, (shown or {}).get(each.trip)) for each in opened]
    return Replay(
        trays=len(opened),
        lumens=sum(n * len(plan.lumens) for tray, n in times.items() for plan in plans[tray][0]),
        now=_side((plans[tray][0], n) for tray, n in times.items()),
        then=_side((plans[tray][1], n) for tray, n in times.items()),
        ways=_ways(times, plans),
        compared=sum(mine is not None for _, mine in own),
        alike=sum(mine == asks[tray] for tray, mine in own),
    )


def other_keys(now: Policy, then: Policy) -> tuple[str, ...]:
    """The keys that differ and that no plan rests on."""
    names = (field.name for field in fields(Policy) if field.name not in {"version", *PLAN_KEYS})
    return tuple(name for name in names if getattr(now, name) != getattr(then, name))


def _side(plans: Iterable[tuple[tuple[PiecePlan, ...], int]]) -> Side:
    asked: Counter[str] = Counter()
    holds: Counter[str] = Counter()
    held = 0
    for of_tray, n in plans:
        for plan in of_tray:
            for check in plan.checks:
                asked[str(check.check)] += n * ends_of(check)
            if plan.hold:
                holds[plan.hold] += n
        held += n * any(plan.hold for plan in of_tray)
    return Side(asked=dict(asked), holds=dict(holds), trays_held=held)


def _ways(
    times: Mapping[Tray, int], plans: Mapping[Tray, tuple[tuple[PiecePlan, ...], tuple[PiecePlan, ...]]]
) -> tuple[WayChange, ...]:
    """The lumens that differ, those of the same item record together; what changes most wall first."""
    found: dict[tuple[str, Item, str], WayChange] = {}
    for tray, n in times.items():
        by_piece = [(item, piece) for item in tray.items for piece in pieces(item)]
        for (item, _), now, then in zip(by_piece, *plans[tray], strict=True):
            for before, after in zip(now.lumens, then.lumens, strict=True):
                one, other = _reach(now, before), _reach(then, after)
                if one == other:
                    continue
                key = tray.code, item, before.lumen
                known = found[key].times if key in found else 0
                found[key] = WayChange(
                    tray=tray.code,
                    item=item.id,
                    name=item.name,
                    lumen=before.lumen,
                    times=known + n,
                    now=one,
                    then=other,
                )
    return tuple(sorted(found.values(), key=_weight, reverse=True))


def _weight(way: WayChange) -> tuple[Decimal, int]:
    change = abs((way.then.seen_mm2 or NOTHING) - (way.now.seen_mm2 or NOTHING))
    return change * way.times, way.times


def _reach(plan: PiecePlan, its: LumenPlan) -> Reach:
    asked = {check.check for check in plan.checks if check.lumen == its.lumen}
    return Reach(
        seen=bool(asked & SIGHT),
        seen_mm2=its.seen_mm2,
        touched_mm2=its.touched_mm2,
        proof=bool(asked & PROOF),
        hold=its.hold,
    )
