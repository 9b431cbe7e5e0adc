"""Catalogue files: what loads, and what is refused in which words."""

import csv
import gc
import io
from collections.abc import Callable
from decimal import Decimal
from pathlib import Path

import pytest

from kiosk.core.catalogue import Catalogue, CountLine, Item, Kit, Landmark, Load, Lumen, Scope, Swabs, Tray
from kiosk.core.vocabulary import Check, Feature
from kiosk.pins import PINS, hash_pin
from kiosk.store.catalogue_files import CatalogueFaults, load_catalogue, load_kits

pytestmark = pytest.mark.usefixtures("real_pins")

Files = dict[str, str]

GOOD: Files = {
    "trays": "tray,name,weight_needed,weight_max_lb\nTR-1,Ear set,yes,22.5\nTR-2,Throat set,,\n",
    "count_lines": "tray,name,want,item\nTR-1,Forceps,4,\nTR-1,Suction,2,A1\n",
    "items": "item,tray,name,type,qty,function\nA1,TR-1,Ear suction,fine_suction,2,pin passes; tip round\n"
    "A2,,Spare suction,fine_suction,,\n",
    "lumens": "item,lumen,inside_mm,length_mm,open,features,air_kpa,forbid,learnt,outside_fr\n"
    "A1,bore,1.8,150,both,curved; branched,100,,ifu,7\nA2,bore,,150,,,,swab,,\n",
    "landmarks": "item,lumen,name,at_mm\nA1,bore,thumb hole,22\nA1,,handle,\n",
    "kit": "bench,kind,id,od_mm,reach_mm,bends,heads_mm,max_over\nB1,scope,SC-1,1.9,400,yes,,\n"
    "B2,scope,SC-2,1.0,180,no,,\n,swabs,,,350,,1.2; 2.5,1.5\n,air_station,,,,,,\n",
    "people": "person,name,role,badge,pin,pin_hash\nP1,Ada Example,tech,E1,1234,\n",
    "loads": "load,released,trays\nW-1,yes,TR-1; TR-2\n",
}


@pytest.fixture
def load(tmp_path: Path) -> Callable[..., Catalogue]:
    """Load the good files with some of them replaced."""

    def load_with(**changed: str) -> Catalogue:
        return load_catalogue(in_files(tmp_path, GOOD | changed))

    return load_with


def in_files(folder: Path, files: Files) -> Path:
    for table, content in files.items():
        (folder / f"{table}.csv").write_text(content, encoding="utf-8")
    return folder


def faults(load: Callable[..., Catalogue], **changed: str) -> tuple[str, ...]:
    with pytest.raises(CatalogueFaults) as caught:
        load(**changed)
    return caught.value.faults


def with_cell(table: str, row: int, column: str, cell: str) -> Files:
    """The good table with one cell written over; rows as a spreadsheet counts."""
    lines = list(csv.reader(GOOD[table].splitlines()))
    lines[row - 1][lines[0].index(column)] = cell
    text = io.StringIO(newline="")
    csv.writer(text).writerows(lines)
    return {table: text.getvalue()}


def test_good_files_load_whole(load: Callable[..., Catalogue]) -> None:
    catalogue = load()
    bore = Lumen(
        name="bore",
        inside_mm=Decimal("1.8"),
        length_mm=Decimal(150),
        features=frozenset({Feature.CURVED, Feature.BRANCHED}),
        air_kpa=100,
        landmarks=(Landmark(name="thumb hole", at_mm=Decimal(22)),),
    )
    suction = Item(
        id="A1", name="Ear suction", type="fine_suction", lumens=(bore,), qty=2, function=("pin passes", "tip round"),
        landmarks=(Landmark(name="handle"),),
    )  # fmt: skip
    lines = (CountLine(name="Forceps", want=4), CountLine(name="Suction", want=2, item="A1"))
    assert catalogue.trays["TR-1"] == Tray(
        code="TR-1", name="Ear set", items=(suction,), lines=lines, weight_needed=True, weight_max_lb=Decimal("22.5")
    )
    assert catalogue.trays["TR-2"] == Tray(code="TR-2", name="Throat set")
    assert catalogue.spares["A2"].lumens[0].forbid == {Check.SWAB}
    assert catalogue.loads == {"W-1": Load(id="W-1", released=True, trays=("TR-1", "TR-2"))}


def test_a_typed_pin_is_kept_only_as_its_hash(load: Callable[..., Catalogue]) -> None:
    person = load().people["P1"]
    assert "1234" not in person.pin_hash.split("$")
    assert PINS.matches("1234", person.pin_hash)


_OFFERED = "bench,kind,id,od_mm,reach_mm,bends,heads_mm,max_over,price,currency\n"


