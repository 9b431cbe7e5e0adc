"""What the department never sees: shares of the inner wall by kind of item, and every lumen not seen, with its reason.

Everything rests on the plan of checks (`kiosk.lumen.planner`): what it *can* see. What *was* seen is told by the log.
"""

from collections.abc import Mapping, Set
from dataclasses import dataclass
from decimal import Decimal

from kiosk.core.catalogue import Catalogue, Kit, Mm
from kiosk.core.plan import LumenPlan, PiecePlan
from kiosk.core.policy import Policy
from kiosk.core.vocabulary import Check
from kiosk.lumen.planner import pieces, plan_piece
from kiosk.lumen.share import NOTHING
from kiosk.quality.packed import PackedItem, packed

_SIGHT = (Check.LIGHT, Check.SCOPE)


@dataclass(frozen=True, slots=True, kw_only=True)
class WallShare:
    """Inner wall in mm2 a week, seen and touched, of one kind of item (`type`; empty: of all).

    `unknown`: lumens whose size is not known. They have no wall area and are not in the shares.
    """

    type: str
    pieces: Decimal  # packed in a week
    wall_mm2: Decimal
    seen_mm2: Decimal
    touched_mm2: Decimal
    unknown: int = 0

    @property
    def seen(self) -> Decimal | None:
        """Share of the wall that the plan can see, from 0 to 1; None: no wall area is known or none is packed."""
        return self.seen_mm2 / self.wall_mm2 if self.wall_mm2 else None

    @property
    def touched(self) -> Decimal | None:
        """Share of the wall that the plan can touch, from 0 to 1; None as for `seen`."""
        return self.touched_mm2 / self.wall_mm2 if self.wall_mm2 else None


@dataclass(frozen=True, slots=True, kw_only=True)
class NotSeen:
    """One lumen not seen, or not all of it. Areas in mm2 are those of one piece; None: the size is not known."""

    tray: str
    item: str
    name: str
    type: str
    lumen: str
    pieces: Decimal  # packed in a week
    wall_mm2: Decimal | None
    unseen_mm2: Decimal | None
    untouched_mm2: Decimal | None
    not_seen_mm: Mm | None  # as the plan tells it; None: not known, or not claimed on this side
    hold: str | None
    because: tuple[str, ...]  # the plan's own words

    @property
    def unseen_a_week_mm2(self) -> Decimal:
        """Wall area a week that nobody sees; nothing where the size is not known."""
        return (self.unseen_mm2 or NOTHING) * self.pieces


@dataclass(frozen=True, slots=True, kw_only=True)
class NeverSeen:
    """Shares by kind of item, the least seen first; of all; and the not-seen list, the most wall a week first.

    Lumens of unknown size stand at the end of the list. `weighed` says in words what the weights rest on.
    """

    by_type: tuple[WallShare, ...]
    whole: WallShare
    not_seen: tuple[NotSeen, ...]
    weighed: str


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


def reasons(plan: PiecePlan, lumen: LumenPlan) -> tuple[str, ...]:
    """Why a lumen is not all seen, in the plan's words: sight that falls short or was left out; else what is asked.

    A lumen for which sight was never asked is told by the checks that its size and shape do ask for.
    """
    own = [check for check in plan.checks if check.lumen == lumen.lumen]
    sight = [f"{check.check}: {check.because}" for check in own if check.check in _SIGHT]
    sight += [f"{check}: {why}" for check, why in lumen.left_out if check in _SIGHT]
    if sight:
        return tuple(sight)
    rest = [f"{check.check}: {check.because}" for check in own if check.check is not Check.DRY]
    return tuple(rest or [f"{check}: {why}" for check, why in lumen.left_out])
