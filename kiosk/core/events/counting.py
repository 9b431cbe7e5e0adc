"""What the count and the tray itself bring: missing, extra, mixed, short, opened again, loaner, load found bad."""

from dataclasses import dataclass

from kiosk.core.events.shipped import Shipped


@dataclass(frozen=True, slots=True, kw_only=True)
class Searched:
    """These places were searched for what is missing. `found`: where it was, or ""."""

    line: str
    places: tuple[str, ...]
    found: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class PackedShort:
    """The tray is packed under this package number (`parts`: numbers of a split set) without `short` pieces."""

    number: str
    short: int
    parts: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class TrayReopened:
    """A packed tray is open again, on the same trip: it is packed no more, and is counted again.

    `package`: the number that stood on it; its `label_voided` follows. `why`: mixed, or the page's own word.
    """

    package: str
    why: str
    reason: str = ""  # of a wet one: heavy, cool, dense, hot or unknown


CountingEvent = Searched | PackedShort | TrayReopened

SHIPPED: dict[str, Shipped] = {
    "searched": Shipped(1, Searched, "info"),
    "packed_short": Shipped(1, PackedShort, "hold"),
    "tray_reopened": Shipped(1, TrayReopened, "hold"),
}
