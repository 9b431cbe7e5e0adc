"""The sizes worth trying in a kit study: those that would just fit a lumen not all seen or not all touched now.

They come from the catalogue alone, never from a list of what is on sale. For every tool there is one among them that is
worth no less: as thick as the narrowest bore it enters allows, and as long as the next length that a lumen needs.
"""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from decimal import Decimal

from kiosk.core.catalogue import Kit, Lumen, Mm
from kiosk.core.vocabulary import Feature
from kiosk.lumen import fit
from kiosk.quality.additions import MAX_OVER, Addition, AirPressure, LongerStem, MoreHead, MoreScope
from kiosk.quality.replan import Replan

MOST_SIZES = 24
"""Diameters, and reaches, of scopes that are tried at most (our choice: 24 x 24 x 2 scopes take seconds)."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Wish:
    """A lumen that an ideal tool would see or touch more of: widest tool, least reach, wall a week in mm2 at stake."""

    widest_mm: Mm
    reach_mm: Mm
    curved: bool
    at_stake_mm2: Decimal


@dataclass(frozen=True, slots=True, kw_only=True)
class Candidates:
    """What is worth trying. `beyond_seen_mm2`, `beyond_touched_mm2`: wall a week that no scope, no swab would open.

    `cut`: a sentence for each bound that left sizes out; empty: everything was tried.
    """

    additions: tuple[Addition, ...]
    beyond_seen_mm2: Decimal
    beyond_touched_mm2: Decimal
    cut: tuple[str, ...] = ()


def least_reach(lumen: Lumen, length_mm: Mm, overlap_mm: Mm) -> Mm:
    """The shortest reach in mm that covers a lumen: its length, or from both ends half of length and overlap."""
    both = (length_mm + overlap_mm) / 2
    return length_mm if fit.is_blind(lumen) or both > length_mm else both


def candidates(study: Replan, *, most_sizes: int = MOST_SIZES) -> Candidates:
    """Every addition that could open something, by asking the planner what an ideal scope, swab, pressure would do."""
    sights, touches, pressures = [], [], []
    beyond_seen = beyond_touched = Decimal(0)
    for n, way in enumerate(study.ways):
        now, inside, length = way.now, way.lumen.inside_mm, way.lumen.length_mm
        air = AirPressure(item=way.item.id, name=way.item.name)
        if air not in pressures and way.lumen.air_kpa is None and study.changes((air,), [n])[n].opens:
            pressures.append(air)
        if now.wall_mm2 is None or inside is None or length is None:
            continue
        widest, curved = study.policy.scope_fit_ratio * inside, Feature.CURVED in way.lumen.features
        reach = least_reach(way.lumen, length, study.policy.overlap_mm)
        ideal = study.changes((MoreScope(od_mm=widest, reach_mm=length, bends=True),), [n])[n].seen_mm2
        beyond_seen += (now.wall_mm2 - now.seen_mm2) * way.a_week - ideal
        if ideal:
            sights.append(Wish(widest_mm=widest, reach_mm=reach, curved=curved, at_stake_mm2=ideal))
        ideal = study.changes((MoreHead(head_mm=inside, stem_mm=length),), [n])[n].touched_mm2
        beyond_touched += (now.wall_mm2 - now.touched_mm2) * way.a_week - ideal
        if ideal:
            touches.append(Wish(widest_mm=inside, reach_mm=reach, curved=curved, at_stake_mm2=ideal))
    scopes, cut = _scopes(sights, most_sizes)
    return Candidates(
        additions=(*scopes, *_swabs(touches, study.kit), *pressures),
        beyond_seen_mm2=beyond_seen,
        beyond_touched_mm2=beyond_touched,
        cut=cut,
    )


def _scopes(wishes: Sequence[Wish], most: int) -> tuple[list[Addition], tuple[str, ...]]:
    out: list[Addition] = []
    cut = False
    for bends in (False, True):
        mine = [wish for wish in wishes if bends or not wish.curved]
        if bends and not any(wish.curved for wish in mine):
            continue
        widths = _most_at_stake(((wish.widest_mm, wish.at_stake_mm2) for wish in mine), most)
        reaches = _most_at_stake(((wish.reach_mm, wish.at_stake_mm2) for wish in mine), most)
        cut = cut or len({w.widest_mm for w in mine}) > len(widths) or len({w.reach_mm for w in mine}) > len(reaches)
        for width in widths:
            useful = {wish.reach_mm for wish in mine if wish.widest_mm >= width}
            out += [MoreScope(od_mm=width, reach_mm=reach, bends=bends) for reach in reaches if reach in useful]
    sentence = (
        f"Of scopes, at most {most} diameters and {most} reaches are tried, the thinnest, the longest and those with "
        "the most wall at stake; others are left out."
    )
    return out, (sentence,) if cut else ()


def _most_at_stake(sizes: Iterable[tuple[Mm, Decimal]], most: int) -> list[Mm]:
    """The distinct sizes in order; of too many the smallest, the largest and those with the most wall at stake."""
    stakes: dict[Mm, Decimal] = {}
    for size, stake in sizes:
        stakes[size] = stakes.get(size, Decimal(0)) + stake
    if len(stakes) <= most:
        return sorted(stakes)
    ends = {min(stakes), max(stakes)}
    best = sorted(stakes.keys() - ends, key=lambda size: (-stakes[size], size))
    return sorted([*ends, *best[: most - len(ends)]])


def _swabs(wishes: Sequence[Wish], kit: Kit) -> list[Addition]:
    swabs = kit.swabs
    if swabs is None:
        return [
            MoreHead(
                head_mm=head,
                stem_mm=max(w.reach_mm for w in wishes if w.widest_mm <= head <= MAX_OVER * w.widest_mm),
            )
            for head in sorted({wish.widest_mm for wish in wishes})
        ]
    heads = {wish.widest_mm for wish in wishes if fit.swab_head(swabs, wish.widest_mm) is None}
    stems = {wish.reach_mm for wish in wishes if wish.reach_mm > swabs.reach_mm}
    return [*(MoreHead(head_mm=head) for head in sorted(heads)), *(LongerStem(reach_mm=r) for r in sorted(stems))]
