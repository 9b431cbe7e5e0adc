"""What happens to the log itself, and to the program that writes it: a new origin, a backup, a supervisor leaves it."""

from dataclasses import dataclass

from kiosk.core.events.shipped import Shipped


@dataclass(frozen=True, slots=True, kw_only=True)
class IncarnationBegan:
    """The log goes on from here under a new origin. `why`: restored, copied, fork. `key`: its public one, in hex.

    `was`, `after`: the origin before, and the last number that is of it. Where that is not the number before this
    event, the events between are told again: the same ones, under the new origin.
    """

    origin: str
    was: str
    after: int
    why: str
    key: str


@dataclass(frozen=True, slots=True, kw_only=True)
class IncarnationSeen:
    """A supervisor has read that the log goes on under this origin."""

    origin: str


@dataclass(frozen=True, slots=True, kw_only=True)
class BackedUp:
    """A backup of the log up to event `seq` was written and holds."""

    file: str
    seq: int


@dataclass(frozen=True, slots=True, kw_only=True)
class NotKnown:
    """An event of a newer program, of which this one knows only what it means: `cls`. It is read, never written."""

    typ: str
    cls: str


@dataclass(frozen=True, slots=True, kw_only=True)
class StationLeft:
    """A supervisor left the bench. `to`: `close` the program, or `set_up` the station again."""

    to: str


@dataclass(frozen=True, slots=True, kw_only=True)
class PicturesDropped:
    """These pictures are dropped from this station's folder, as policy says: `why` days or room. The records stay.

    Kept before the files go, so that a cut of power between the two leaves a file too many, and no hole unsaid.
    """

    files: tuple[str, ...]
    why: str


KeepingEvent = IncarnationBegan | IncarnationSeen | BackedUp | PicturesDropped | NotKnown | StationLeft

SHIPPED: dict[str, Shipped] = {
    "incarnation_began": Shipped(1, IncarnationBegan, "info"),
    "incarnation_seen": Shipped(1, IncarnationSeen, "info"),
    "backed_up": Shipped(1, BackedUp, "info"),
    "station_left": Shipped(1, StationLeft, "info"),
    "pictures_dropped": Shipped(1, PicturesDropped, "info"),
}
