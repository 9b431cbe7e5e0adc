"""What a count that differs brings: searched, found, extra, mixed, packed short, opened again; a single-use item."""

from dataclasses import dataclass

from kiosk.core.events.shipped import Shipped


@dataclass(frozen=True, slots=True, kw_only=True)
class Searched:
    """All places that were searched so far for a line that is short. `over`: nothing more is searched now."""

    line: str
    places: tuple[str, ...]
    over: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class MissingFound:
    """One that was missing was found: where, and by whom. What comes from a soiled place goes to decontam first."""

    line: str
    where: str
    by: str


@dataclass(frozen=True, slots=True, kw_only=True)
class ExtraTold:
    """Whose the extra piece of a line may be: the tray and its station, or "" where nobody knows. It is kept here."""

    line: str
    tray: str = ""
    station: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class ExtraPut:
    """A supervisor said where the extra piece of a line goes: spares or decontam."""

    line: str
    where: str


@dataclass(frozen=True, slots=True, kw_only=True)
class MixedTrays:
    """A supervisor found that two trays were mixed: these lines of this tray, and that tray at that station.

    `holds` says what lay in the other one, in words: "Drill sleeve 3.2: 2 of 1".
    """

    tray: str
    trip: str
    station: str
    lines: tuple[str, ...]
    holds: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Exchanged:
    """The mixed pieces were exchanged under the supervisor's eyes; these lines are looked at and counted again."""

    tray: str
    lines: tuple[str, ...]


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


@dataclass(frozen=True, slots=True, kw_only=True)
class Discarded:
    """A supervisor let a single-use item be thrown away. `tag`: its note's number; `note`: the supervisor's words.

    `earlier`: the trip and day on which this line was last answered YES, or "": how long has it gone round?
    """

    tag: str
    piece: str
    n: int
    note: str
    earlier: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class OthersRuled:
    """A supervisor ruled on what was found at the tray's own looks: the look is asked again, the finding stands.

    `line`: the piece of this line was taken out of the tray, and its line is short; "" where nothing left it.
    """

    n: int
    line: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class MarkWanted:
    """A piece without a mark of its own is put on the supervisor's list of pieces to be marked."""

    piece: str


CountingEvent = (
    Searched | MissingFound | ExtraTold | ExtraPut | MixedTrays | Exchanged | PackedShort | TrayReopened | Discarded |
    OthersRuled | MarkWanted
)  # fmt: skip

SHIPPED: dict[str, Shipped] = {
    "searched": Shipped(1, Searched, "info"),
    "missing_found": Shipped(1, MissingFound, "info"),
    "extra_told": Shipped(1, ExtraTold, "hold"),
    "extra_put": Shipped(1, ExtraPut, "clear"),
    "mixed_trays": Shipped(1, MixedTrays, "hold"),
    "exchanged": Shipped(1, Exchanged, "hold"),
    "packed_short": Shipped(1, PackedShort, "hold"),
    "tray_reopened": Shipped(1, TrayReopened, "hold"),
    "discarded": Shipped(1, Discarded, "hold"),
    "others_ruled": Shipped(1, OthersRuled, "clear"),
    "mark_wanted": Shipped(1, MarkWanted, "info"),
}
