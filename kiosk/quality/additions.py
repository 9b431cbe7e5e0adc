"""What could be added to a bench's kit, or confirmed in a record, to see, touch or check more of the inner wall."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace
from decimal import Decimal

from kiosk.core.catalogue import Kit, Lumen, Mm, Offer, Scope, Swabs
from kiosk.core.vocabulary import Feature
from kiosk.lumen.geometry import at_least_one_decimal, plain

MAX_OVER = Decimal("1.5")
"""How many times the bore a head may be at a bench that has no swabs yet: a choice, that of resources/kit.yaml."""

SOME_KPA = 1
"""Stands for the pressure that an IFU would give; how high it is changes no plan. Nobody is ever shown it."""


@dataclass(frozen=True, slots=True, kw_only=True)
class MoreScope:
    """A scope of at most `od_mm`, that reaches at least `reach_mm`. Records keep no bend radius: bends, or does not."""

    od_mm: Mm
    reach_mm: Mm
    bends: bool

    @property
    def words(self) -> str:
        bends = " and bends" if self.bends else ", straight or not"
        return f"a scope of at most {at_least_one_decimal(self.od_mm)} mm that reaches {plain(self.reach_mm)} mm{bends}"


@dataclass(frozen=True, slots=True, kw_only=True)
class MoreHead:
    """A swab head of `head_mm` on the bench's stem. `stem_mm`: the stem it needs at a bench that has no swabs yet."""

    head_mm: Mm
    stem_mm: Mm | None = None

    @property
    def words(self) -> str:
        stem = "" if self.stem_mm is None else f" on a stem of {plain(self.stem_mm)} mm"
        return f"a swab head of {at_least_one_decimal(self.head_mm)} mm{stem}"


@dataclass(frozen=True, slots=True, kw_only=True)
class LongerStem:
    """The bench's swabs, every head, on a stem of `reach_mm`."""

    reach_mm: Mm

    @property
    def words(self) -> str:
        return f"swabs on a stem of {plain(self.reach_mm)} mm"


@dataclass(frozen=True, slots=True, kw_only=True)
class AirPressure:
    """The IFU's air pressure of one item, confirmed and put in its record."""

    item: str
    name: str

    @property
    def words(self) -> str:
        return f"the IFU's air pressure for {self.item} ({self.name}) in its record"


Addition = MoreScope | MoreHead | LongerStem | AirPressure


def with_additions(kit: Kit, additions: Iterable[Addition]) -> Kit:
    """The kit with the additions in it, last in the bench's order of preference. An air pressure is no kit."""
    for n, each in enumerate(additions):
        match each:
            case MoreScope():
                scope = Scope(id=f"new scope {n}", od_mm=each.od_mm, reach_mm=each.reach_mm, bends=each.bends)
                kit = replace(kit, scopes=(*kit.scopes, scope))
            case MoreHead():
                had = kit.swabs or Swabs(heads_mm=(), reach_mm=each.stem_mm or Mm(0), max_over=MAX_OVER)
                reach = max(had.reach_mm, each.stem_mm or Mm(0))
                kit = replace(kit, swabs=replace(had, heads_mm=(*had.heads_mm, each.head_mm), reach_mm=reach))
            case LongerStem():
                if kit.swabs is not None:
                    kit = replace(kit, swabs=replace(kit.swabs, reach_mm=max(kit.swabs.reach_mm, each.reach_mm)))
            case AirPressure():
                pass
    return kit


def with_pressure(lumen: Lumen, item: str, additions: Iterable[Addition]) -> Lumen:
    """The lumen of an item with a pressure in its record, where one of the additions confirms it."""
    confirmed = any(isinstance(each, AirPressure) and each.item == item for each in additions)
    return replace(lumen, air_kpa=SOME_KPA) if confirmed and lumen.air_kpa is None else lumen


def may_change(addition: Addition, lumen: Lumen, item: str, kit: Kit, fit_ratio: Decimal) -> bool:
    """May an addition change the plan of a lumen, whatever else is added? False is certain; True may turn out not so.

    Tools that do not go in, and a stem where the bench's own reaches already, change nothing: the plan never names
    what does not fit, but in the words of a reason.
    """
    inside, length = lumen.inside_mm, lumen.length_mm
    if isinstance(addition, AirPressure):
        return addition.item == item and lumen.air_kpa is None
    if inside is None or length is None:
        return False
    match addition:
        case MoreScope():
            return addition.od_mm <= fit_ratio * inside and (addition.bends or Feature.CURVED not in lumen.features)
        case MoreHead():
            return inside <= addition.head_mm <= (kit.swabs.max_over if kit.swabs else MAX_OVER) * inside
        case LongerStem():
            return kit.swabs is not None and length > kit.swabs.reach_mm


def asks_no_more(less: Addition, more: Addition) -> bool:
    """Does every tool that answers `more` answer `less` too? Then `less` is never worth more than `more`."""
    match less, more:
        case MoreScope(), MoreScope():
            return less.od_mm >= more.od_mm and less.reach_mm <= more.reach_mm and less.bends <= more.bends
        case LongerStem(), LongerStem():
            return less.reach_mm <= more.reach_mm
    return less == more


def offered(kit: Kit) -> dict[Addition, Decimal]:
    """What the kit file names a price for, each the cheapest of its size. A head without a stem needs a bench's own."""
    prices: dict[Addition, Decimal] = {}
    for offer in kit.offers:
        addition = _offered(kit, offer)
        if addition is not None:
            prices[addition] = min(offer.price, prices.get(addition, offer.price))
    return prices


def _offered(kit: Kit, offer: Offer) -> Addition | None:
    if offer.kind == "scope" and offer.od_mm is not None and offer.reach_mm is not None:
        return MoreScope(od_mm=offer.od_mm, reach_mm=offer.reach_mm, bends=offer.bends)
    if offer.kind == "head" and offer.head_mm is not None and (kit.swabs or offer.reach_mm is not None):
        return MoreHead(head_mm=offer.head_mm, stem_mm=None if kit.swabs else offer.reach_mm)
    return LongerStem(reach_mm=offer.reach_mm) if offer.kind == "stem" and offer.reach_mm is not None else None


def price_of(additions: Iterable[Addition], prices: Mapping[Addition, Decimal]) -> Decimal | None:
    """The price of all additions together; None: one of them has none."""
    found = [prices.get(each) for each in additions]
    known = [price for price in found if price is not None]
    return sum(known, Decimal(0)) if len(known) == len(found) else None