def test_an_offer_is_kept_with_its_price_and_is_nothing_that_the_bench_has(tmp_path: Path) -> None:
    rows = "B1,air_station,,,,,,,,\n,offer_scope,Q-1,1.2,300,yes,,,1250.50,USD\nB1,offer_head,Q-2,,,,1.4,,9,USD\n"
    kit = load_kits(in_files(tmp_path, GOOD | {"kit": _OFFERED + rows}))["B1"]
    assert [(offer.id, offer.kind, offer.price, offer.currency) for offer in kit.offers] == [
        ("Q-1", "scope", Decimal("1250.50"), "USD"),
        ("Q-2", "head", Decimal(9), "USD"),
    ]
    assert (kit.scopes, kit.swabs) == ((), None)


@pytest.mark.parametrize(
    ("row", "fault"),
    [
        ("B1,offer_stem,Q-1,,500,,,,,USD", "row 2, column price: is empty, and kind offer_stem needs it."),
        ("B1,offer_stem,Q-1,,500,,,,9 USD,USD", 'column price: "9 USD" is not a plain number'),
        ("B1,offer_head,Q-1,,,,1.2; 1.4,,9,USD", "column heads_mm: an offer names one head; give each a row."),
        ("B1,scope,S,1.9,400,yes,,,9,USD", "row 2, column price: does not go with kind scope."),
        ("B1,offer_stem,Q-1,,500,,,,9,USD\nB1,offer_stem,Q-2,,600,,,,9,EUR",
         'row 3, column currency: "EUR" is not the "USD" of row 2'),
    ],
)  # fmt: skip
def test_an_offer_that_is_not_whole_is_a_fault_of_its_cell(tmp_path: Path, row: str, fault: str) -> None:
    with pytest.raises(CatalogueFaults) as found:
        load_kits(in_files(tmp_path, GOOD | {"kit": _OFFERED + row + "\n"}))
    assert fault in found.value.faults[0]


def test_each_bench_has_its_own_kit_beside_what_all_benches_share(tmp_path: Path) -> None:
    kits = load_kits(in_files(tmp_path, GOOD))
    swabs = Swabs(heads_mm=(Decimal("1.2"), Decimal("2.5")), reach_mm=Decimal(350), max_over=Decimal("1.5"))
    thick = Scope(id="SC-1", od_mm=Decimal("1.9"), reach_mm=Decimal(400), bends=True)
    assert kits["B1"] == Kit(scopes=(thick,), swabs=swabs, air_station=True)
    assert load_catalogue(tmp_path).kit == kits["B1"]
    assert load_catalogue(tmp_path, bench="B2").kit.scopes[0].id == "SC-2"
    with pytest.raises(CatalogueFaults, match='there is no bench "B3"; there are B1, B2'):
        load_catalogue(tmp_path, bench="B3")


@pytest.mark.parametrize("french", ["7 Fr", "7Fr", "fr 7", "7 F", "7 Ch", "CH 7", "7.5 French", "7 Charrière"])
def test_a_french_size_is_never_taken_as_the_inside(load: Callable[..., Catalogue], french: str) -> None:
    (fault,) = faults(load, **with_cell("lumens", 2, "inside_mm", french))
    assert fault == (
        f'lumens.csv, row 2, column inside_mm: "{french}" is a French size, and French is the outside of a tube: '
        "write the clear inside in millimeters here, and French in outside_fr."
    )


def test_an_inside_as_wide_as_the_french_outside_is_refused(load: Callable[..., Catalogue]) -> None:
    # 1 Fr is 1/3 mm of outside diameter, so 7 Fr is 2.33 mm (French scale, as in tests/reference/lumen_units.json).
    (fault,) = faults(load, **with_cell("lumens", 2, "inside_mm", "2.4"))
    assert fault == (
        "lumens.csv, row 2, column inside_mm: the inside cannot be 2.4 mm: 7 Fr is 2.33 mm outside, "
        "and a wall is between."
    )
    catalogue = load(**with_cell("lumens", 2, "inside_mm", "2.3"))
    assert catalogue.trays["TR-1"].items[0].lumens[0].inside_mm == Decimal("2.3")


def test_the_french_number_of_the_name_copied_into_the_inside_is_refused(load: Callable[..., Catalogue]) -> None:
    items = with_cell("items", 2, "name", "Ear suction 5 Fr")
    lumens = {"lumens": GOOD["lumens"].replace("A1,bore,1.8", "A1,bore,5").replace("ifu,7", "ifu,")}
    (fault,) = faults(load, **items, **lumens)
    assert fault == (
        "lumens.csv, row 2, column inside_mm: 5 repeats the French size of the name, and French is the outside: "
        "measure the clear inside."
    )


