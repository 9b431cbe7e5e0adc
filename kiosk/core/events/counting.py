"""What the count and the tray itself bring: missing, extra, mixed, short, opened again, loaner, load found bad."""

from dataclasses import dataclass

from kiosk.core.events.shipped import Shipped


@dataclass(frozen=True, slots=True, kw_only=True)
class Searched:
    """These places were searched for what is missing. `found`: where it was, or ""."""

    line: str
    places: tuple[str, ...]
    found: str = ""


CountingEvent = Searched

SHIPPED: dict[str, Shipped] = {
    "searched": Shipped(1, Searched, "info"),
}
