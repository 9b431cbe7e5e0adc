"""From rows to the frozen records of the catalogue, and back from records to the cells of a file."""

from collections import defaultdict
from collections.abc import Iterable, Iterator, Mapping, Sequence
from itertools import chain
from typing import Any

from kiosk.core.catalogue import (
    Catalogue,
    CountLine,
    Item,
    Kit,
    Landmark,
    Load,
    Loaner,
    Lumen,
    Offer,
    Person,
    Scope,
    Swabs,
    Tray,
)
from kiosk.core.vocabulary import Learnt
from kiosk.store.catalogue_cells import written
from kiosk.store.catalogue_columns import TABLES
from kiosk.store.catalogue_read import Row, Rows, Sheet

_ITEM = (
    "name", "type", "qty", "takes_apart", "insulated", "function", "own_mark", "marks", "use_limit", "uses", "power",
    "test_material", "volts", "lubricate", "version",
)  # fmt: skip
_TRAY = (
    "name", "version", "weight_needed", "weight_max_lb", "packaging", "indicators", "cycle", "container_note",
    "assembly",
)  # fmt: skip
_OFFER = "offer_"


def build(rows: Rows, kit: Kit, pin_hashes: Mapping[str, str]) -> Catalogue:
    """Make the records of rows without a fault. `pin_hashes` holds the hash of each PIN that stood typed, by person."""
    landmarks: dict[tuple[str, str], list[Landmark]] = defaultdict(list)
    lumens: dict[str, list[Lumen]] = defaultdict(list)
    items: dict[str | None, list[Item]] = defaultdict(list)
    lines: dict[str, list[CountLine]] = defaultdict(list)
    for row in rows["landmarks"]:
        landmarks[row["item"], row["lumen"]].append(Landmark(name=row["name"], at_mm=row["at_mm"]))
    for row in rows["lumens"]:
        lumens[row["item"]].append(_lumen(row, landmarks[row["item"], row["lumen"]]))
    for row in rows["items"]:
        items[row["tray"]].append(
            Item(
                id=row["item"],
                lumens=tuple(lumens[row["item"]]),
                landmarks=tuple(landmarks[row["item"], ""]),
                **_kept(row, *_ITEM),
            )
        )
    for row in rows["count_lines"]:
        lines[row["tray"]].append(CountLine(**_kept(row, "name", "want", "item", "implant", "lubricate")))
    trays = {row["tray"]: _tray(row, items[row["tray"]], lines[row["tray"]]) for row in rows["trays"]}
    return Catalogue(
        trays=trays,
        spares={item.id: item for item in items[None]},
        people={row["person"]: _person(row, pin_hashes) for row in rows["people"]},
        loads={row["load"]: Load(id=row["load"], **_kept(row, "released", "trays")) for row in rows["loads"]},
        kit=kit,
    )


def kits_by_bench(rows: Iterable[Row]) -> dict[str, Kit]:
    """The kit of each bench named; rows without a bench belong to every bench, and alone they are the kit of ""."""
    rows = list(rows)
    benches = list(dict.fromkeys(row["bench"] for row in rows if row["bench"])) or [""]
    return {bench: _kit([row for row in rows if row["bench"] in {"", bench}]) for bench in benches}


def _tray(row: Row, items: Sequence[Item], lines: Sequence[CountLine]) -> Tray:
    return Tray(code=row["tray"], items=tuple(items), lines=tuple(lines), loaner=_loaner(row), **_kept(row, *_TRAY))


def _loaner(row: Row) -> Loaner | None:
    """The vendor's set, where a vendor is named."""
    if not row["loaner_vendor"]:
        return None
    kept = _kept(row, "ifu_on_file", "received", "received_by", "complexity", "returning")
    return Loaner(vendor=row["loaner_vendor"], part=row["loaner_part"] or 0, of=row["loaner_of"] or 0, **kept)


def _loaner_cells(loaner: Loaner | None) -> dict[str, Any]:
    if loaner is None:
        return {}
    own = {"loaner_vendor": loaner.vendor, "loaner_part": loaner.part or None, "loaner_of": loaner.of or None}
    names = ("ifu_on_file", "received", "received_by", "complexity", "returning")
    return own | {name: getattr(loaner, name) for name in names}


def _lumen(row: Row, landmarks: Sequence[Landmark]) -> Lumen:
    return Lumen(
        name=row["lumen"],
        features=frozenset(row["features"]),
        forbid=frozenset(row["forbid"]),
        learnt=row["learnt"] or Learnt.IFU,
        landmarks=tuple(landmarks),
        **_kept(row, "inside_mm", "length_mm", "open", "air_kpa"),
    )


