"""The tables of a catalogue and their columns, as data: what a file may hold, and what help and handbook print."""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from kiosk.core.vocabulary import Check, Feature, Learnt, Opening, Role
from kiosk.store.catalogue_cells import (
    Reader,
    code,
    inside,
    lumen_name,
    many,
    number,
    one_of,
    pin,
    pin_hash,
    text,
    whole,
    yes_no,
)


@dataclass(frozen=True, slots=True, kw_only=True)
class Column:
    """One column. `refers` names the table whose key its codes must stand in; `default` is what an empty cell means."""

    name: str
    meaning: str
    read: Reader
    needed: bool = False
    default: Any = None
    refers: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Table:
    """One table: a file `name.csv`, or a sheet `name`. No two rows agree in all columns of `key`."""

    name: str
    meaning: str
    key: tuple[str, ...]
    columns: tuple[Column, ...]


LONGEST_NAME = 40
"""The longest name of a tray, item, count line, landmark or person that screens and papers must hold."""

_name = text(LONGEST_NAME)
_mm = number("1", "2000", "mm")
_version = Column(
    name="version", meaning="number of the record's version; empty: 1", read=whole(1, 999999, "versions"), default=1
)

_LOANER = (
    Column(name="loaner_vendor", meaning="who lends the set; empty: the house's own", read=text(LONGEST_NAME),
           default=""),
    Column(name="loaner_part", meaning="which tray of the vendor's set this is, 1 to 99", read=whole(1, 99, "trays")),
    Column(name="loaner_of", meaning="how many trays the vendor's set has, 1 to 99", read=whole(1, 99, "trays")),
    Column(name="ifu_on_file", meaning="yes: the maker's instructions for the loaner are on file; empty: no",
           read=yes_no, default=False),
    Column(name="received", meaning="when the loaner came, as on the delivery note", read=text(24), default=""),
    Column(name="received_by", meaning="who took the loaner in", read=text(LONGEST_NAME), default=""),
    Column(name="complexity", meaning="what the vendor's list says of it, such as simple or complex", read=text(24),
           default=""),
    Column(name="returning", meaning="yes: the loaner was used and goes home after this passage", read=yes_no,
           default=False),
)  # fmt: skip

_TRAYS = Table(
    name="trays",
    meaning="set records",
    key=("tray",),
    columns=(
        Column(name="tray", meaning="the tray's code, as in its barcode", read=code, needed=True),
        Column(name="name", meaning="the set's name", read=_name, needed=True),
        Column(name="weight_needed", meaning="yes: the packed set is weighed", read=yes_no, default=False),
        Column(name="weight_max_lb", meaning="the set's own limit in pounds, container included",
               read=number("1", "100", "lb")),
        Column(name="packaging", meaning="kinds allowed: wrap; container; pouch. Empty: wrap; container",
               read=many(one_of(("wrap", "container", "pouch"))), default=("wrap", "container")),
        Column(name="indicators", meaning="chemical indicators inside; empty: 1",
               read=whole(0, 20, "indicators"), default=1),
        Column(name="cycle", meaning="cycle family: steam or low_temperature; empty: steam",
               read=one_of(("steam", "low_temperature")), default="steam"),
        Column(name="container_note", meaning="filter, lock or container as the set record says",
               read=text(80), default=""),
        *_LOANER,
        Column(name="assembly", meaning="what the finished tray looks like, asked last; empty: not asked",
               read=text(120), default=""),
        _version,
    ),
)  # fmt: skip

_LINES = Table(
    name="count_lines",
    meaning="lines of the count sheets",
    key=("tray", "name"),
    columns=(
        Column(name="tray", meaning="the tray the line belongs to", read=code, needed=True, refers="trays"),
        Column(name="name", meaning="what is counted", read=_name, needed=True),
        Column(name="want", meaning="how many there must be", read=whole(1, 999, "pieces"), needed=True),
        Column(name="item", meaning="the lumened item that this line counts; empty: pieces without a lumen",
               read=code, refers="items"),
        Column(name="implant", meaning="yes: implants of one size; what was used in surgery is not missing",
               read=yes_no, default=False),
        Column(name="lubricate", meaning="no: never any lubricant (eye items, or the IFU says so); empty: yes",
               read=yes_no, default=True),
    ),
)  # fmt: skip

