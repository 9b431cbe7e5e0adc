"""What the plan of checks never sees of the inner walls, and what more kit would open: plain data. Pure.

It rests on the plan, that is, on what can be seen with a station's kit. What was seen is told by the log.
"""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from decimal import Decimal
from typing import Literal, Protocol

from kiosk.core.catalogue import Catalogue, Mm
from kiosk.core.policy import Policy
from kiosk.core.state.bench import Bench
from kiosk.core.vocabulary import Check

_NOTHING = Decimal(0)


@dataclass(frozen=True, slots=True, kw_only=True)
class WallShare:
    """Inner wall in mm2 a week, seen and touched, of one kind of item (`type`; empty: of all).

    `unknown`: lumens whose size is not known. They have no wall area and are not in the shares.
    """

    type: str
    pieces: Decimal  # packed in a week
    wall_mm2: Decimal
    seen_mm2: Decimal
    touched_mm2: Decimal
    unknown: int = 0

    @property
    def seen(self) -> Decimal | None:
        """Share of the wall that the plan can see, from 0 to 1; None: no wall area is known or none is packed."""
        return self.seen_mm2 / self.wall_mm2 if self.wall_mm2 else None

    @property
    def touched(self) -> Decimal | None:
        """Share of the wall that the plan can touch, from 0 to 1; None as for `seen`."""
        return self.touched_mm2 / self.wall_mm2 if self.wall_mm2 else None

    @property
    def unseen_mm2(self) -> Decimal:
        """Wall a week that the plan can not see."""
        return self.wall_mm2 - self.seen_mm2

    @property
    def untouched_mm2(self) -> Decimal:
        """Wall a week that the plan can not touch."""
        return self.wall_mm2 - self.touched_mm2


@dataclass(frozen=True, slots=True, kw_only=True)
class NotSeen:
    """One lumen not seen, or not all of it. Areas in mm2 are those of one piece; None: the size is not known."""

    tray: str
    item: str
    name: str
    type: str
    lumen: str
    pieces: Decimal  # packed in a week
    wall_mm2: Decimal | None
    unseen_mm2: Decimal | None
    untouched_mm2: Decimal | None
    not_seen_mm: Mm | None  # as the plan tells it; None: not known, or not claimed on this side
    hold: str | None
    because: tuple[tuple[Check, str], ...]  # the plan's own words, by check

    @property
    def unseen_a_week_mm2(self) -> Decimal:
        """Wall area a week that nobody sees; nothing where the size is not known."""
        return (self.unseen_mm2 or _NOTHING) * self.pieces

    @property
    def key(self) -> str:
        """`TR-1/A1/bore`; the tray is empty for a spare."""
        return f"{self.tray}/{self.item}/{self.lumen}"


@dataclass(frozen=True, slots=True, kw_only=True)
class NeverSeen:
    """Shares by kind of item, the least seen first; of all; and the not-seen list, the most wall a week first.

    Lumens of unknown size stand at the end of the list. `weighed` says in words what the weights rest on.
    """

    by_type: tuple[WallShare, ...]
    whole: WallShare
    not_seen: tuple[NotSeen, ...]
    weighed: str


@dataclass(frozen=True, slots=True, kw_only=True)
class KitPart:
    """One thing that could be added. Sizes in mm, as far as its kind has them.

    scope: `at_most_mm` thick, `reach_mm`, `bends`. head: of `size_mm`, up to `at_most_mm` will do, `reach_mm` of the
    stem at a bench that has no swabs yet. stem: `reach_mm`. pressure: that of `item`, called `name`, in its record.
    """

    kind: Literal["scope", "head", "stem", "pressure"]
    size_mm: Mm | None = None
    at_most_mm: Mm | None = None
    reach_mm: Mm | None = None
    bends: bool = False
    item: str = ""
    name: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class KitGain:
    """What one part, or two together, would open. Areas in mm2 of inner wall a week, newly seen and newly touched.

    `checked_mm2`: wall of lumens of which nothing asked now says whether they are clear, and something then would.
    `holds`, `frees`: lumens that would begin, or cease, to hold their tray. `shorter`: how many more of the list differ
    in reach alone and open less.
    """

    parts: tuple[KitPart, ...]
    seen_mm2: Decimal
    touched_mm2: Decimal
    checked_mm2: Decimal
    lumens: int
    types: int
    holds: int = 0
    frees: int = 0
    shorter: int = 0
    price: Decimal | None = None  # of all parts together; None: one of them has none

    @property
    def area_mm2(self) -> Decimal:
        """What the ranking goes by: a mm2 newly seen and a mm2 newly touched count the same (a choice)."""
        return self.seen_mm2 + self.touched_mm2

    @property
    def per_price_mm2(self) -> Decimal | None:
        """Area for each unit of price; None: no price is known."""
        return self.area_mm2 / self.price if self.price else None


@dataclass(frozen=True, slots=True, kw_only=True)
class KitChanges:
    """The ranked lists, best first, of parts that differ in reach alone the best. Areas in mm2 a week.

    `beyond_*`: what no scope and no swab would open. `cut`: bounds left sizes or pairs out, a better one is possible.
    `currency`: in which prices are named; "": none is.
    """

    singles: tuple[KitGain, ...]
    pairs: tuple[KitGain, ...]
    unseen_mm2: Decimal
    untouched_mm2: Decimal
    beyond_seen_mm2: Decimal
    beyond_touched_mm2: Decimal
    cut: bool = False
    currency: str = ""

    @property
    def ranked(self) -> tuple[KitGain, ...]:
        """Single parts and pairs in one list, the most area first; of equals the single part."""
        return tuple(
            sorted((*self.singles, *self.pairs), key=lambda gain: (-gain.area_mm2, -gain.checked_mm2, len(gain.parts)))
        )

    @property
    def for_the_price(self) -> tuple[KitGain, ...]:
        """Single parts and pairs that have a price and see or touch something, the most area for each unit first."""
        priced = [gain for gain in self.ranked if gain.per_price_mm2]
        return tuple(sorted(priced, key=lambda gain: -(gain.per_price_mm2 or _NOTHING)))


class Unseen(Protocol):
    """What can be told of walls that nobody sees. `a_week`: times a week a tray is packed; None: every tray once."""

    def packed_a_week(
        self, benches: Iterable[Bench], catalogue: Catalogue, now_ms: int
    ) -> Mapping[str, Decimal] | None:
        """How often each tray is packed, from the packages that the stations know; None: none knows a whole week."""
        ...

    def walls(self, catalogue: Catalogue, policy: Policy, a_week: Mapping[str, Decimal] | None) -> NeverSeen:
        """The shares and the not-seen list with the kit of the catalogue."""
        ...

    def changes(self, catalogue: Catalogue, policy: Policy, a_week: Mapping[str, Decimal] | None) -> KitChanges:
        """What could be added to the kit of the catalogue, one part alone and every two."""
        ...

    def changes_soon(
        self, catalogue: Catalogue, policy: Policy, a_week: Mapping[str, Decimal] | None
    ) -> KitChanges | None:
        """The same without waiting long for it; None: it is still being reckoned, and the page is told when it is."""
        ...
