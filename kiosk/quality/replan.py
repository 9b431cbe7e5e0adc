"""The lumens of a catalogue planned anew with something added, by the real planner, each no oftener than it must be.

The plan of a lumen depends on nothing but its record, the policy and the kit. So lumens alike in all but name are
planned once, and a lumen is left alone where an addition cannot change it: the tool does not go in, or there is nothing
left to gain. `tests/quality/test_kit_study.py` holds this against planning the whole catalogue again.
"""

from collections.abc import Iterable
from dataclasses import dataclass, replace
from decimal import Decimal

from kiosk.core.catalogue import Item, Kit, Lumen
from kiosk.core.policy import Policy
from kiosk.core.vocabulary import Check
from kiosk.lumen.planner import PROOF, plan_piece, why_held
from kiosk.lumen.share import NOTHING
from kiosk.quality.additions import Addition, AirPressure, MoreScope, may_change, with_additions, with_pressure
from kiosk.quality.packed import Packed


@dataclass(frozen=True, slots=True, kw_only=True)
class Reached:
    """What the plan of one lumen comes to, in mm2 of one piece. `proof`: something asked says whether it is clear.

    `not_seen`: some of it nobody looks at; `swab_short`: its swab does not get through all of it.
    """

    wall_mm2: Decimal | None
    seen_mm2: Decimal
    touched_mm2: Decimal
    proof: bool
    not_seen: bool
    swab_short: bool
    hold: str | None


@dataclass(frozen=True, slots=True, kw_only=True)
class Way:
    """All lumens alike but in name. `records`: how many item records have one; `a_week`: how many are packed in a week.

    Lumens that a pressure in their record would open stand by item, for it is confirmed item by item.
    """

    lumen: Lumen
    item: Item  # the first of them
    records: int
    types: frozenset[str]
    a_week: Decimal
    now: Reached  # with the kit as it is


@dataclass(frozen=True, slots=True, kw_only=True)
class Change:
    """What additions change at one way: mm2 a week, and how many lumens open, begin to hold, or hold no longer."""

    seen_mm2: Decimal
    touched_mm2: Decimal
    checked_mm2: Decimal  # the whole wall, where nothing said before whether it is clear
    opens: int
    holds: int
    frees: int


class Replan:
    """A catalogue, a policy and a bench's kit, ready to be planned with additions."""

    def __init__(self, everything: Packed, policy: Policy, kit: Kit) -> None:
        self.policy, self.kit = policy, kit
        self.ways = _ways(everything, policy, kit)
        rows = [(n, way.now) for n, way in enumerate(self.ways)]
        self._not_seen = [n for n, now in rows if now.wall_mm2 is not None and now.seen_mm2 < now.wall_mm2]
        self._not_touched = [n for n, now in rows if now.wall_mm2 is not None and now.touched_mm2 < now.wall_mm2]
        self._not_proven = [n for n, now in rows if not now.proof]

    def within(self, addition: Addition) -> list[int]:
        """The places in `ways` whose plan an addition may change, for better or worse."""
        if isinstance(addition, AirPressure):
            open_to_it = self._not_proven
        else:
            open_to_it = self._not_seen if isinstance(addition, MoreScope) else self._not_touched
        ratio = self.policy.scope_fit_ratio
        ways = ((n, self.ways[n]) for n in open_to_it)
        return [n for n, way in ways if may_change(addition, way.lumen, way.item.id, self.kit, ratio)]

    def planned(self, additions: tuple[Addition, ...], places: Iterable[int]) -> dict[int, Reached]:
        """What the plans come to with all of these additions, by place in `ways`: planned anew."""
        kit, alike = with_additions(self.kit, additions), dict[Lumen, Reached]()
        out: dict[int, Reached] = {}
        for n in places:
            item = self.ways[n].item
            lumen = with_pressure(self.ways[n].lumen, item.id, additions)
            if lumen not in alike:
                alike[lumen] = plan_way(item, lumen, self.policy, kit)
            out[n] = alike[lumen]
        return out

    def together(self, first: Reached, second: Reached) -> Reached:
        """What two additions come to of which at most one changes the swab, from what each comes to alone.

        What a scope sees does not rest on the swab, nor on a pressure, and what a swab touches on neither.
        """
        proof, not_seen = first.proof or second.proof, first.not_seen and second.not_seen
        swabbed = max(first, second, key=lambda each: each.touched_mm2)
        return replace(
            swabbed,
            seen_mm2=max(first.seen_mm2, second.seen_mm2),
            proof=proof,
            not_seen=not_seen,
            hold=why_held(self.policy, proof=proof, not_seen=not_seen, swab_short=swabbed.swab_short),
        )

    def change(self, n: int, then: Reached) -> Change:
        """What a plan changes against that of the bench as it is, at place `n`."""
        way = self.ways[n]
        now = way.now
        seen, touched = then.seen_mm2 - now.seen_mm2, then.touched_mm2 - now.touched_mm2
        proven = then.proof and not now.proof
        return Change(
            seen_mm2=seen * way.a_week,
            touched_mm2=touched * way.a_week,
            checked_mm2=(now.wall_mm2 or NOTHING) * way.a_week if proven else NOTHING,
            opens=way.records if seen > 0 or touched > 0 or proven else 0,
            holds=way.records if now.hold is None and then.hold is not None else 0,
            frees=way.records if now.hold is not None and then.hold is None else 0,
        )

    def changes(self, additions: tuple[Addition, ...], places: Iterable[int]) -> dict[int, Change]:
        """What additions change, by place in `ways`: planned anew with all of them."""
        return {n: self.change(n, then) for n, then in self.planned(additions, places).items()}


def plan_way(item: Item, lumen: Lumen, policy: Policy, kit: Kit) -> Reached:
    """Plan a piece that has this lumen alone, with the real planner."""
    plan = plan_piece(replace(item, lumens=(lumen,)), policy, kit, piece=item.id)
    (its,) = plan.lumens
    return Reached(
        wall_mm2=its.wall_mm2,
        seen_mm2=its.seen_mm2 or NOTHING,
        touched_mm2=its.touched_mm2 or NOTHING,
        proof=any(check.lumen and check.check in PROOF for check in plan.checks),
        not_seen=its.not_seen,
        swab_short=any(check.check is Check.SWAB and check.ends == "part" for check in plan.checks),
        hold=its.hold,
    )


def _ways(everything: Packed, policy: Policy, kit: Kit) -> tuple[Way, ...]:
    reached: dict[Lumen, Reached] = {}
    ways: dict[tuple[Lumen, str], Way] = {}
    for each in everything.items:
        for own in each.item.lumens:
            lumen = replace(own, name="way", landmarks=())
            if lumen not in reached:
                reached[lumen] = plan_way(each.item, lumen, policy, kit)
            now = reached[lumen]
            key = lumen, each.item.id if lumen.air_kpa is None and not now.proof else ""
            one = Way(
                lumen=lumen, item=each.item, records=1, types=frozenset({each.item.type}), a_week=each.a_week, now=now
            )
            ways[key] = _with_one_more(ways[key], one) if key in ways else one
    return tuple(ways.values())


def _with_one_more(way: Way, one: Way) -> Way:
    return replace(way, records=way.records + one.records, types=way.types | one.types, a_week=way.a_week + one.a_week)