_ITEMS = Table(
    name="items",
    meaning="items with a lumen",
    key=("item",),
    columns=(
        Column(name="item", meaning="the item record's code, used once in the whole catalogue", read=code, needed=True),
        Column(name="tray", meaning="the tray it lies in; empty: a spare in the drawer", read=code, refers="trays"),
        Column(name="name", meaning="the item's name", read=_name, needed=True),
        Column(name="type", meaning="code of the generic type, from item_types.yaml", read=text(40), needed=True),
        Column(name="qty", meaning="alike pieces in the tray; empty: 1", read=whole(1, 99, "pieces"), default=1),
        Column(name="takes_apart", meaning="yes: it is taken apart before any check", read=yes_no, default=False),
        Column(name="insulated", meaning="yes: it gets an insulation test", read=yes_no, default=False),
        Column(name="function", meaning="names of function tests, parted by semicolons",
               read=many(text(32)), default=()),
        Column(name="own_mark", meaning="yes: each piece carries a mark of its own", read=yes_no, default=False),
        Column(name="marks", meaning="the marks of its pieces, parted by semicolons", read=many(text(30)), default=()),
        Column(name="use_limit", meaning="uses that the IFU allows; empty: no limit", read=whole(1, 9999, "uses")),
        Column(name="uses", meaning="uses before this tool counted them; empty: 0",
               read=whole(0, 9999, "uses"), default=0),
        Column(name="power", meaning="yes: a power tool, battery and blade are asked before it runs",
               read=yes_no, default=False),
        Column(name="test_material", meaning="what it must cut in the sharpness test", read=text(40), default=""),
        Column(name="volts", meaning="setting of the insulation tester by the IFU, in words",
               read=text(24), default=""),
        Column(name="lubricate", meaning="yes: lubricated by its IFU before it is tested; never for eye items",
               read=yes_no, default=False),
        _version,
    ),
)  # fmt: skip

_LUMENS = Table(
    name="lumens",
    meaning="every way through an item, one row each: branches, taps and sockets too",
    key=("item", "lumen"),
    columns=(
        Column(name="item", meaning="the item", read=code, needed=True, refers="items"),
        Column(name="lumen", meaning="the way's name, such as bore or side tap", read=lumen_name, needed=True),
        Column(name="inside_mm", meaning="NARROWEST clear inside diameter in millimeters, 0.1 to 60; empty: not known",
               read=inside),
        Column(name="length_mm", meaning="length in millimeters, 1 to 2000; empty: not known", read=_mm),
        Column(name="open", meaning="both or one: open at both ends or at one; empty: both",
               read=one_of(Opening), default=Opening.BOTH),
        Column(name="features", meaning=f"any of {', '.join(Feature)}, parted by semicolons",
               read=many(one_of(Feature)), default=()),
        Column(name="air_kpa", meaning="greatest air pressure the IFU allows, 1 to 1000 kPa; empty: no air step",
               read=whole(1, 1000, "kPa")),
        Column(name="forbid", meaning="checks the device IFU forbids, parted by semicolons",
               read=many(one_of(Check)), default=()),
        Column(name="learnt", meaning="how the inside was learnt: ifu, gauge_pin or typical. Needed beside inside_mm",
               read=one_of(Learnt)),
        Column(name="outside_fr", meaning="French size, the OUTSIDE (1 Fr is 1/3 mm): only compared, never kept",
               read=number("1", "60", "Fr")),
    ),
)  # fmt: skip

