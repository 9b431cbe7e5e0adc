"""The kit between the pieces: scopes, swab lots, gauges, testers."""

from dataclasses import dataclass

from kiosk.core.events.shipped import Shipped


@dataclass(frozen=True, slots=True, kw_only=True)
class SwabLotOpened:
    """A new box of swabs was opened; its lot is in use from here on."""

    lot: str


KitEvent = SwabLotOpened

SHIPPED: dict[str, Shipped] = {
    "swab_lot_opened": Shipped(1, SwabLotOpened, "info"),
}
