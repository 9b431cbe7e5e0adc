"""What must agree between the rows and tables of a catalogue: no doubles, no loose ends, no cells at odds."""

import re
from collections.abc import Iterable, Mapping, Sequence
from decimal import Decimal
from typing import Any

from kiosk.core.vocabulary import Feature, Opening
from kiosk.store.catalogue_columns import TABLES
from kiosk.store.catalogue_read import Faults, Row, Rows

_NEEDED_OF_KIT = {
    "swabs": ("heads_mm", "reach_mm", "max_over"),
    "scope": ("id", "od_mm", "reach_mm", "bends"),
    "air_station": (),
    "gauge_pins": (),
    "offer_scope": ("id", "od_mm", "reach_mm", "bends", "price", "currency"),
    "offer_head": ("id", "heads_mm", "price", "currency"),
    "offer_stem": ("id", "reach_mm", "price", "currency"),
}
_MAY_HAVE = {("offer_head", "reach_mm")}
"""An offered head may name its stem, for a bench that has no swabs yet."""


def check(rows: Rows, types: Iterable[str], faults: Faults) -> None:
    """Note every fault between rows: doubles, references, and cells that do not go together."""
    for table in TABLES.values():
        _check_doubles(table.key, rows[table.name], faults)
        for column in table.columns:
            if column.refers:
                known = {row[TABLES[column.refers].key[0]] for row in rows[column.refers]}
                _check_refers(column.name, known, column.refers, rows[table.name], faults)
    items = {row["item"]: row for row in rows["items"]}
    _check_items(rows, frozenset(types), faults)
    _check_lines(rows["count_lines"], items, faults)
    for row in rows["lumens"]:
        _check_lumen(row, items.get(row["item"]), faults)
    _check_landmarks(rows, items, faults)
    _check_kit(rows["kit"], faults)
    _check_people(rows["people"], faults)
    _check_loaners(rows["trays"], faults)


_OF_LOANERS = ("loaner_part", "loaner_of", "ifu_on_file", "received", "received_by", "complexity", "returning")


def _check_loaners(rows: Iterable[Row], faults: Faults) -> None:
    """What only a vendor's set has needs its vendor; tray n of m is at most the last of them."""
    for row in rows:
        alone = [column for column in _OF_LOANERS if row[column] and column not in row.faulty]
        if alone and not row["loaner_vendor"] and "loaner_vendor" not in row.faulty:
            faults.of_row(row, alone[0], "only a loaner has this; give its loaner_vendor.")
        part, of = row["loaner_part"], row["loaner_of"]
        if (part is None) is not (of is None):
            faults.of_row(row, "loaner_part", "loaner_part and loaner_of are given together.")
        elif part is not None and part > of:
            faults.of_row(row, "loaner_part", f"tray {part} of {of} can not be.")


def _check_doubles(key: Sequence[str], rows: Iterable[Row], faults: Faults) -> None:
    first: dict[tuple[Any, ...], int] = {}
    for row in rows:
        if row.faulty.isdisjoint(key):
            number = first.setdefault(tuple(row[column] for column in key), row.number)
            if number != row.number:
                shown = key[-1] if row[key[-1]] else key[-2]  # an air station has no code of its own
                faults.of_row(row, shown, f'"{row[shown]}" stands in row {number} already.')


def _check_refers(column: str, known: set[Any], table: str, rows: Iterable[Row], faults: Faults) -> None:
    for row in rows:
        value = row[column]
        for code in value if isinstance(value, tuple) else (value,):
            if code is not None and code not in known:
                faults.of_row(row, column, f'"{code}" is not in the table {table}.')


def _check_items(rows: Rows, types: frozenset[str], faults: Faults) -> None:
    with_lumen = {row["item"] for row in rows["lumens"]}
    for row in rows["items"]:
        if row["lubricate"] and (row["type"] or "").startswith("eye_"):
            faults.of_row(row, "lubricate", "an eye item gets no lubricant.")
        if row["item"] and row["item"] not in with_lumen:
            faults.of_row(row, "item", f'"{row["item"]}" has no row in lumens; pieces without a lumen are count lines.')
        if row["type"] and row["type"] not in types:
            faults.of_row(row, "type", f'"{row["type"]}" is not a generic item type.')