_LANDMARKS = Table(
    name="landmarks",
    meaning="named places on an item or on one of its lumens (a table that may be left out)",
    key=("item", "lumen", "name"),
    columns=(
        Column(name="item", meaning="the item", read=code, needed=True, refers="items"),
        Column(name="lumen", meaning="the lumen it lies on; empty: the whole piece", read=lumen_name, default=""),
        Column(name="name", meaning="the place in words", read=_name, needed=True),
        Column(name="at_mm", meaning="millimeters from the entry of the lumen; empty: words only",
               read=number("0", "2000", "mm")),
    ),
)  # fmt: skip

_KIT = Table(
    name="kit",
    meaning="what a bench checks with, one row a thing, scopes in order of preference; and offers with a price, for "
    "the kit study alone",
    key=("bench", "kind", "id"),
    columns=(
        Column(name="bench", meaning="the bench it belongs to; empty: every bench", read=code, default=""),
        Column(name="kind", meaning="swabs, scope, air_station or gauge_pins; offer_scope, offer_head or offer_stem: "
               "not there, but could be bought",
               read=one_of(("swabs", "scope", "air_station", "gauge_pins", "offer_scope", "offer_head", "offer_stem")),
               needed=True),
        Column(name="id", meaning="the code of a scope or of an offer", read=code),
        Column(name="od_mm", meaning="a scope's outside diameter, 0.2 to 20 mm", read=number("0.2", "20", "mm")),
        Column(name="reach_mm", meaning="how far a scope or the swabs' stem reaches, 10 to 2000 mm",
               read=number("10", "2000", "mm")),
        Column(name="bends", meaning="yes: the scope follows a bend", read=yes_no),
        Column(name="heads_mm", meaning="swab head sizes in millimeters, 0.3 to 60, parted by semicolons",
               read=many(number("0.3", "60", "mm"))),
        Column(name="max_over", meaning="widest head allowed as a multiple of the bore, 1 to 5",
               read=number("1", "5", "times")),
        Column(name="price", meaning="an offer's price, 0.01 to 9999999, the number alone",
               read=number("0.01", "9999999", "currency units")),
        Column(name="currency", meaning="the currency of an offer's price as this department writes it, one for all",
               read=text(8)),
    ),
)  # fmt: skip

_PEOPLE = Table(
    name="people",
    meaning="who signs in",
    key=("person",),
    columns=(
        Column(name="person", meaning="the person's code", read=code, needed=True),
        Column(name="name", meaning="the person's name", read=_name, needed=True),
        Column(name="role", meaning=f"one of {', '.join(Role)}", read=one_of(Role), needed=True),
        Column(name="badge", meaning="the text of the badge's barcode, nobody else's", read=text(64), default=""),
        Column(name="pin", meaning="4 to 8 digits, hashed when loaded and never kept", read=pin),
        Column(name="pin_hash", meaning="the hash this tool wrote, in place of pin", read=pin_hash, default=""),
    ),
)  # fmt: skip

_LOADS = Table(
    name="loads",
    meaning="washer loads",
    key=("load",),
    columns=(
        Column(name="load", meaning="the load's code", read=code, needed=True),
        Column(name="released", meaning="yes or no", read=yes_no, needed=True),
        Column(name="trays", meaning="codes of the trays in it, parted by semicolons",
               read=many(code), default=(), refers="trays"),
    ),
)  # fmt: skip

TABLES: Mapping[str, Table] = {
    table.name: table for table in (_TRAYS, _LINES, _ITEMS, _LUMENS, _LANDMARKS, _KIT, _PEOPLE, _LOADS)
}
"""Every table by name, in the order in which faults are told and files written."""


def columns_as_markdown() -> str:
    """All tables and columns as Markdown, for the handbook."""
    parts = []
    for table in TABLES.values():
        rows = [f"| `{c.name}` | {'yes' if c.needed else ''} | {c.meaning} |" for c in table.columns]
        parts.append(
            "\n".join([f"### {table.name}: {table.meaning}\n", "| column | needed | meaning |", "|---|---|---|", *rows])
        )
    return "\n\n".join(parts) + "\n"
