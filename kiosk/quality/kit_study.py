"""The kit study: which scope, swab head, swab stem or confirmed air pressure would open most of what is closed now.

Exact: each candidate is put into the bench's kit (or record) and the catalogue is planned anew with the real planner.
"""

from collections.abc import Collection, Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from decimal import Decimal
from itertools import chain, zip_longest

from kiosk.core.catalogue import Catalogue, Kit, Mm
from kiosk.core.policy import Policy
from kiosk.lumen.geometry import at_least_one_decimal
from kiosk.lumen.share import NOTHING
from kiosk.quality.additions import (
    MAX_OVER,
    Addition,
    AirPressure,
    LongerStem,
    MoreHead,
    MoreScope,
    asks_no_more,
    price_of,
)
from kiosk.quality.kit_candidates import MOST_SIZES, Candidates, candidates
from kiosk.quality.packed import packed
from kiosk.quality.replan import Change, Reached, Replan

MOST_PAIRS = 5000
"""Pairs of additions planned at most (our choice, for seconds rather than minutes)."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Gain:
    """What one addition, or two together, would open. Areas in mm2 of inner wall a week, newly seen and newly touched.

    `checked_mm2`: wall of lumens of which nothing asked now says whether they are clear, and something then would.
    `lumens` and `types` count records; `holds` and `frees` the lumens that would begin, or cease, to hold their tray.
    """

    additions: tuple[Addition, ...]
    words: str
    seen_mm2: Decimal
    touched_mm2: Decimal
    checked_mm2: Decimal
    lumens: int
    types: int
    holds: int = 0
    frees: int = 0
    price: Decimal | None = None
    up_to_mm: tuple[Mm | None, ...] = ()  # of each addition that is a head: how thick it may be and still do the same

    @property
    def area_mm2(self) -> Decimal:
        """What the ranking goes by: newly seen and newly touched together, a mm2 of each worth the same (a choice)."""
        return self.seen_mm2 + self.touched_mm2

    @property
    def per_price_mm2(self) -> Decimal | None:
        """Area for each unit of price; None: no price is known."""
        return self.area_mm2 / self.price if self.price else None


@dataclass(frozen=True, slots=True, kw_only=True)
class Study:
    """The ranked lists, best first. Areas in mm2 a week: `wall` of all lumens of known size; what is unseen, untouched.

    `beyond_*`: the part that no scope, no swab opens under this policy and these records. `unknown`: lumens without a
    known size, in no area. `cut`: what bounds left out.
    """

    singles: tuple[Gain, ...]
    pairs: tuple[Gain, ...]
    wall_mm2: Decimal
    unseen_mm2: Decimal
    untouched_mm2: Decimal
    beyond_seen_mm2: Decimal
    beyond_touched_mm2: Decimal
    unknown: int
    weighed: str
    cut: tuple[str, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class _Tried:
    """A candidate, what the plans come to with it by way, what that changes, and the sum of it."""

    addition: Addition
    then: Mapping[int, Reached]
    changes: Mapping[int, Change]
    total: Change
    gain: Gain

    def does(self, n: int, study: Replan) -> bool:
        """Does it change anything of the plan at a place?"""
        return self.then[n] != study.ways[n].now


def kit_study(
    catalogue: Catalogue,
    policy: Policy,
    kit: Kit,
    *,
    times_a_week: Mapping[str, Decimal] | None = None,
    prices: Mapping[Addition, Decimal] | None = None,
    pairs: bool = False,
    most_sizes: int = MOST_SIZES,
    most_pairs: int = MOST_PAIRS,
) -> Study:
    """Rank what could be added to one bench's kit, and with `pairs` every two of them. Raises PackingFault.

    A pair stands in the list only where it is worth more than its better half. Prices are those of whole additions;
    what has a price is tried as it is, besides the sizes that would just do.
    """
    everything = packed(catalogue, times_a_week)
    study = Replan(everything, policy, kit)
    found = candidates(study, most_sizes=most_sizes)
    prices = prices or {}
    additions = dict.fromkeys((*prices, *found.additions))
    tried = _least_demanding([_try(study, each, prices) for each in additions], MoreScope)
    together, cut = _pairs(study, tried, prices, most_pairs) if pairs else ([], ())
    singles = [each.gain for each in _least_demanding(tried, LongerStem)]
    return _told(study, found, singles, together, everything.words, cut)


def longest_of_each(gains: Iterable[Gain]) -> tuple[tuple[Gain, tuple[Gain, ...]], ...]:
    """The ranked gains, of those that differ in reach alone the best, each with the lesser ones behind it.

    What has a price stands behind nothing of another price.
    """
    alike: dict[tuple[Decimal | None, frozenset[Addition]], list[Gain]] = {}
    for gain in gains:
        same = frozenset(_but_reach(each) for each in gain.additions)
        alike.setdefault((gain.price, same), []).append(gain)
    return tuple((same[0], tuple(same[1:])) for same in alike.values())


def by_price(gains: Iterable[Gain]) -> tuple[Gain, ...]:
    """Those whose price is known and that see or touch something, the most area for each unit of price first."""
    priced = [gain for gain in gains if gain.per_price_mm2]
    return tuple(sorted(priced, key=lambda gain: (-(gain.per_price_mm2 or 0), -gain.area_mm2, gain.words)))


def _but_reach(addition: Addition) -> Addition:
    if isinstance(addition, MoreScope | LongerStem):
        return replace(addition, reach_mm=NOTHING)
    return addition


def _told(
    study: Replan, found: Candidates, singles: list[Gain], pairs: list[Gain], weighed: str, cut: tuple[str, ...]
) -> Study:
    ways = study.ways
    wall = sum((way.now.wall_mm2 * way.a_week for way in ways if way.now.wall_mm2 is not None), NOTHING)
    return Study(
        singles=_ranked(singles),
        pairs=_ranked(pairs),
        wall_mm2=wall,
        unseen_mm2=wall - sum((way.now.seen_mm2 * way.a_week for way in ways), NOTHING),
        untouched_mm2=wall - sum((way.now.touched_mm2 * way.a_week for way in ways), NOTHING),
        beyond_seen_mm2=found.beyond_seen_mm2,
        beyond_touched_mm2=found.beyond_touched_mm2,
        unknown=sum(way.records for way in ways if way.now.wall_mm2 is None),
        weighed=weighed,
        cut=(*found.cut, *cut),
    )


def _ranked(gains: Iterable[Gain]) -> tuple[Gain, ...]:
    """Those that open something, the most area first; then most wall checked at all, most lumens, least holds."""
    opening = [gain for gain in gains if gain.area_mm2 or gain.checked_mm2 or gain.lumens]
    return tuple(
        sorted(
            opening,
            key=lambda gain: (-gain.area_mm2, -gain.checked_mm2, -gain.lumens, -gain.types, gain.holds, gain.words),
        )
    )


def _try(study: Replan, addition: Addition, prices: Mapping[Addition, Decimal]) -> _Tried:
    then = study.planned((addition,), study.within(addition))
    changes = {n: study.change(n, each) for n, each in then.items()}
    total = _sum(changes.values())
    opened = {n for n, change in changes.items() if change.opens}
    gain = _gain(study, (addition,), total, opened, prices)
    return _Tried(addition=addition, then=then, changes=changes, total=total, gain=gain)


def _sum(changes: Iterable[Change], sign: int = 1) -> Change:
    changes = list(changes)
    return Change(
        seen_mm2=sign * sum((change.seen_mm2 for change in changes), NOTHING),
        touched_mm2=sign * sum((change.touched_mm2 for change in changes), NOTHING),
        checked_mm2=sign * sum((change.checked_mm2 for change in changes), NOTHING),
        opens=sign * sum(change.opens for change in changes),
        holds=sign * sum(change.holds for change in changes),
        frees=sign * sum(change.frees for change in changes),
    )


def _gain(
    study: Replan,
    additions: tuple[Addition, ...],
    total: Change,
    opened: Collection[int],
    prices: Mapping[Addition, Decimal],
) -> Gain:
    up_to = tuple(None if each in prices else _up_to(study, each, opened) for each in additions)
    return Gain(
        additions=additions,
        words="; and ".join(map(_words, additions, up_to)),
        seen_mm2=total.seen_mm2,
        touched_mm2=total.touched_mm2,
        checked_mm2=total.checked_mm2,
        lumens=total.opens,
        types=len(frozenset[str]().union(*(study.ways[n].types for n in opened))),
        holds=total.holds,
        frees=total.frees,
        price=price_of(additions, prices),
        up_to_mm=up_to,
    )


def _up_to(study: Replan, addition: Addition, opened: Collection[int]) -> Mm | None:
    """How thick a head may be in mm and still go into every lumen that it opens."""
    if not isinstance(addition, MoreHead):
        return None
    over = study.kit.swabs.max_over if study.kit.swabs else MAX_OVER
    bores = [bore for n in opened if (bore := study.ways[n].lumen.inside_mm) is not None]
    return min((over * bore for bore in bores if bore <= addition.head_mm <= over * bore), default=addition.head_mm)


def _words(addition: Addition, most: Mm | None) -> str:
    """What it is; of a head also how thick it may be."""
    if not isinstance(addition, MoreHead) or most is None or most <= addition.head_mm:
        return addition.words
    return addition.words + f" (up to {at_least_one_decimal(most)} mm will do)"


def _least_demanding(tried: Sequence[_Tried], kind: type[Addition]) -> list[_Tried]:
    """Of candidates of a kind that change the same, those of which no other asks less.

    Scopes alike by themselves are alike in every pair, for a lumen is seen as far as the better of two reaches. Stems
    are not: what a longer one is worth may wait for a head. So stems are kept for the pairs. What has a price stays.
    """
    alike: dict[frozenset[tuple[int, Change]], list[_Tried]] = {}
    for each in tried:
        does = frozenset((n, change) for n, change in each.changes.items() if change.opens or change.holds)
        if isinstance(each.addition, kind):
            alike.setdefault(does, []).append(each)
    needless = {
        each.addition
        for same in alike.values()
        for each in same
        if each.gain.price is None
        and any(other is not each and asks_no_more(other.addition, each.addition) for other in same)
    }
    return [each for each in tried if each.addition not in needless]


def _pairs(
    study: Replan, tried: Sequence[_Tried], prices: Mapping[Addition, Decimal], most: int
) -> tuple[list[Gain], tuple[str, ...]]:
    """Every two candidates together, planned anew where both may change a lumen; the sum of both elsewhere."""
    field = sorted(_each_kind_in_turn(tried), key=lambda each: each.gain.price is None)
    out, planned, cut = [], 0, False
    for later, second in enumerate(field):
        for first in field[:later]:
            if asks_no_more(first.addition, second.addition) or asks_no_more(second.addition, first.addition):
                continue
            if planned == most:
                cut = True
                break
            planned += 1
            both = (first.addition, second.addition)
            shared = _shared(study, first, second)
            apart = (each.changes[n] for each in (first, second) for n in shared)
            total = _sum([first.total, second.total, _sum(apart, -1), *shared.values()])
            if _worth_more(total, first.gain, second.gain):
                opened = {n for each in (first, second) for n, change in each.changes.items() if change.opens}
                opened |= {n for n, change in shared.items() if change.opens}
                more_first = both if first.gain.area_mm2 >= second.gain.area_mm2 else both[::-1]
                out.append(_gain(study, more_first, total, opened, prices))
    first_of_all = "with a price first, then those " if prices else ""
    sentence = (
        f"Of pairs, {most} are planned, those {first_of_all}of the additions that "
        "open most by themselves, each kind in its turn; a better pair of others is possible."
    )
    return out, (sentence,) if cut else ()


def _shared(study: Replan, first: _Tried, second: _Tried) -> dict[int, Change]:
    """What two change together where both may change something; elsewhere each does what it does alone.

    The plan takes the better of two scopes, so two do what the better does. Of two that change the swab the planner is
    asked; the rest is put together.
    """
    places = first.changes.keys() & second.changes.keys()
    if isinstance(first.addition, MoreScope) and isinstance(second.addition, MoreScope):
        return {n: max(first.changes[n], second.changes[n], key=lambda change: change.seen_mm2) for n in places}
    if isinstance(first.addition, MoreHead | LongerStem) and isinstance(second.addition, MoreHead | LongerStem):
        return study.changes((first.addition, second.addition), places)
    both = (n for n in places if first.does(n, study) and second.does(n, study))
    return {n: study.change(n, study.together(first.then[n], second.then[n])) for n in both}


def _worth_more(total: Change, *halves: Gain) -> bool:
    area = total.seen_mm2 + total.touched_mm2
    return (area, total.checked_mm2) > max((half.area_mm2, half.checked_mm2) for half in halves)


def _each_kind_in_turn(tried: Sequence[_Tried]) -> list[_Tried]:
    """Best first, the kinds by turns, so that a stem that opens nothing without its head is not left to the end."""
    best = sorted(tried, key=lambda each: (-each.gain.area_mm2, -each.gain.checked_mm2, each.gain.words))
    kinds = (MoreScope, MoreHead, LongerStem, AirPressure)
    rows = ([each for each in best if isinstance(each.addition, kind)] for kind in kinds)
    return [each for each in chain.from_iterable(zip_longest(*rows)) if each is not None]
