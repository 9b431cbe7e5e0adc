"""Lumens, kits and policies by chance, for properties of the plan."""

from decimal import Decimal

from hypothesis import strategies as st

from kiosk.core.catalogue import Kit, Lumen, Scope, Swabs
from kiosk.core.policy import Policy
from kiosk.core.vocabulary import Check, Feature, Opening
from tests.lumen.bench import default_policy, resource, tube

_METHODS = [str(method) for method in resource("policy.yaml")["clean_methods"]]
_EDGES = {name: Decimal(str(edge)) for name, edge in resource("policy.yaml")["size_edges_mm"].items()}


def bores(most: int = 15) -> st.SearchStrategy[Decimal]:
    return st.decimals(min_value="0.3", max_value=most, places=1)


def lengths(most: int = 1200) -> st.SearchStrategy[Decimal]:
    return st.integers(5, most).map(Decimal)


@st.composite
def lumens(draw: st.DrawFn, name: str = "bore") -> Lumen:
    opening = draw(st.sampled_from(Opening))
    shapes = draw(st.sets(st.sampled_from(sorted(set(Feature) - {Feature.BLIND})), max_size=3))
    if opening is Opening.ONE and draw(st.booleans()):
        shapes.add(Feature.BLIND)
    forbid = draw(st.sets(st.sampled_from([Check.LIGHT, Check.SWAB, Check.SCOPE, Check.AIR, Check.HOLES]), max_size=2))
    air = draw(st.none() | st.just(100))
    return tube(str(draw(bores())), str(draw(lengths())), *shapes, open=opening, air=air, forbid=forbid, name=name)


def scopes(name: str) -> st.SearchStrategy[Scope]:
    return st.builds(Scope, id=st.just(name), od_mm=bores(6), reach_mm=lengths(700), bends=st.booleans())


@st.composite
def kits(draw: st.DrawFn) -> Kit:
    count = draw(st.integers(0, 3))
    heads = tuple(sorted(draw(st.sets(bores(14), min_size=1, max_size=8))))
    swabs = st.builds(Swabs, heads_mm=st.just(heads), reach_mm=lengths(700), max_over=st.just(Decimal("1.5")))
    return Kit(
        scopes=tuple(draw(scopes(f"SC-{n}")) for n in range(count)),
        swabs=draw(st.none() | swabs),
        air_station=draw(st.booleans()),
    )


@st.composite
def policies(draw: st.DrawFn, *, scale: Decimal = Decimal(1), edge_scale: Decimal = Decimal(1)) -> Policy:
    away = draw(st.sets(st.sampled_from(["swab", "scope", "air", "light"]), max_size=1))
    return default_policy(
        verify_where=draw(st.sampled_from(["clean", "clean", "both", "dirty"])),
        clean_methods=[method for method in [*_METHODS, *draw(st.sampled_from([[], ["water"]]))] if method not in away],
        scope_not_fit=draw(st.permutations(["air", "mark_not_seen"])),
        part_not_seen=draw(st.sampled_from(["mark", "hold"])),
        overlap_mm=Decimal(20) * scale,
        size_edges_mm={name: edge * edge_scale for name, edge in _EDGES.items()},
    )
