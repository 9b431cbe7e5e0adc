"""A catalogue that is saved loads back the same, whatever a department may own."""

import csv
import string
import tempfile
from dataclasses import replace
from decimal import Decimal
from pathlib import Path
from typing import Literal

import openpyxl
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from kiosk.core.catalogue import (
    Catalogue,
    CountLine,
    Item,
    Kit,
    Landmark,
    Load,
    Lumen,
    Offer,
    Person,
    Scope,
    Swabs,
    Tray,
)
from kiosk.core.vocabulary import Check, Feature, Learnt, Opening, Role
from kiosk.store.catalogue_files import CatalogueFaults, load_catalogue, load_kits, save_catalogue

SHOWN = st.characters(exclude_categories=["C", "Z"], codec="utf-8")


def names(longest: int, without: str = "") -> st.SearchStrategy[str]:
    """Text as a person may type it, spaces and all."""
    signs = SHOWN.filter(lambda sign: sign not in without) | st.sampled_from(list(" =+-@'\",".replace(without, "")))
    return st.text(signs, min_size=1, max_size=longest).map(str.strip).filter(lambda name: name.lstrip("'") != "")


def measures(least: str, most: str) -> st.SearchStrategy[Decimal]:
    return st.decimals(least, most, places=2)


CODES = st.text(string.ascii_letters + string.digits, min_size=1, max_size=24)
ENTRIES = st.lists(names(32, ";"), max_size=3, unique=True).map(tuple)


@st.composite
def lumens(draw: st.DrawFn, name: str) -> Lumen:
    length = draw(st.none() | measures("10", "2000"))
    features = draw(st.frozensets(st.sampled_from(list(Feature))))
    marks = draw(st.lists(names(40), max_size=2, unique=True))
    return Lumen(
        name=name,
        inside_mm=draw(st.none() | measures("0.1", "60").filter(lambda mm: mm != int(mm))),
        length_mm=length,
        open=Opening.ONE if Feature.BLIND in features else draw(st.sampled_from(Opening)),
        features=features,
        air_kpa=draw(st.none() | st.integers(1, 1000)),
        forbid=draw(st.frozensets(st.sampled_from(list(Check)))),
        learnt=draw(st.sampled_from(Learnt)),
        landmarks=tuple(Landmark(name=mark, at_mm=draw(st.none() | measures("0", "10"))) for mark in marks),
    )


@st.composite
def items(draw: st.DrawFn, code: str) -> Item:
    ways = draw(st.lists(names(24, ".#"), min_size=1, max_size=3, unique=True))
    return Item(
        id=code,
        name=draw(names(40)),
        type=draw(st.sampled_from(["fine_suction", "shaver_blade", "hollow_handle"])),
        lumens=tuple(draw(lumens(way)) for way in ways),
        qty=draw(st.integers(1, 99)),
        takes_apart=draw(st.booleans()),
        insulated=draw(st.booleans()),
        function=draw(ENTRIES),
        own_mark=draw(st.booleans()),
        landmarks=tuple(Landmark(name=mark) for mark in draw(st.lists(names(40), max_size=2, unique=True))),
        version=draw(st.integers(1, 999)),
    )


@st.composite
def kits(draw: st.DrawFn) -> Kit:
    scope = {"od_mm": measures("0.2", "20"), "reach_mm": measures("10", "2000"), "bends": st.booleans()}
    codes = draw(st.lists(CODES, max_size=2, unique=True))
    scopes = [draw(st.builds(Scope, id=st.just(code), **scope)) for code in codes]
    heads = st.lists(measures("0.3", "60"), min_size=1, max_size=4, unique=True).map(tuple)
    swabs = st.builds(Swabs, heads_mm=heads, reach_mm=measures("10", "2000"), max_over=measures("1", "5"))
    return Kit(
        scopes=tuple(scopes),
        swabs=draw(st.none() | swabs),
        air_station=draw(st.booleans()),
        gauge_pins=draw(st.booleans()),
        offers=tuple(draw(offers(code)) for code in draw(st.lists(CODES, max_size=2, unique=True))),
    )


@st.composite
def offers(draw: st.DrawFn, code: str) -> Offer:
    kinds: tuple[Literal["scope", "head", "stem"], ...] = ("scope", "head", "stem")
    kind = draw(st.sampled_from(kinds))
    reach = measures("10", "2000")
    return Offer(
        id=code,
        kind=kind,
        price=draw(measures("0.01", "9999999")),
        currency="USD",
        od_mm=draw(measures("0.2", "20")) if kind == "scope" else None,
        head_mm=draw(measures("0.3", "60")) if kind == "head" else None,
        reach_mm=draw(st.none() | reach if kind == "head" else reach),
        bends=kind == "scope" and draw(st.booleans()),
    )


@st.composite
def trays(draw: st.DrawFn, code: str, held: tuple[Item, ...]) -> Tray:
    lines = draw(st.lists(names(40), min_size=len(held), max_size=len(held) + 3, unique=True))
    counted = [*held, *([None] * (len(lines) - len(held)))]
    return Tray(
        code=code,
        name=draw(names(40)),
        items=held,
        lines=tuple(
            CountLine(name=line, want=item.qty if item else draw(st.integers(1, 999)), item=item.id if item else None)
            for line, item in zip(lines, counted, strict=True)
        ),
        version=draw(st.integers(1, 999)),
        weight_needed=draw(st.booleans()),
        weight_max_lb=draw(st.none() | measures("1", "100")),
        packaging=draw(st.sampled_from([("wrap",), ("pouch", "wrap"), ("wrap", "container")])),
        indicators=draw(st.integers(0, 20)),
        cycle=draw(st.sampled_from(["steam", "low_temperature"])),
        container_note=draw(st.just("") | names(80)),
    )


