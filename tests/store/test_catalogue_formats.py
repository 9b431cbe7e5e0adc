"""What a catalogue file may look like as a file: byte order mark, separators, sheets, numbers of a spreadsheet."""

import csv
import tempfile
import time
from collections.abc import Iterable
from decimal import Decimal
from pathlib import Path

import openpyxl
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from kiosk.store.catalogue_columns import TABLES, columns_as_markdown
from kiosk.store.catalogue_files import CatalogueFaults, load_catalogue, load_kits, save_catalogue

TRAYS = "tray,name\nTR-1,Ear set\n"
ITEMS = "item,tray,name,type\nA1,TR-1,Ear suction,fine_suction\n"
LUMENS = "item,lumen,inside_mm,length_mm,learnt\nA1,bore,1.8,150,ifu\n"


def folder_of(folder: Path, **files: str) -> Path:
    for table, text in files.items():
        (folder / f"{table}.csv").write_bytes(text.encode())
    return folder


def book(path: Path, **sheets: Iterable[Iterable[object]]) -> Path:
    made = openpyxl.Workbook()
    made.remove(made.worksheets[0])
    for title, rows in sheets.items():
        page = made.create_sheet(title)
        for row in rows:
            page.append(list(row))
    made.save(path)
    return path


def faults(paths: Path | Iterable[Path]) -> tuple[str, ...]:
    with pytest.raises(CatalogueFaults) as caught:
        load_catalogue(paths)
    return caught.value.faults


def test_a_byte_order_mark_and_windows_line_ends_are_taken(tmp_path: Path) -> None:
    folder_of(tmp_path, trays="\ufeff" + TRAYS.replace("\n", "\r\n"))
    assert load_catalogue(tmp_path).trays["TR-1"].name == "Ear set"


def test_empty_rows_are_passed_over_and_rows_keep_their_numbers(tmp_path: Path) -> None:
    folder_of(tmp_path, trays="tray,name\n\n,\nTR-1,Ear set\n , \nTR 2,Throat set\n")
    assert faults(tmp_path)[0].startswith("trays.csv, row 6, column tray:")


def test_columns_may_stand_in_any_order_and_any_case(tmp_path: Path) -> None:
    folder_of(tmp_path, trays="Name,Weight needed,TRAY\nEar set,TRUE,TR-1\n")
    assert load_catalogue(tmp_path).trays["TR-1"].weight_needed


@pytest.mark.parametrize("mark", [";", "\t"])
def test_columns_parted_by_semicolons_or_tabs_are_refused_in_one_sentence(tmp_path: Path, mark: str) -> None:
    folder_of(tmp_path, trays=TRAYS.replace(",", mark))
    assert faults(tmp_path) == (
        'trays.csv: columns are parted by semicolons or tabs: save it as "CSV UTF-8 (comma delimited)".',
    )


@pytest.mark.parametrize(
    ("text", "sentence"),
    [
        (
            "tray,name,tint\nTR-1,Ear set,red\n",
            'trays.csv: row 1: there is no column "tint"; there are tray, name,',
        ),
        ("tray,name,tray\nTR-1,Ear set,TR-1\n", "trays.csv: row 1: the column tray stands twice."),
        ("tray\nTR-1\n", "trays.csv: row 1: the column name is missing."),
        ("", "trays.csv: is empty; its first row holds the names of the columns: tray, name,"),
        ("tray,name\nTR-1,Ear set,more\n", "trays.csv, row 2, column name: there is a cell to the right of the last"),
        ('tray,name\nTR-1,"Ear set\n', "trays.csv: cannot be read as CSV (unexpected end of data)."),
    ],
)
def test_a_file_of_the_wrong_shape_is_named(tmp_path: Path, text: str, sentence: str) -> None:
    (fault,) = faults(folder_of(tmp_path, trays=text))
    assert fault.startswith(sentence)


def test_a_file_that_is_not_utf_8_is_refused(tmp_path: Path) -> None:
    (tmp_path / "trays.csv").write_bytes("tray,name\nTR-1,Tübingen set\n".encode("cp1252"))
    assert faults(tmp_path) == ('trays.csv: is not in UTF-8: save it as "CSV UTF-8 (comma delimited)".',)


