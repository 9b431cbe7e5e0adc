"""What the bench works out while a person waits: a large tray's plan, a code in a camera's picture, a catalogue."""

import csv
from collections.abc import Iterator
from dataclasses import replace
from itertools import count
from pathlib import Path

import pytest
import zxingcpp
from PIL import Image
from PySide6.QtGui import QImage
from qrcode import QRCode
from sqlite_utils.utils import sqlite3

from kiosk.codes.read import read_text
from kiosk.core.catalogue import Item
from kiosk.devices.code_reader import read_picture
from kiosk.lumen.planner import plan_tray
from kiosk.places import RESOURCES
from kiosk.store.catalogue_files import load_catalogue
from kiosk.store.catalogue_store import keep_catalogue
from kiosk.store.database import Store
from tests.lumen.bench import default_kit, default_policy
from tests.speed.conftest import Tell
from tests.speed.figures import Figure, in_turn, took_ms

pytestmark = pytest.mark.slow

LUMENS, ITEMS = 120, 10_000
FRAME_MS = 1000 / 60
DEMO = RESOURCES / "demo"


def _tray_of(lumens: int) -> list[Item]:
    """Items of the demo department, over and over, until they have so many lumens."""
    every = [item for tray in load_catalogue(DEMO).trays.values() for item in tray.items if item.lumens]
    items: list[Item] = []
    for n in count():
        items.append(replace(every[n % len(every)], id=f"X{n}"))
        if sum(len(item.lumens) * item.qty for item in items) >= lumens:
            return items
    raise AssertionError


def test_the_plan_of_a_tray_of_120_lumens_with_reasons_against_one_frame(tell: Tell) -> None:
    items, policy, kit = _tray_of(LUMENS), default_policy(), default_kit()
    plans = plan_tray(items, policy, kit)
    assert all(check.because for plan in plans for check in plan.checks)
    lumens = sum(len(plan.lumens) for plan in plans)
    ours = [took_ms(lambda: plan_tray(items, policy, kit)) for _ in range(15)]
    what = f"plan of a tray of {lumens} lumens, with reasons"
    tell(Figure(row=5, what=what, against="one frame at 60 a second", ours=ours, base=[FRAME_MS], goal=0.5))


@pytest.mark.usefixtures("qapp")
def test_the_meaning_of_a_code_in_a_picture_of_1280x720_against_the_reader_alone(tell: Tell) -> None:
    code = QRCode(box_size=6)
    code.add_data("TR-0734")
    picture = Image.effect_noise((1280, 720), 6)
    picture.paste(code.make_image().get_image().convert("L"), (500, 250))
    bytes_ = picture.tobytes()
    frame = QImage(bytes_, 1280, 720, 1280, QImage.Format.Format_Grayscale8)

    def meaning() -> object:
        (text,) = read_picture(frame, 0)
        return read_text(text)

    alone = zxingcpp.read_barcodes(picture)
    assert [each.text for each in alone] == ["TR-0734"]
    assert "TR-0734" in str(meaning())
    ours, base = in_turn(meaning, lambda: zxingcpp.read_barcodes(picture), runs=15)
    what = "a picture of 1280x720 to the meaning of its code"
    tell(Figure(row=8, what=what, against="zxing-cpp alone", ours=ours, base=base, goal=1.2))


def _copies() -> Iterator[tuple[str, list[list[str]]]]:
    """The sheets of the demo department, its trays and items again and again under other numbers."""
    items = len((DEMO / "items.csv").read_text(encoding="utf-8").splitlines()) - 1
    for name in ("trays", "items", "lumens"):
        with (DEMO / f"{name}.csv").open(newline="", encoding="utf-8") as file:
            head, *rows = csv.reader(file)
        named = [place for place, column in enumerate(head) if column in {"tray", "item"}]
        out = [head]
        for n in range(-(-ITEMS // items)):
            out += [[f"{cell}{n:03d}" if at in named and cell else cell for at, cell in enumerate(row)] for row in rows]
        yield name, out


def test_a_catalogue_of_10_000_items_against_its_bare_rows(tmp_path: Path, tell: Tell) -> None:
    """Read, checked, kept as a version; against the same sheets read and put into tables as they are."""
    sheets = dict(_copies())
    for name, rows in sheets.items():
        with (tmp_path / f"{name}.csv").open("w", newline="", encoding="utf-8") as file:
            csv.writer(file).writerows(rows)
    files = [tmp_path / f"{name}.csv" for name in sheets]

    def checked_and_kept(folder: Path) -> int:
        catalogue = load_catalogue(files)
        with Store(folder, "B1") as store:
            keep_catalogue(store, catalogue, at_ms=0)
        return sum(len(tray.items) for tray in catalogue.trays.values())

    def bare(file: Path) -> None:
        connection = sqlite3.connect(file)
        for path in files:
            with path.open(newline="", encoding="utf-8") as opened:
                head, *rows = csv.reader(opened)
            connection.execute(f"CREATE TABLE {path.stem} ({', '.join(head)})")
            connection.executemany(f"INSERT INTO {path.stem} VALUES ({', '.join('?' * len(head))})", rows)
        connection.commit()
        connection.close()

    stores, tables = (tmp_path / str(n) for n in count()), (tmp_path / f"{n}.db" for n in count())
    assert len(sheets["items"]) > ITEMS
    assert checked_and_kept(next(stores)) > 0.9 * ITEMS  # some lie in no tray
    ours, base = in_turn(lambda: checked_and_kept(next(stores)), lambda: bare(next(tables)))
    what = f"catalogue of {ITEMS:,} items from CSV, checked and kept"
    against = "csv reader and executemany of the same rows"
    tell(Figure(row=9, what=what, against=against, ours=ours, base=base, goal=4))
