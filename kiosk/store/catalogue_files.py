"""The department's catalogue in CSV and XLSX files: loaded all or nothing, saved such that it loads back the same."""

import csv
import secrets
from collections.abc import Iterable, Mapping
from dataclasses import replace
from pathlib import Path

from kiosk.core.catalogue import Catalogue, Kit
from kiosk.pins import hash_pin
from kiosk.resources import item_types
from kiosk.store.catalogue_checks import check
from kiosk.store.catalogue_columns import TABLES
from kiosk.store.catalogue_load import uncollected
from kiosk.store.catalogue_read import CatalogueFaults, Faults, Rows, Sheet, read_rows, read_sheets
from kiosk.store.catalogue_records import as_sheets, build, kits_by_bench

__all__ = ["CatalogueFaults", "add_list", "load_catalogue", "load_kits", "save_catalogue"]


@uncollected()
def load_catalogue(paths: Path | Iterable[Path], bench: str = "") -> Catalogue:
    """Load a folder, a file or several files, with the kit of `bench` (empty: of the first bench named).

    PINs that stand typed are hashed, about 0.2 s each. Raises CatalogueFaults with a sentence for every fault.
    """
    rows = _read(paths)
    kits = kits_by_bench(rows["kit"])
    if bench and bench not in kits and "" not in kits:
        raise CatalogueFaults([f'kit: there is no bench "{bench}"; there are {", ".join(kits)}.'])
    pins = {row["person"]: hash_pin(row["pin"], secrets.token_bytes(16)) for row in rows["people"] if row["pin"]}
    return build(rows, kits.get(bench) or next(iter(kits.values())), pins)


@uncollected()
def add_list(paths: Path | Iterable[Path], into: Catalogue) -> Catalogue:
    """A vendor's list of loaner trays (the same tables and columns) added to the house's catalogue, all or nothing.

    A loaner that is known already is replaced. Raises CatalogueFaults with a sentence for every fault: a tray without
    a vendor, a code of a tray or item of the house.
    """
    rows, faults = _read(paths), Faults()
    new = build(rows, into.kit, {})
    theirs = {item.id for code, tray in into.trays.items() if code not in new.trays for item in tray.items}
    theirs |= set(into.spares)
    for row in rows["trays"]:
        known = into.trays.get(row["tray"])
        if not row["loaner_vendor"]:
            faults.of_row(row, "loaner_vendor", "a vendor's list names the vendor of each tray.")
        if known is not None and known.loaner is None:
            faults.of_row(row, "tray", f'"{row["tray"]}" is a tray of the house.')
    for row in rows["items"]:
        if row["item"] in theirs:
            faults.of_row(row, "item", f'"{row["item"]}" is an item of another tray here.')
        if not row["tray"]:
            faults.of_row(row, "tray", "each item of a vendor's list lies in one of its trays.")
    faults.raise_any()
    return replace(into, trays={**into.trays, **new.trays})


def load_kits(paths: Path | Iterable[Path]) -> dict[str, Kit]:
    """Load every bench's kit from the same files; one kit under "" where no bench is named. Raises CatalogueFaults."""
    return kits_by_bench(_read(paths)["kit"])


@uncollected()
def save_catalogue(catalogue: Catalogue, folder: Path, kits: Mapping[str, Kit] | None = None) -> None:
    """Write one CSV a table (UTF-8 with a byte order mark, for spreadsheets), with `kits` by bench or the one kit.

    The catalogue's version is not written: the store counts it. Raises CatalogueFaults for a record that no file may
    hold, and ValueError for one that would not load back the same; then nothing is written.
    """
    kits = kits or {"": catalogue.kit}
    sheets = as_sheets(catalogue, kits)
    rows = _checked(sheets, Faults())
    if build(rows, catalogue.kit, {}) != replace(catalogue, version=1) or kits_by_bench(rows["kit"]) != kits:
        raise ValueError("this catalogue would not load back the same")
    folder.mkdir(parents=True, exist_ok=True)
    for sheet in sheets:
        with (folder / sheet.source).open("w", encoding="utf-8-sig", newline="") as file:
            csv.writer(file).writerows(sheet.rows)


def _read(paths: Path | Iterable[Path]) -> Rows:
    faults = Faults()
    return _checked(read_sheets(paths, faults), faults)


def _checked(sheets: Iterable[Sheet], faults: Faults) -> Rows:
    given = {sheet.table: read_rows(sheet, faults) for sheet in sheets}
    if given and "trays" not in given:
        faults.of_file("catalogue", "there is no table trays (a file trays.csv, or a sheet trays).")
    if faults.of_files:
        faults.raise_any()
    rows = {name: given.get(name, []) for name in TABLES}
    check(rows, item_types(), faults)
    faults.raise_any()
    return rows