def test_a_file_that_is_not_there_or_named_after_nothing_is_named(tmp_path: Path) -> None:
    folder_of(tmp_path, trays=TRAYS, notes="a,b\n")
    found = faults([tmp_path / "trays.csv", tmp_path / "notes.csv", tmp_path / "gone.csv", tmp_path / "items.csv"])
    assert found == (
        "gone.csv: is not named after a table; the tables are " + ", ".join(TABLES) + ".",
        "items.csv: cannot be read (No such file or directory).",
        "notes.csv: is not named after a table; the tables are " + ", ".join(TABLES) + ".",
    )


def test_a_folder_without_tables_is_named(tmp_path: Path) -> None:
    assert faults(tmp_path) == ("catalogue: there is no CSV or XLSX file.",)


def test_files_without_trays_are_no_catalogue(tmp_path: Path) -> None:
    folder_of(tmp_path, people="person,name,role\nP1,Ada Example,tech\n")
    assert faults(tmp_path) == ("catalogue: there is no table trays (a file trays.csv, or a sheet trays).",)


def test_a_formula_in_a_csv_cell_is_text(tmp_path: Path) -> None:
    folder_of(tmp_path, trays='tray,name\nTR-1,"=HYPERLINK(""x"")"\nTR-2,\'=1+1\n')
    trays = load_catalogue(tmp_path).trays
    assert trays["TR-1"].name == '=HYPERLINK("x")'
    assert trays["TR-2"].name == "=1+1"


def test_a_saved_name_is_no_formula_to_a_spreadsheet(tmp_path: Path) -> None:
    folder_of(tmp_path, trays="tray,name\nTR-1,=1+1\n")
    catalogue = load_catalogue(tmp_path)
    save_catalogue(catalogue, tmp_path / "saved")
    rows = list(csv.DictReader((tmp_path / "saved" / "trays.csv").read_text(encoding="utf-8-sig").splitlines()))
    assert rows[0]["name"] == "'=1+1"
    assert load_catalogue(tmp_path / "saved") == catalogue


def test_a_workbook_with_a_sheet_a_table_loads(tmp_path: Path) -> None:
    path = book(
        tmp_path / "department.xlsx",
        Trays=[["tray", "name", "indicators"], ["TR-1", "Ear set", 2]],
        items=[["item", "tray", "name", "type"], ["A1", "TR-1", "Ear suction", "fine_suction"]],
        lumens=[["item", "lumen", "inside_mm", "length_mm", "learnt"], ["A1", "bore", 0.7, 150, "ifu"]],
        Sheet4=[],
    )
    tray = load_catalogue(path).trays["TR-1"]
    assert tray.indicators == 2
    assert str(tray.items[0].lumens[0].inside_mm) == "0.7"


def test_a_number_of_a_spreadsheet_is_the_decimal_it_shows(tmp_path: Path) -> None:
    path = book(tmp_path / "trays.xlsx", anything=[["tray", "name", "weight_max_lb"], [1, 2.0, 0.1 + 0.2 + 22]])
    tray = load_catalogue(path).trays["1"]
    assert tray.name == "2"
    assert tray.weight_max_lb == Decimal("22.3")


def test_a_true_a_date_and_a_formula_in_a_workbook(tmp_path: Path) -> None:
    path = tmp_path / "trays.xlsx"
    book(path, trays=[["tray", "name", "weight_needed", "weight_max_lb"], ["TR-1", "=1+1", True, "=20+2"]])
    (fault,) = faults(path)
    assert fault == (
        'trays.xlsx sheet trays, row 2, column weight_max_lb: "=20+2" is not a plain number: '
        "write the number of lb alone."
    )
    book(path, trays=[["tray", "name", "weight_needed"], ["TR-1", "=1+1", True]])
    tray = load_catalogue(path).trays["TR-1"]
    assert tray.weight_needed
    assert tray.name == "=1+1"