def _check_lines(rows: Iterable[Row], items: Mapping[str, Row], faults: Faults) -> None:
    counted: dict[str, int] = {}
    for row in rows:
        item = items.get(row["item"])
        if item is None:
            continue
        if item["tray"] != row["tray"]:
            faults.of_row(
                row, "item", f'"{row["item"]}" lies in {item["tray"] or "the spare drawer"}, not in this tray.'
            )
        elif row["want"] and "qty" not in item.faulty and row["want"] != item["qty"]:
            faults.of_row(row, "want", f"{row['want']} are wanted, but the item's qty is {item['qty']}.")
        if counted.setdefault(row["item"], row.number) != row.number:
            faults.of_row(row, "item", f'"{row["item"]}" is counted in row {counted[row["item"]]} already.')


def _check_lumen(row: Row, item: Row | None, faults: Faults) -> None:
    wide, french = row["inside_mm"], row["outside_fr"]
    if wide is not None and row["learnt"] is None and "learnt" not in row.faulty:
        faults.of_row(row, "learnt", "is empty: say how the inside was learnt (ifu, gauge_pin or typical).")
    if Feature.BLIND in row["features"] and row["open"] != Opening.ONE:
        faults.of_row(row, "open", "a blind lumen is open at one end.")
    if wide is None:
        return
    if french is not None and wide >= french / 3:  # one French is a third of a millimeter of outside diameter
        outside = f"{french} Fr is {french / 3:.2f} mm outside"
        faults.of_row(row, "inside_mm", f"the inside cannot be {wide} mm: {outside}, and a wall is between.")
    elif item is not None and any(Decimal(size) == wide for size in re.findall(r"(\d+) ?Fr\b", item["name"] or "")):
        sentence = f"{wide} repeats the French size of the name, and French is the outside: measure the clear inside."
        faults.of_row(row, "inside_mm", sentence)


def _check_landmarks(rows: Rows, items: Mapping[str, Row], faults: Faults) -> None:
    lumens = {(row["item"], row["lumen"]): row for row in rows["lumens"]}
    for row in rows["landmarks"]:
        lumen = lumens.get((row["item"], row["lumen"]))
        if row["lumen"] and lumen is None and row["item"] in items:
            faults.of_row(row, "lumen", f'"{row["lumen"]}" is not a lumen of "{row["item"]}".')
        if row["at_mm"] is None:
            continue
        if not row["lumen"] and "lumen" not in row.faulty:
            faults.of_row(row, "at_mm", "millimeters need the lumen they are counted on.")
        elif lumen and lumen["length_mm"] is not None and row["at_mm"] > lumen["length_mm"]:
            faults.of_row(
                row, "at_mm", f"{row['at_mm']} mm is beyond the lumen, which is {lumen['length_mm']} mm long."
            )


def _check_kit(rows: Sequence[Row], faults: Faults) -> None:
    shared = {(row["kind"], row["id"]): row.number for row in rows if not row["bench"]}
    priced = next((row for row in rows if row["currency"] is not None), None)
    for row in rows:
        needed = _NEEDED_OF_KIT.get(row["kind"])
        if needed is None:
            continue
        for column in ("id", "od_mm", "reach_mm", "bends", "heads_mm", "max_over", "price", "currency"):
            if column in row.faulty:
                continue
            if column in needed and row[column] is None:
                faults.of_row(row, column, f"is empty, and kind {row['kind']} needs it.")
            elif column not in needed and row[column] is not None and (row["kind"], column) not in _MAY_HAVE:
                faults.of_row(row, column, f"does not go with kind {row['kind']}.")
        if row["kind"] == "offer_head" and len(row["heads_mm"] or ()) > 1:
            faults.of_row(row, "heads_mm", "an offer names one head; give each a row.")
        if priced is not None and row["currency"] not in {None, priced["currency"]}:
            sentence = (
                f'"{row["currency"]}" is not the "{priced["currency"]}" of row {priced.number}: prices are compared.'
            )
            faults.of_row(row, "currency", sentence)
        also = shared.get((row["kind"], row["id"])) if row["bench"] else None
        if also:
            faults.of_row(row, "kind", f"row {also} gives it to every bench already.")


def _check_people(rows: Iterable[Row], faults: Faults) -> None:
    badges: dict[str, int] = {}
    for row in rows:
        if row["pin"] and row["pin_hash"]:
            faults.of_row(row, "pin", "stands beside pin_hash: keep one of the two.")
        if row["badge"] and badges.setdefault(row["badge"], row.number) != row.number:
            faults.of_row(row, "badge", f"is the badge of row {badges[row['badge']]} already.")
