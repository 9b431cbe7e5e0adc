"""Shares of the inner wall seen and touched: what a plan can do, and what answered checks have done."""

from collections.abc import Iterable, Mapping, Set
from dataclasses import dataclass
from decimal import Decimal

from kiosk.core.plan import LumenPlan, PiecePlan
from kiosk.core.vocabulary import Check

NOTHING = Decimal(0)


@dataclass(frozen=True, slots=True, kw_only=True)
class Shares:
    """Area-weighted shares from 0 to 1; None where no lumen's size is known. `unknown`: "A3#1 bore", not counted."""

    seen: Decimal | None
    touched: Decimal | None
    unknown: tuple[str, ...] = ()


def lumen_share(lumen: LumenPlan) -> Shares:
    """What the plan can see and touch of one lumen."""
    return _shares([(lumen.wall_mm2, lumen.seen_mm2, lumen.touched_mm2, lumen.lumen)])


def piece_share(lumens: Iterable[LumenPlan]) -> Shares:
    """What the plan can see and touch of one piece's lumens."""
    return _shares((lumen.wall_mm2, lumen.seen_mm2, lumen.touched_mm2, lumen.lumen) for lumen in lumens)


def planned_share(plans: Iterable[PiecePlan]) -> Shares:
    """What the plan can see and touch of a tray."""
    return _shares(
        (lumen.wall_mm2, lumen.seen_mm2, lumen.touched_mm2, f"{plan.piece} {lumen.lumen}")
        for plan in plans
        for lumen in plan.lumens
    )


def tray_share(plans: Iterable[PiecePlan], answered: Mapping[str, Set[str]]) -> Shares:
    """What was seen and touched of a tray: only checks whose keys are in `answered[piece]` count.

    Give the checks answered YES; a piece that is not in `answered` counts as not looked at.
    """
    rows = []
    for plan in plans:
        done = answered.get(plan.piece, frozenset())
        for lumen in plan.lumens:
            swab = f"{lumen.lumen}.{Check.SWAB}" in done
            touched = lumen.touched_mm2 if swab else NOTHING
            rows.append((lumen.wall_mm2, _seen_mm2(plan, lumen, done), touched, f"{plan.piece} {lumen.lumen}"))
    return _shares(rows)


def _seen_mm2(plan: PiecePlan, lumen: LumenPlan, done: Set[str]) -> Decimal | None:
    if f"{lumen.lumen}.{Check.LIGHT}" in done:
        return lumen.wall_mm2
    key = f"{lumen.lumen}.{Check.SCOPE}"
    if key not in done:
        return NOTHING
    ends = next((check.ends for check in plan.checks if check.key == key), None)
    if ends != "part":
        return lumen.wall_mm2
    # With light in the plan too, the plan does not keep how far the scope alone gets: count none rather than too much.
    return NOTHING if f"{lumen.lumen}.{Check.LIGHT}" in plan.keys else lumen.seen_mm2


def _shares(rows: Iterable[tuple[Decimal | None, Decimal | None, Decimal | None, str]]) -> Shares:
    wall = seen = touched = NOTHING
    unknown = []
    for wall_mm2, seen_mm2, touched_mm2, name in rows:
        if wall_mm2 is None:
            unknown.append(name)
            continue
        wall += wall_mm2
        seen += seen_mm2 or NOTHING
        touched += touched_mm2 or NOTHING
    if not wall:
        return Shares(seen=None, touched=None, unknown=tuple(unknown))
    return Shares(seen=seen / wall, touched=touched / wall, unknown=tuple(unknown))
