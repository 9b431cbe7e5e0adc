"""The kit between the pieces: scopes, swab lots, gauges, testers."""

from dataclasses import dataclass

from kiosk.core.events.shipped import Shipped


@dataclass(frozen=True, slots=True, kw_only=True)
class SwabLotOpened:
    """A new box of swabs was opened; its lot is in use from here on."""

    lot: str


@dataclass(frozen=True, slots=True, kw_only=True)
class SwabLotSetAside:
    """A supervisor set a lot of swabs aside: it is used no more, and its earlier uses are looked back at."""

    lot: str


@dataclass(frozen=True, slots=True, kw_only=True)
class ScopeNotCleaned:
    """The scope went on to another piece without a cleaning, for this reason: a gap, and seen as one."""

    scope: str
    reason: str


@dataclass(frozen=True, slots=True, kw_only=True)
class ScopeSent:
    """The scope went to decontam with its own ticket; `why` is the finding that took it out of use."""

    scope: str
    why: str


@dataclass(frozen=True, slots=True, kw_only=True)
class ScopeReturned:
    """The scope is back from reprocessing, with this washer load, or "" where its IFU names none."""

    scope: str
    load: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class AirGaugeRead:
    """The air gauge's daily reading in kPa, as typed, and whether it lay in the range of the policy then."""

    kpa: str
    ok: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class PicturesCleared:
    """The disk was full: so many pictures that belong to no finding made room, oldest first. No record went."""

    count: int


KitEvent = (
    PicturesCleared | SwabLotOpened | SwabLotSetAside | ScopeNotCleaned | ScopeSent | ScopeReturned | AirGaugeRead
)

SHIPPED: dict[str, Shipped] = {
    "swab_lot_opened": Shipped(1, SwabLotOpened, "info"),
    "swab_lot_set_aside": Shipped(1, SwabLotSetAside, "hold"),
    "scope_not_cleaned": Shipped(1, ScopeNotCleaned, "hold"),
    "scope_sent": Shipped(1, ScopeSent, "hold"),
    "scope_returned": Shipped(1, ScopeReturned, "info"),
    "pictures_cleared": Shipped(1, PicturesCleared, "info"),
    "air_gauge_read": Shipped(1, AirGaugeRead, "info"),
}
