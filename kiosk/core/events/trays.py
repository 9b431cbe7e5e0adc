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


@dataclass(frozen=True, slots=True, kw_only=True)
class ImplantUsed:
    """Of a line of implants so many were used in surgery, and so many put back in. Nothing of it is missing."""

    line: str
    used: int
    refilled: int


@dataclass(frozen=True, slots=True, kw_only=True)
class SecondLineCounted:
    """The second person's own number for a line, given without seeing the first one's."""

    line: str
    have: int


@dataclass(frozen=True, slots=True, kw_only=True)
class SecondCounted:
    """The second person's count is done. `differs`: lines where the two counts are not the same; both count again."""

    differs: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class IfuFiled:
    """A supervisor recorded that the maker's instructions for this set are on file now."""


@dataclass(frozen=True, slots=True, kw_only=True)
class LoanerReturned:
    """The vendor's set goes home: cleaned and counted. The trip ends."""


@dataclass(frozen=True, slots=True, kw_only=True)
class LoadAdded:
    """A further washer load brought pieces of this tray."""

    load: str


@dataclass(frozen=True, slots=True, kw_only=True)
class RackTaken:
    """The load of a rack, scanned once for the trays that follow."""

    load: str


@dataclass(frozen=True, slots=True, kw_only=True)
class LoadWithdrawn:
    """A load was found bad after its release. `why`: indicator, printout, machine, other. `over`: as LoadReleased."""

    load: str
    why: str
    over: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class LoadAlerted:
    """So many soiled pieces of one load in one shift, at all benches together, as policy's alert asks."""

    load: str
    pieces: int


@dataclass(frozen=True, slots=True, kw_only=True)
class LoadAlertTold:
    """The load's alert was shown at this bench, once."""

    load: str


@dataclass(frozen=True, slots=True, kw_only=True)
class OldLabelDestroyed:
    """The label of this void number is destroyed."""

    number: str


@dataclass(frozen=True, slots=True, kw_only=True)
class PackageFetched:
    """A package of a load that was found bad is here; it goes back whole."""

    number: str


@dataclass(frozen=True, slots=True, kw_only=True)
class TrayTakenOver:
    """A tray that was open at another station goes on here, on a trip of its own; that one's `trip` ends there."""

    station: str
    trip: str


@dataclass(frozen=True, slots=True, kw_only=True)
class GoneOver:
    """The trip ends here: another station took the tray over."""


@dataclass(frozen=True, slots=True, kw_only=True)
class SameLabelTold:
    """Two trays carry this label: both wait until one has a tag of its own. `over`: as LoadReleased."""

    tray: str
    over: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Retagged:
    """One of the two trays with the same label has a tag of its own now. `over`: as LoadReleased.

    `trip`: the one whose tray it is, where it was open; the other keeps the label.
    """

    tray: str
    over: tuple[str, ...] = ()
    trip: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class TagChanged:
    """The trip ends here: its tray wore another's tag, and goes on under its own."""

    tray: str


@dataclass(frozen=True, slots=True, kw_only=True)
class RushMarked:
    """A tray is wanted by a clock time. It changes the order, and drops nothing."""

    tray: str
    by: str


@dataclass(frozen=True, slots=True, kw_only=True)
class NotBefore:
    """What may be said on the phone about a tray that is wanted: not before this time."""

    tray: str
    at: str


TraysEvent = (
    TrayTakenOver | GoneOver | SameLabelTold | Retagged | TagChanged | RushMarked | NotBefore |
    OldLabelDestroyed | PackageFetched |
    LoadAdded | RackTaken | LoadWithdrawn | LoadAlerted | LoadAlertTold |
    HandedOver | TraySplit | ImplantUsed | SecondLineCounted | SecondCounted | IfuFiled | LoanerReturned
)  # fmt: skip

SHIPPED: dict[str, Shipped] = {
    "handed_over": Shipped(1, HandedOver, "info"),
    "tray_split": Shipped(1, TraySplit, "clear"),
    "implant_used": Shipped(1, ImplantUsed, "info"),
    "second_line_counted": Shipped(1, SecondLineCounted, "info"),
    "second_counted": Shipped(1, SecondCounted, "hold"),
    "ifu_filed": Shipped(1, IfuFiled, "clear"),
    "old_label_destroyed": Shipped(1, OldLabelDestroyed, "info"),
    "package_fetched": Shipped(1, PackageFetched, "info"),
    "tray_taken_over": Shipped(1, TrayTakenOver, "info"),
    "gone_over": Shipped(1, GoneOver, "info"),
    "same_label": Shipped(1, SameLabelTold, "hold"),
    "tag_changed": Shipped(1, TagChanged, "hold"),
    "retagged": Shipped(1, Retagged, "clear"),
    "rush_marked": Shipped(1, RushMarked, "info"),
    "not_before": Shipped(1, NotBefore, "info"),
    "load_added": Shipped(1, LoadAdded, "info"),
    "rack_taken": Shipped(1, RackTaken, "info"),
    "load_withdrawn": Shipped(1, LoadWithdrawn, "hold"),
    "load_alerted": Shipped(1, LoadAlerted, "info"),
    "load_alert_told": Shipped(1, LoadAlertTold, "info"),
    "loaner_returned": Shipped(1, LoanerReturned, "info"),
}