@st.composite
def catalogues(draw: st.DrawFn) -> Catalogue:
    codes = draw(st.lists(CODES, max_size=3, unique=True))
    owned = [draw(items(code)) for code in draw(st.lists(CODES, max_size=4, unique=True))]
    place = {item.id: draw(st.sampled_from([*codes, None])) for item in owned}
    kept = {code: draw(trays(code, tuple(item for item in owned if place[item.id] == code))) for code in codes}
    badges = iter(draw(st.lists(names(64), min_size=3, max_size=3, unique=True)))
    hashes = st.just("") | st.just(f"scrypt${'0a' * 16}${'1b' * 32}")
    people = {
        code: Person(
            id=code, name=draw(names(40)), role=draw(st.sampled_from(Role)), badge=next(badges), pin_hash=draw(hashes)
        )
        for code in draw(st.lists(CODES, max_size=3, unique=True))
    }
    loads = {
        code: Load(id=code, released=draw(st.booleans()), trays=tuple(codes[:2]))
        for code in draw(st.lists(CODES, max_size=2, unique=True))
    }
    spares = {item.id: item for item in owned if place[item.id] is None}
    return Catalogue(trays=kept, spares=spares, people=people, loads=loads, kit=draw(kits()))


@settings(max_examples=25)
@given(catalogues())
def test_a_saved_catalogue_loads_back_the_same(catalogue: Catalogue) -> None:
    with tempfile.TemporaryDirectory() as folder:
        save_catalogue(catalogue, Path(folder))
        assert load_catalogue(Path(folder)) == catalogue


@settings(max_examples=25)
@given(st.dictionaries(CODES, kits().filter(lambda kit: kit != Kit()), min_size=1, max_size=3))
def test_every_bench_keeps_its_kit_through_a_save(by_bench: dict[str, Kit]) -> None:
    with tempfile.TemporaryDirectory() as folder:
        save_catalogue(Catalogue(), Path(folder), by_bench)
        assert load_kits(Path(folder)) == by_bench


@pytest.mark.slow
@settings(max_examples=15)
@given(catalogues())
def test_a_catalogue_carried_through_a_workbook_is_the_same(catalogue: Catalogue) -> None:
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        save_catalogue(catalogue, folder / "csv")
        book = openpyxl.Workbook()
        for path in (folder / "csv").glob("*.csv"):
            page = book.create_sheet(path.stem)
            with path.open(encoding="utf-8-sig", newline="") as file:
                for number, row in enumerate(csv.reader(file), start=1):
                    for column, cell in enumerate(row, start=1):
                        _put(page.cell(number, column), cell)
        book.save(folder / "all.xlsx")
        assert load_catalogue(folder / "all.xlsx") == catalogue


def _put(cell: openpyxl.cell.Cell, text: str) -> None:
    """As a spreadsheet holds it: figures as a number, all else as text."""
    if text.replace(".", "", 1).isdecimal() and text.isascii() and str(float(text)).removesuffix(".0") == text:
        cell.value = float(text)
    elif text:
        cell.value = text
        cell.data_type = "s"


@pytest.mark.parametrize("name", ["=bore", "'=bore", "''-bore", "+1", "@", "'bore'", "-", '"bore", long'])
def test_a_name_that_a_spreadsheet_would_take_for_a_formula_comes_back(tmp_path: Path, name: str) -> None:
    lumen = Lumen(name=name, inside_mm=None, length_mm=None, landmarks=(Landmark(name=name),))
    item = Item(id="A1", name=name, type="fine_suction", lumens=(lumen,), function=(name,), landmarks=lumen.landmarks)
    catalogue = Catalogue(spares={"A1": item})
    save_catalogue(catalogue, tmp_path)
    assert load_catalogue(tmp_path) == catalogue


def test_a_record_that_no_file_may_hold_is_not_saved(tmp_path: Path) -> None:
    lumen = Lumen(name="bore", inside_mm=Decimal(70), length_mm=None)
    item = Item(id="A1", name="Wide tube", type="tube_dilator", lumens=(lumen,))
    with pytest.raises(CatalogueFaults, match="70 is out of range"):
        save_catalogue(Catalogue(spares={"A1": item}), tmp_path / "saved")
    assert not (tmp_path / "saved").exists()


def test_a_record_that_would_load_back_otherwise_is_not_saved(tmp_path: Path) -> None:
    tray = Tray(code="TR-1", name="Set with  a space after ")
    with pytest.raises(ValueError, match="would not load back the same"):
        save_catalogue(Catalogue(trays={"TR-1": tray}), tmp_path / "saved")
    assert not (tmp_path / "saved").exists()


def test_the_version_of_a_catalogue_is_the_stores_to_count(tmp_path: Path) -> None:
    save_catalogue(Catalogue(version=7), tmp_path)
    assert load_catalogue(tmp_path) == replace(Catalogue(version=7), version=1)