def _person(row: Row, pin_hashes: Mapping[str, str]) -> Person:
    pin_hash = pin_hashes.get(row["person"], row["pin_hash"])
    return Person(id=row["person"], pin_hash=pin_hash, **_kept(row, "name", "role", "badge"))


def _kit(rows: Sequence[Row]) -> Kit:
    kinds = [row["kind"] for row in rows]
    swabs = [Swabs(**_kept(row, "heads_mm", "reach_mm", "max_over")) for row in rows if row["kind"] == "swabs"]
    return Kit(
        scopes=tuple(Scope(**_kept(row, "id", "od_mm", "reach_mm", "bends")) for row in rows if row["kind"] == "scope"),
        swabs=swabs[0] if swabs else None,
        air_station="air_station" in kinds,
        gauge_pins="gauge_pins" in kinds,
        offers=tuple(_offer(row) for row in rows if row["kind"].startswith(_OFFER)),
    )


def _offer(row: Row) -> Offer:
    heads = row["heads_mm"] or (None,)
    kept = _kept(row, "id", "price", "currency", "od_mm", "reach_mm")
    return Offer(kind=row["kind"].removeprefix(_OFFER), head_mm=heads[0], bends=bool(row["bends"]), **kept)


def _kept(row: Row, *columns: str) -> dict[str, Any]:
    values = row.values
    return {column: values[column] for column in columns}


def as_sheets(catalogue: Catalogue, kits: Mapping[str, Kit]) -> list[Sheet]:
    """The cells of every table, the inverse of reading. PINs are not in a catalogue; their hashes are written."""
    trays, items = catalogue.trays.values(), list(_items(catalogue))
    lumens = [(item, lumen) for _, item in items for lumen in item.lumens]
    marks = [(item, "", mark) for _, item in items for mark in item.landmarks]
    marks += [(item, lumen.name, mark) for item, lumen in lumens for mark in lumen.landmarks]
    tables = {
        "trays": [_cells("trays", tray, tray=tray.code, **_loaner_cells(tray.loaner)) for tray in trays],
        "count_lines": [_cells("count_lines", line, tray=tray.code) for tray in trays for line in tray.lines],
        "items": [_cells("items", item, tray=code, item=item.id) for code, item in items],
        "lumens": [_cells("lumens", lumen, item=item.id, lumen=lumen.name) for item, lumen in lumens],
        "landmarks": [_cells("landmarks", mark, item=item.id, lumen=lumen) for item, lumen, mark in marks],
        "kit": list(chain.from_iterable(_kit_cells(bench, kit) for bench, kit in kits.items())),
        "people": [_cells("people", person, person=person.id) for person in catalogue.people.values()],
        "loads": [_cells("loads", load, load=load.id) for load in catalogue.loads.values()],
    }
    return [_sheet(name, rows) for name, rows in tables.items()]


def _sheet(table: str, rows: Iterable[Mapping[str, str]]) -> Sheet:
    names = [column.name for column in TABLES[table].columns]
    return Sheet(f"{table}.csv", table, [names, *([row.get(name, "") for name in names] for row in rows)])


def _items(catalogue: Catalogue) -> Iterator[tuple[str, Item]]:
    for tray in catalogue.trays.values():
        yield from ((tray.code, item) for item in tray.items)
    yield from (("", item) for item in catalogue.spares.values())


def _kit_cells(bench: str, kit: Kit) -> Iterator[dict[str, str]]:
    yield from (_cells("kit", scope, bench=bench, kind="scope") for scope in kit.scopes)
    if kit.swabs:
        yield _cells("kit", kit.swabs, bench=bench, kind="swabs")
    yield from ({"bench": bench, "kind": kind} for kind in ("air_station", "gauge_pins") if getattr(kit, kind))
    for offer in kit.offers:
        bends = offer.bends if offer.kind == "scope" else None
        heads = None if offer.head_mm is None else (offer.head_mm,)
        yield _cells("kit", offer, bench=bench, kind=_OFFER + offer.kind, bends=bends, heads_mm=heads)


def _cells(table: str, record: object, **also: Any) -> dict[str, str]:
    columns = (column.name for column in TABLES[table].columns)
    values = {name: getattr(record, name) for name in columns if hasattr(record, name)} | also
    return {name: written(value) for name, value in values.items()}