def test_a_gauge_is_never_taken_as_the_inside(load: Callable[..., Catalogue]) -> None:
    assert "gauge is the outside of a needle" in faults(load, **with_cell("lumens", 2, "inside_mm", "14 G"))[0]


BAD_CELLS = [
    ("trays", 2, "tray", "TR 1", '"TR 1" is not a code: use up to 24 letters, figures and hyphens.'),
    ("trays", 2, "name", "", "is empty, and it is needed."),
    ("trays", 2, "name", "x" * 41, "has 41 characters; at most 40 fit on screen and paper."),
    ("trays", 2, "name", "Ear\u202eset", "holds a line break or a sign that cannot be printed."),
    ("trays", 2, "name", "Ear\nset", "holds a line break or a sign that cannot be printed."),
    ("trays", 2, "name", "#REF!", "holds #REF!, which is a spreadsheet's own fault."),
    ("trays", 2, "weight_needed", "maybe", '"maybe" is neither yes nor no.'),
    ("trays", 2, "weight_max_lb", "101", "101 is out of range: 1 to 100 lb."),
    ("trays", 3, "tray", "TR-1", '"TR-1" stands in row 2 already.'),
    ("count_lines", 2, "want", "0", "0 is out of range: 1 to 999 pieces."),
    ("count_lines", 2, "want", "2.5", "2.5 is not a whole number."),
    ("count_lines", 3, "want", "3", "3 are wanted, but the item's qty is 2."),
    ("count_lines", 3, "name", "Forceps", '"Forceps" stands in row 2 already.'),
    ("count_lines", 2, "tray", "TR-9", '"TR-9" is not in the table trays.'),
    ("count_lines", 3, "item", "A9", '"A9" is not in the table items.'),
    ("count_lines", 2, "item", "A2", '"A2" lies in the spare drawer, not in this tray.'),
    ("items", 3, "item", "A1", '"A1" stands in row 2 already.'),
    ("items", 3, "item", "A3", '"A3" has no row in lumens; pieces without a lumen are count lines.'),
    ("items", 3, "tray", "TR-9", '"TR-9" is not in the table trays.'),
    ("items", 2, "type", "ear_sucker", '"ear_sucker" is not a generic item type.'),
    ("items", 2, "qty", "100", "100 is out of range: 1 to 99 pieces."),
    ("items", 2, "function", "pin passes; pin passes", "names the same entry twice."),
    ("items", 2, "function", ";", "holds no entry."),
    ("lumens", 3, "item", "", "is empty, and it is needed."),
    ("lumens", 3, "item", "A9", '"A9" is not in the table items.'),
    ("lumens", 2, "lumen", "bore.1", "may not hold a point or a number sign."),
    ("lumens", 2, "inside_mm", "0,7", '"0,7" has a comma: write decimals with a point.'),
    ("lumens", 2, "inside_mm", "1.8 mm", '"1.8 mm" is not a plain number: write the number of mm alone.'),
    ("lumens", 2, "inside_mm", "0.09", "0.09 is out of range: 0.1 to 60 mm."),
    ("lumens", 2, "inside_mm", "61", "61 is out of range: 0.1 to 60 mm."),
    ("lumens", 2, "inside_mm", "=1+1", '"=1+1" is not a plain number: write the number of mm alone.'),
    ("lumens", 2, "inside_mm", "nan", '"nan" is not a plain number: write the number of mm alone.'),
    ("lumens", 2, "length_mm", "2001", "2001 is out of range: 1 to 2000 mm."),
    ("lumens", 2, "length_mm", "1e3", '"1e3" is not a plain number: write the number of mm alone.'),
    ("lumens", 2, "air_kpa", "1001", "1001 is out of range: 1 to 1000 kPa."),
    ("lumens", 2, "air_kpa", "0", "0 is out of range: 1 to 1000 kPa."),
    ("lumens", 2, "open", "two", '"two" is not known here; use both or one.'),
    ("lumens", 2, "features", "bendy", '"bendy" is not known here; use curved, branched,'),
    ("lumens", 2, "forbid", "poke", '"poke" is not known here; use apart, look,'),
    ("lumens", 2, "learnt", "", "is empty: say how the inside was learnt (ifu, gauge_pin or typical)."),
    ("lumens", 2, "learnt", "guess", '"guess" is not known here; use ifu, gauge_pin or typical.'),
    ("landmarks", 2, "lumen", "tap", '"tap" is not a lumen of "A1".'),
    ("landmarks", 2, "at_mm", "151", "151 mm is beyond the lumen, which is 150 mm long."),
    ("landmarks", 3, "at_mm", "10", "millimeters need the lumen they are counted on."),
    ("kit", 2, "od_mm", "", "is empty, and kind scope needs it."),
    ("kit", 4, "heads_mm", "1.2; 0.2", "0.2 is out of range: 0.3 to 60 mm."),
    ("kit", 5, "reach_mm", "300", "does not go with kind air_station."),
    ("people", 2, "role", "boss", '"boss" is not known here; use tech, trainee,'),
    ("people", 2, "pin", "123", "holds no PIN: a PIN is 4 to 8 digits."),
    ("people", 2, "pin", "123456789", "holds no PIN: a PIN is 4 to 8 digits."),
    ("people", 2, "pin_hash", "md5$00$00", "holds no PIN hash of this tool."),
    ("loads", 2, "released", "", "is empty, and it is needed."),
    ("loads", 2, "trays", "TR-1; TR-9", '"TR-9" is not in the table trays.'),
]