def test_a_sheet_named_after_nothing_and_a_broken_workbook_are_named(tmp_path: Path) -> None:
    path = book(tmp_path / "all.xlsx", trays=[["tray", "name"], ["TR-1", "Ear set"]], Notes=[["call", "me"]])
    assert faults(path)[0].startswith("all.xlsx sheet Notes: is not named after a table;")
    path.write_bytes(b"PK\x03\x04 nothing")
    assert faults(path) == ("all.xlsx: cannot be read as an XLSX file.",)


@given(st.binary(max_size=200) | st.text(max_size=200).map(str.encode) | st.text("tra,yname\n\";'=").map(str.encode))
def test_whatever_bytes_a_csv_holds_the_answer_is_sentences_or_a_catalogue(content: bytes) -> None:
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "trays.csv"
        path.write_bytes(b"tray,name\n" + content)
        _answer(path)


@settings(max_examples=60)
@given(st.integers(0, 10**6), st.integers(1, 255), st.booleans())
def test_a_damaged_workbook_is_named_or_still_right(place: int, flipped: int, cut: bool) -> None:
    with tempfile.TemporaryDirectory() as folder:
        path = book(Path(folder) / "all.xlsx", trays=[["tray", "name"], ["TR-1", "Ear set"]])
        content = bytearray(path.read_bytes())
        at = place % len(content)
        content[at] ^= flipped
        path.write_bytes(content[:at] if cut else content)
        _answer(path)


def _answer(path: Path) -> None:
    told: tuple[str, ...]
    try:
        told = (f"{path.name} loads {len(load_catalogue(path).trays)} trays",)
    except CatalogueFaults as caught:
        told = caught.faults
    assert told
    assert all(line.startswith((path.name, "catalogue: ")) for line in told)


def test_a_table_given_twice_is_refused(tmp_path: Path) -> None:
    folder_of(tmp_path, trays=TRAYS)
    book(tmp_path / "more.xlsx", trays=[["tray", "name"], ["TR-2", "Throat set"]])
    assert faults(tmp_path) == ("trays.csv: the table trays stands in more.xlsx sheet trays already.",)


def test_a_spreadsheets_lock_file_is_passed_over(tmp_path: Path) -> None:
    folder_of(tmp_path, trays=TRAYS)
    (tmp_path / "~$trays.xlsx").write_bytes(b"lock")
    assert load_catalogue(tmp_path).trays


def test_a_faulty_table_is_not_blamed_on_the_tables_that_name_it(tmp_path: Path) -> None:
    folder_of(tmp_path, trays="tray;name\n", items=ITEMS, lumens=LUMENS)
    assert len(faults(tmp_path)) == 1


def test_every_column_has_a_meaning_in_one_line() -> None:
    shown = columns_as_markdown()
    for table in TABLES.values():
        assert f"### {table.name}: {table.meaning}" in shown
        for column in table.columns:
            assert column.meaning
            assert "\n" not in column.meaning
            assert f"| `{column.name}` |" in shown


@pytest.mark.slow
def test_ten_thousand_items_load_in_seconds(tmp_path: Path) -> None:
    numbers = range(10_000)
    folder_of(
        tmp_path,
        trays="tray,name\n" + "".join(f"TR-{n},Set {n}\n" for n in range(1000)),
        items="item,tray,name,type\n" + "".join(f"A{n},TR-{n % 1000},Suction,fine_suction\n" for n in numbers),
        lumens="item,lumen,inside_mm,length_mm,learnt\n"
        + "".join(f"A{n},{way},1.8,150,ifu\n" for n in numbers for way in ("bore", "tap")),
        count_lines="tray,name,want,item\n" + "".join(f"TR-{n % 1000},Suction {n},1,A{n}\n" for n in numbers),
    )
    began = time.perf_counter()
    catalogue = load_catalogue(tmp_path)
    took = time.perf_counter() - began
    assert sum(len(tray.items) for tray in catalogue.trays.values()) == 10_000
    assert load_kits(tmp_path)[""].scopes == ()
    assert took < 10, f"{took:.1f} s"
