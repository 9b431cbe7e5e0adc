"""What happens to a whole tray besides its count: handed over, loads, loaner, weight, rush, label, hold shelf."""

from dataclasses import dataclass

from kiosk.core.events.shipped import Shipped


@dataclass(frozen=True, slots=True, kw_only=True)
class HandedOver:
    """The open tray goes to another person, who goes on under their own name. `to`: that person."""

    to: str


@dataclass(frozen=True, slots=True, kw_only=True)
class TraySplit:
    """A supervisor split a set that is too heavy in so many parts; each is weighed and labeled by itself."""

    parts: int


TraysEvent = HandedOver | TraySplit

SHIPPED: dict[str, Shipped] = {
    "handed_over": Shipped(1, HandedOver, "info"),
    "tray_split": Shipped(1, TraySplit, "clear"),
}