@pytest.mark.parametrize(("table", "row", "column", "cell", "sentence"), BAD_CELLS)
def test_a_bad_cell_is_named_by_file_row_and_column(
    load: Callable[..., Catalogue], table: str, row: int, column: str, cell: str, sentence: str
) -> None:
    found = faults(load, **with_cell(table, row, column, cell))
    assert any(fault.startswith(f"{table}.csv, row {row}, column {column}: {sentence}") for fault in found), found


def test_a_blind_lumen_is_open_at_one_end(load: Callable[..., Catalogue]) -> None:
    changed = with_cell("lumens", 2, "features", "blind")
    assert faults(load, **changed) == ("lumens.csv, row 2, column open: a blind lumen is open at one end.",)


def test_a_badge_belongs_to_one_person(load: Callable[..., Catalogue]) -> None:
    people = GOOD["people"] + "P2,Ben Example,tech,E1,2345,\n"
    assert faults(load, people=people) == ("people.csv, row 3, column badge: is the badge of row 2 already.",)


def test_a_pin_and_a_hash_do_not_stand_together(load: Callable[..., Catalogue]) -> None:
    found = faults(load, **with_cell("people", 2, "pin_hash", hash_pin("1234", bytes(16))))
    assert found == ("people.csv, row 2, column pin: stands beside pin_hash: keep one of the two.",)


def test_no_fault_repeats_a_pin(load: Callable[..., Catalogue]) -> None:
    (fault,) = faults(load, **with_cell("people", 2, "pin", "98765432109"))
    assert "98765" not in fault


def test_a_scope_given_to_every_bench_is_not_given_again_to_one(load: Callable[..., Catalogue]) -> None:
    kit = GOOD["kit"] + "B1,air_station,,,,,,\n"
    assert faults(load, kit=kit) == ("kit.csv, row 6, column kind: row 5 gives it to every bench already.",)


def test_a_lumened_item_is_counted_on_one_line(load: Callable[..., Catalogue]) -> None:
    lines = GOOD["count_lines"] + "TR-1,Suctions again,2,A1\n"
    assert faults(load, count_lines=lines) == (
        'count_lines.csv, row 4, column item: "A1" is counted in row 3 already.',
    )


def test_all_faults_of_all_files_are_told_at_once_in_order(load: Callable[..., Catalogue]) -> None:
    found = faults(
        load,
        **with_cell("people", 2, "role", "boss"),
        **with_cell("trays", 3, "name", ""),
        lumens=GOOD["lumens"].replace("A1,bore,1.8,150,both", "A1,bore,99,0,both"),
    )
    assert [fault.split(":")[0] for fault in found] == [
        "trays.csv, row 3, column name",
        "lumens.csv, row 2, column inside_mm",
        "lumens.csv, row 2, column length_mm",
        "people.csv, row 2, column role",
    ]
    assert all("\n" not in fault and fault.endswith(".") for fault in found)


def test_two_lumens_of_an_item_do_not_share_a_name(load: Callable[..., Catalogue]) -> None:
    lumens = GOOD["lumens"] + "A1,bore,2.0,150,,,,,ifu,\n"
    assert faults(load, lumens=lumens) == ('lumens.csv, row 4, column lumen: "bore" stands in row 2 already.',)


def test_a_bad_cell_that_stands_in_two_rows_is_named_in_both(load: Callable[..., Catalogue]) -> None:
    lines = "tray,name,want,item\nTR-1,Forceps,four,\nTR-1,Suction,2,A1\nTR-1,Clamp,four,\n"
    assert [fault.split(":")[0] for fault in faults(load, count_lines=lines)] == [
        "count_lines.csv, row 2, column want",
        "count_lines.csv, row 4, column want",
    ]


def test_loading_leaves_the_search_for_garbage_as_it_was(load: Callable[..., Catalogue]) -> None:
    load()
    assert gc.isenabled()
    faults(load, count_lines="nothing")
    assert gc.isenabled()
