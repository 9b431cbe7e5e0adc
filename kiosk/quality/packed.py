"""How often each piece of the catalogue is packed in a week: what weighs a lumen in the not-seen list and kit study."""

from collections.abc import Mapping
from dataclasses import dataclass
from decimal import Decimal

from kiosk.core.catalogue import Catalogue, Item

ONCE = Decimal(1)


class PackingFault(ValueError):
    """Packing figures that cannot be used; the message is one sentence naming the code."""


@dataclass(frozen=True, slots=True, kw_only=True)
class PackedItem:
    """An item record in its tray, and how many of its pieces are packed in a week: times a week x pieces in the tray.

    `tray` is empty for a spare, which has no tray of its own.
    """

    tray: str
    item: Item
    a_week: Decimal


@dataclass(frozen=True, slots=True, kw_only=True)
class Packed:
    """Everything that is packed. `counted_once`: codes of trays without a figure, each weighed as once a week."""

    items: tuple[PackedItem, ...]
    counted_once: tuple[str, ...]
    trays: int

    @property
    def words(self) -> str:
        """What the weights rest on, in one sentence."""
        if not self.counted_once:
            return "Weighed by how often each tray was packed."
        if len(self.counted_once) == self.trays:
            return "No packing figures: every tray counts as packed once a week."
        return f"No packing figure, so counted as packed once a week: {', '.join(self.counted_once)}."


def packed(catalogue: Catalogue, times_a_week: Mapping[str, Decimal] | None = None) -> Packed:
    """Every item of every tray with its weight. `times_a_week`: by code of an item or of a tray, the item's own first.

    A tray without a figure counts once; a spare counts only with a figure of its own. Raises PackingFault for a code
    that is not in the catalogue and for a figure below zero.
    """
    given = dict(times_a_week or {})
    items = [item.id for tray in catalogue.trays.values() for item in tray.items]
    for code, figure in given.items():
        if code not in catalogue.trays and code not in catalogue.spares and code not in items:
            raise PackingFault(f"packing figures: {code} is neither a tray nor an item of this catalogue")
        if not Decimal(figure).is_finite() or figure < 0:
            raise PackingFault(f"packing figures: {code} cannot be packed {figure} times a week")
    out, once = [], []
    for tray in catalogue.trays.values():
        if tray.code not in given and any(item.id not in given for item in tray.items):
            once.append(tray.code)
        for item in tray.items:
            times = given.get(item.id, given.get(tray.code, ONCE))
            out.append(PackedItem(tray=tray.code, item=item, a_week=Decimal(times) * item.qty))
    spares = [spare for spare in catalogue.spares.values() if spare.id in given]
    out += [PackedItem(tray="", item=spare, a_week=Decimal(given[spare.id])) for spare in spares]
    return Packed(items=tuple(out), counted_once=tuple(once), trays=sum(1 for t in catalogue.trays.values() if t.items))
