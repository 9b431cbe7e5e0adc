"""Which spares may take a piece's place."""

from kiosk.core.catalogue import Catalogue, Item
from kiosk.core.state.bench import Bench


def alike(spare: Item, out: Item) -> bool:
    """Like for like: the same kind, the same tests, and lumens of the same sizes, ends and features."""
    return _pattern(spare) == _pattern(out)


def spares_for(bench: Bench, catalogue: Catalogue, out: Item) -> tuple[Item, ...]:
    """The spares on record that are alike and lie in no tray."""
    used = {name for trip in bench.trips.values() for name in trip.pieces}
    return tuple(spare for spare in catalogue.spares.values() if alike(spare, out) and spare.id not in used)


def _pattern(item: Item) -> tuple[object, ...]:
    ways = tuple((way.inside_mm, way.length_mm, way.open, way.features) for way in item.lumens)
    return (item.type, item.takes_apart, item.insulated, item.function, ways)
