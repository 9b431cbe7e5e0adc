"""What the department never sees: shares of the inner wall by kind of item, and every lumen not seen, with its reason.

Everything rests on the plan of checks (`kiosk.lumen.planner`): what it *can* see. What *was* seen is told by the log.
"""

from collections.abc import Mapping, Set
from decimal import Decimal

from kiosk.core.catalogue import Catalogue, Kit
from kiosk.core.plan import LumenPlan, PiecePlan
from kiosk.core.policy import Policy
from kiosk.core.unseen import NeverSeen, NotSeen, WallShare
from kiosk.core.vocabulary import Check
from kiosk.lumen.planner import pieces, plan_piece
from kiosk.lumen.share import NOTHING
from kiosk.quality.packed import PackedItem, packed

_SIGHT = (Check.LIGHT, Check.SCOPE)


def never_seen(
    catalogue: Catalogue,
    policy: Policy,
    kit: Kit,
    *,
    times_a_week: Mapping[str, Decimal] | None = None,
    out_of_use: Set[str] = frozenset(),
) -> NeverSeen:
    """What the plan of checks cannot see of a catalogue with one bench's kit. Raises PackingFault.

    `times_a_week` maps a code of an item or of a tray to how often it is packed in a week (`kiosk.quality.packed`).
    """
    all_packed = packed(catalogue, times_a_week)
    rows: dict[str, list[WallShare]] = {}
    unseen = []
    for each in all_packed.items:
        if not each.item.lumens:
            continue
        plan = plan_piece(each.item, policy, kit, piece=pieces(each.item)[0], out_of_use=out_of_use)
        rows.setdefault(each.item.type, []).append(_of_item(each, plan))
        unseen += [_not_seen(each, plan, lumen) for lumen in plan.lumens if not _all_seen(lumen)]
    by_type = [_total(kind, of_kind) for kind, of_kind in rows.items()]
    return NeverSeen(
        by_type=tuple(sorted(by_type, key=lambda row: (row.seen is None, row.seen or NOTHING, row.type))),
        whole=_total("", by_type),
        not_seen=tuple(sorted(unseen, key=lambda row: (row.wall_mm2 is None, -row.unseen_a_week_mm2))),
        weighed=all_packed.words,
    )


def _of_item(each: PackedItem, plan: PiecePlan) -> WallShare:
    known = [lumen for lumen in plan.lumens if lumen.wall_mm2 is not None]
    return WallShare(
        type=each.item.type,
        pieces=each.a_week,
        wall_mm2=each.a_week * sum((lumen.wall_mm2 or NOTHING for lumen in known), NOTHING),
        seen_mm2=each.a_week * sum((lumen.seen_mm2 or NOTHING for lumen in known), NOTHING),
        touched_mm2=each.a_week * sum((lumen.touched_mm2 or NOTHING for lumen in known), NOTHING),
        unknown=len(plan.lumens) - len(known),
    )


def _total(kind: str, rows: list[WallShare]) -> WallShare:
    return WallShare(
        type=kind,
        pieces=sum((row.pieces for row in rows), NOTHING),
        wall_mm2=sum((row.wall_mm2 for row in rows), NOTHING),
        seen_mm2=sum((row.seen_mm2 for row in rows), NOTHING),
        touched_mm2=sum((row.touched_mm2 for row in rows), NOTHING),
        unknown=sum(row.unknown for row in rows),
    )


def _all_seen(lumen: LumenPlan) -> bool:
    return lumen.wall_mm2 is not None and lumen.seen_mm2 == lumen.wall_mm2


def _not_seen(each: PackedItem, plan: PiecePlan, lumen: LumenPlan) -> NotSeen:
    wall = lumen.wall_mm2
    return NotSeen(
        tray=each.tray,
        item=each.item.id,
        name=each.item.name,
        type=each.item.type,
        lumen=lumen.lumen,
        pieces=each.a_week,
        wall_mm2=wall,
        unseen_mm2=None if wall is None else wall - (lumen.seen_mm2 or NOTHING),
        untouched_mm2=None if wall is None else wall - (lumen.touched_mm2 or NOTHING),
        not_seen_mm=lumen.not_seen_mm,
        hold=lumen.hold,
        because=reasons(plan, lumen),
    )


def reasons(plan: PiecePlan, lumen: LumenPlan) -> tuple[tuple[Check, str], ...]:
    """Why a lumen is not all seen, in the plan's words: sight that falls short or was left out; else what is asked.

    A lumen for which sight was never asked is told by the checks that its size and shape do ask for.
    """
    own = [check for check in plan.checks if check.lumen == lumen.lumen]
    left_out = [(Check(check), why) for check, why in lumen.left_out]
    sight = [(check.check, check.because) for check in own if check.check in _SIGHT]
    sight += [(check, why) for check, why in left_out if check in _SIGHT]
    if sight:
        return tuple(sight)
    rest = [(check.check, check.because) for check in own if check.check is not Check.DRY]
    return tuple(rest or left_out)
