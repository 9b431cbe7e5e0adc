"""What the department owns: trays, items, lumens, kit, people, washer loads. Frozen records, no rules."""

from dataclasses import dataclass, field
from decimal import Decimal
from typing import Literal

from kiosk.core.vocabulary import Check, Feature, Learnt, Opening, Role

Mm = Decimal
"""Millimeters. Decimal, so that 0.9 x 1.2 mm is 1.08 mm and a fit at the very edge is decided alike everywhere."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Landmark:
    """A named place on an item ("window teeth, inner tube"). `at_mm` counts from the entry; None: words only."""

    name: str
    at_mm: Mm | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Lumen:
    """One way through an item. Every branch, tap and socket is a lumen of its own."""

    name: str
    inside_mm: Mm | None  # narrowest clear inside diameter; None: not known
    length_mm: Mm | None
    open: Opening = Opening.BOTH
    features: frozenset[Feature] = frozenset()
    air_kpa: int | None = None  # greatest pressure the IFU allows; None: no air step
    forbid: frozenset[Check] = frozenset()  # checks the device IFU forbids
    learnt: Learnt = Learnt.IFU
    landmarks: tuple[Landmark, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Item:
    """A lumened item record. `version` grows with each correction; a trip keeps the one it began with."""

    id: str
    name: str
    type: str  # code from resources/item_types.yaml
    lumens: tuple[Lumen, ...]
    qty: int = 1  # pieces of this item in the tray
    takes_apart: bool = False
    insulated: bool = False
    function: tuple[str, ...] = ()  # names of function tests
    own_mark: bool = False  # does each piece carry a mark of its own?
    marks: tuple[str, ...] = ()  # the marks of its pieces, where the record knows them: SH-0031, a GIAI
    use_limit: int | None = None  # uses that the IFU allows; None: no limit
    uses: int = 0  # uses before this tool counted them
    power: bool = False  # a power tool: battery seated and blade off before it runs
    test_material: str = ""  # what it must cut, as the record names it
    volts: str = ""  # the insulation tester's setting by the IFU, as a word
    lubricate: bool = False  # the joint is lubricated by the IFU before it is tested
    landmarks: tuple[Landmark, ...] = ()  # for checks of the whole piece
    version: int = 1


@dataclass(frozen=True, slots=True, kw_only=True)
class CountLine:
    """One line of the count sheet for pieces without a lumen, or for a lumened item (`item` then names it).

    `vital`: the set is named after it, so it is never packed without. `small`: a needle or small part that may be in a
    patient; missing, it is urgent.
    """

    name: str
    want: int
    item: str | None = None
    lubricate: bool = True  # False: no lubricant, ever: eye items, or the IFU says so
    vital: bool = False
    small: bool = False
    implant: bool = False  # counted by size; what was used in surgery is refilled, and is not missing


@dataclass(frozen=True, slots=True, kw_only=True)
class Loaner:
    """What is known of a vendor's set: tray `part` of `of`, when it came and who took it in, as written in the list."""

    vendor: str = ""
    part: int = 0
    of: int = 0
    ifu_on_file: bool = False
    received: str = ""
    received_by: str = ""
    complexity: str = ""
    returning: bool = False  # it was used, and goes home after this passage


@dataclass(frozen=True, slots=True, kw_only=True)
class Tray:
    """A tray's set record."""

    code: str  # TR-0417
    name: str
    items: tuple[Item, ...] = ()
    lines: tuple[CountLine, ...] = ()
    version: int = 1
    weight_needed: bool = False
    weight_max_lb: Decimal | None = None  # the set's own limit, lower than policy's; pounds as stored
    packaging: tuple[str, ...] = ("wrap", "container")  # kinds the set record allows: wrap, container, pouch
    indicators: int = 1
    cycle: str = "steam"  # cycle family named by the set record: steam or low_temperature
    container_note: str = ""
    assembly: str = ""  # what the finished tray looks like, as the set record says; "" is not asked
    loaner: Loaner | None = None

    @property
    def weighed(self) -> bool:
        """Is the packed set weighed? A loaner always is: nobody here knows its weight."""
        return self.weight_needed or self.loaner is not None

    @property
    def implants(self) -> tuple[CountLine, ...]:
        """The lines of implants."""
        return tuple(line for line in self.lines if line.implant)


@dataclass(frozen=True, slots=True, kw_only=True)
class Scope:
    """A borescope of the bench."""

    id: str  # SC-1
    od_mm: Mm
    reach_mm: Mm
    bends: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class Swabs:
    """The bench's swab sizes."""

    heads_mm: tuple[Mm, ...]
    reach_mm: Mm
    max_over: Decimal  # head at most this many times the bore


@dataclass(frozen=True, slots=True, kw_only=True)
class Offer:
    """What could be bought, at the price that the department was told. Only the kit study reads it: no bench has it.

    scope: `od_mm`, `reach_mm`, `bends`. head: `head_mm`, and the `reach_mm` of its stem for a bench that has no swabs.
    stem: `reach_mm`, for every head of the bench.
    """

    id: str
    kind: Literal["scope", "head", "stem"]
    price: Decimal  # above 0
    currency: str  # as the department writes it; one for the whole kit
    od_mm: Mm | None = None
    head_mm: Mm | None = None
    reach_mm: Mm | None = None
    bends: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Kit:
    """What the bench has to check with. Scopes stand in the bench's order of preference."""

    scopes: tuple[Scope, ...] = ()
    swabs: Swabs | None = None
    air_station: bool = False
    gauge_pins: bool = False
    offers: tuple[Offer, ...] = ()  # prices for the kit study; nothing of it is at the bench


@dataclass(frozen=True, slots=True, kw_only=True)
class Person:
    """Somebody who signs in. `pin_hash` is what `kiosk.pins` makes; the PIN itself is nowhere."""

    id: str
    name: str
    role: Role
    badge: str = ""
    pin_hash: str = ""
    disabled: bool = False  # may not sign in; the name stays known
    day_badge: str = ""  # lent for a day in place of a badge that was forgotten


@dataclass(frozen=True, slots=True, kw_only=True)
class Load:
    """A washer load: released by a person, or not (yet), or withdrawn."""

    id: str  # W-2201
    released: bool
    trays: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Catalogue:
    """Everything a bench may look up, by code."""

    trays: dict[str, Tray] = field(default_factory=dict)
    spares: dict[str, Item] = field(default_factory=dict)
    people: dict[str, Person] = field(default_factory=dict)
    loads: dict[str, Load] = field(default_factory=dict)
    kit: Kit = Kit()
    version: int = 1
