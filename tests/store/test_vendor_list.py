"""A vendor's list of loaner trays: added to the house's catalogue all or nothing, every fault named."""

from pathlib import Path

import pytest

from kiosk.core.catalogue import Catalogue, Tray
from kiosk.store.catalogue_files import CatalogueFaults, add_list, load_catalogue, save_catalogue

HOUSE = Catalogue(trays={"TR-1": Tray(code="TR-1", name="House set")})
TRAYS = "tray,name,loaner_vendor,loaner_part,loaner_of,ifu_on_file,received,received_by,complexity,returning\n"
LINES = "tray,name,want,implant\nLN-7,Trials,30,\nLN-7,Screw 12,8,yes\n"


def written(folder: Path, trays: str, lines: str = LINES) -> Path:
    (folder / "trays.csv").write_text(TRAYS + trays, encoding="utf-8")
    (folder / "count_lines.csv").write_text(lines, encoding="utf-8")
    return folder


def test_a_vendors_list_is_added_and_the_house_stays(tmp_path: Path) -> None:
    row = "LN-7,Loaner knee tray,Vendor 1,2,6,yes,2031-03-05 16:20,Ines,complex,\n"
    both = add_list(written(tmp_path, row), HOUSE)
    loaner = both.trays["LN-7"].loaner
    assert loaner is not None
    assert (loaner.vendor, loaner.part, loaner.of, loaner.ifu_on_file) == ("Vendor 1", 2, 6, True)
    assert [line.implant for line in both.trays["LN-7"].lines] == [False, True]
    assert both.trays["TR-1"] == HOUSE.trays["TR-1"]


@pytest.mark.parametrize(
    ("row", "fault"),
    [
        ("LN-7,Tray,,,,,,,,\n", "names the vendor"),
        ("LN-7,Tray,Vendor 1,7,6,,,,,\n", "tray 7 of 6 can not be"),
        ("LN-7,Tray,Vendor 1,2,,,,,,\n", "given together"),
        ("LN-7,Tray,,,,yes,,,,\n", "only a loaner has this"),
    ],
)
def test_a_faulty_list_adds_nothing_and_names_each_fault(tmp_path: Path, row: str, fault: str) -> None:
    with pytest.raises(CatalogueFaults) as faults:
        add_list(written(tmp_path, row), HOUSE)
    assert any(fault in one for one in faults.value.faults)


def test_a_vendor_may_not_bring_a_tray_of_the_house(tmp_path: Path) -> None:
    row = "TR-1,House set,Vendor 1,1,1,yes,,,,\n"
    with pytest.raises(CatalogueFaults) as faults:
        add_list(written(tmp_path, row, "tray,name,want,implant\nTR-1,Trials,3,\n"), HOUSE)
    assert any("is a tray of the house" in one for one in faults.value.faults)


def test_a_loaner_loads_back_as_it_was_saved(tmp_path: Path) -> None:
    list_ = tmp_path / "list"
    list_.mkdir()
    row = "LN-7,Loaner knee tray,Vendor 1,2,6,yes,2031-03-05 16:20,Ines,complex,yes\n"
    both = add_list(written(list_, row), HOUSE)
    save_catalogue(both, tmp_path / "saved")
    assert load_catalogue(tmp_path / "saved").trays == both.trays
