"""The plain way: a whole catalogue planned anew with something added. Also catalogues by chance, and in few words."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace
from decimal import Decimal

from hypothesis import strategies as st

from kiosk.core.catalogue import Catalogue, Item, Kit, Lumen, Scope, Swabs, Tray
from kiosk.core.plan import LumenPlan
from kiosk.core.policy import Policy
from kiosk.core.vocabulary import Feature, Learnt, Opening
from kiosk.lumen.planner import PROOF, plan_tray
from kiosk.quality.additions import Addition, AirPressure, LongerStem, MoreHead, MoreScope
from tests.lumen import chance
from tests.lumen.bench import tube

NOTHING = Decimal(0)
SIZES = st.sampled_from(["0.8", "1.1", "1.5", "2.2", "3.1", "4.6", "6.0"])
LENGTHS = st.sampled_from(["30", "120", "260", "480", "700", "950"])
SHAPES = st.sampled_from(
    [Feature.CURVED, Feature.FENESTRATED, Feature.SIDE_HOLE, Feature.TOOTHED, Feature.ROUGH, Feature.FILLED]
)


def catalogue(*items: Item, **trays: tuple[Item, ...]) -> Catalogue:
    """One tray T1 of these items, or trays by code."""
    named = trays or {"T1": items}
    return Catalogue(trays={code: Tray(code=code, name=code, items=its) for code, its in named.items()})


@st.composite
def _lumens(draw: st.DrawFn, name: str) -> Lumen:
    """Of few sizes, so that some are alike and a size fits several; now and then of any size or of none."""
    if draw(st.integers(0, 9)) == 0:
        return draw(chance.lumens(name))
    size, length = draw(st.integers(0, 9)), draw(LENGTHS)
    return tube(
        None if size == 0 else draw(SIZES),
        length,
        *draw(st.sets(SHAPES, max_size=2)),
        open=draw(st.sampled_from([Opening.BOTH, Opening.BOTH, Opening.ONE])),
        air=draw(st.sampled_from([None, 100])),
        learnt=Learnt.TYPICAL if size == 1 else Learnt.IFU,
        name=name,
    )


@st.composite
def catalogues(draw: st.DrawFn) -> Catalogue:
    trays = {}
    for n in range(1, draw(st.integers(1, 3)) + 1):
        items = []
        for m in range(1, draw(st.integers(1, 3)) + 1):
            lumens = tuple(draw(_lumens(f"way {k}")) for k in range(draw(st.integers(1, 2))))
            kind, qty = draw(st.sampled_from(["fine_suction", "trephine"])), draw(st.integers(1, 2))
            items.append(Item(id=f"A{n}{m}", name="Tube", type=kind, lumens=lumens, qty=qty))
        trays[f"T{n}"] = tuple(items)
    return catalogue(**trays)


@st.composite
def kits(draw: st.DrawFn) -> Kit:
    """Poor enough that something is left to add."""
    scopes = draw(st.lists(st.tuples(SIZES, LENGTHS, st.booleans()), max_size=1))
    heads = draw(st.none() | st.lists(st.sampled_from(["1.2", "2.5", "4.0"]), max_size=2, unique=True))
    return Kit(
        scopes=tuple(Scope(id="SC-1", od_mm=Decimal(od), reach_mm=Decimal(r), bends=b) for od, r, b in scopes),
        swabs=None
        if heads is None
        else Swabs(heads_mm=tuple(map(Decimal, heads)), reach_mm=Decimal(draw(LENGTHS)), max_over=Decimal("1.5")),
        air_station=draw(st.booleans()),
    )


def weeks(of: Catalogue) -> st.SearchStrategy[dict[str, Decimal]]:
    return st.fixed_dictionaries({}, optional={code: st.integers(0, 9).map(Decimal) for code in of.trays})


@dataclass(frozen=True, slots=True, kw_only=True)
class Sums:
    """Of every piece of a week: mm2 seen, touched and of lumens that have a proof; and what each lumen comes to."""

    seen_mm2: Decimal
    touched_mm2: Decimal
    checked_mm2: Decimal
    lumens: Mapping[tuple[str, str, str], tuple[LumenPlan, bool]]


def with_more(had: Catalogue, kit: Kit, more: Iterable[Addition]) -> tuple[Catalogue, Kit]:
    """A catalogue and a kit with additions, written a second time, apart from the product."""
    for n, each in enumerate(more):
        if isinstance(each, MoreScope):
            new = Scope(id=f"N{n}", od_mm=each.od_mm, reach_mm=each.reach_mm, bends=each.bends)
            kit = replace(kit, scopes=(*kit.scopes, new))
        elif isinstance(each, AirPressure):
            had = replace(had, trays={code: _confirmed(tray, each.item) for code, tray in had.trays.items()})
        else:
            swabs = kit.swabs or Swabs(heads_mm=(), reach_mm=NOTHING, max_over=Decimal("1.5"))
            heads = (each.head_mm,) if isinstance(each, MoreHead) else ()
            stem = each.reach_mm if isinstance(each, LongerStem) else each.stem_mm or NOTHING
            longest = max(stem, swabs.reach_mm)
            kit = replace(kit, swabs=replace(swabs, heads_mm=swabs.heads_mm + heads, reach_mm=longest))
    return had, kit


def _confirmed(tray: Tray, code: str) -> Tray:
    return replace(tray, items=tuple(_with_air(item) if item.id == code else item for item in tray.items))


def _with_air(item: Item) -> Item:
    return replace(item, lumens=tuple(replace(lumen, air_kpa=lumen.air_kpa or 70) for lumen in item.lumens))


def planned_whole(
    had: Catalogue, policy: Policy, kit: Kit, more: Iterable[Addition] = (), weeks: Mapping[str, Decimal] | None = None
) -> Sums:
    """Every tray planned, every piece of it counted, nothing left out."""
    had, kit = with_more(had, kit, more)
    seen = touched = checked = NOTHING
    lumens = {}
    for code, tray in had.trays.items():
        times = (weeks or {}).get(code, Decimal(1))
        for plan in plan_tray(tray.items, policy, kit):
            for its in plan.lumens:
                proof = any(check.lumen == its.lumen and check.check in PROOF for check in plan.checks)
                seen += (its.seen_mm2 or NOTHING) * times
                touched += (its.touched_mm2 or NOTHING) * times
                checked += (its.wall_mm2 or NOTHING) * times * proof
                lumens[code, plan.item, its.lumen] = its, proof
    return Sums(seen_mm2=seen, touched_mm2=touched, checked_mm2=checked, lumens=lumens)


def opened(before: Sums, after: Sums) -> set[tuple[str, str, str]]:
    """The lumens of which more is seen or touched, or that something checks for the first time."""
    out = set()
    for key, (was, proven) in before.lumens.items():
        its, proof = after.lumens[key]
        more = (its.seen_mm2 or 0) > (was.seen_mm2 or 0) or (its.touched_mm2 or 0) > (was.touched_mm2 or 0)
        if more or (proof and not proven):
            out.add(key)
    return out
