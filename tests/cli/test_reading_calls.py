"""A set made from files: pictures kept by their bytes, durably and before the set; what is wrong named in one line."""

import argparse
import hashlib
import json
import zlib
from pathlib import Path
from typing import Any

import pytest
from PIL import Image

from kiosk.cli.call import CallFault
from kiosk.cli.readings import JOBS, options, readings
from kiosk.core import events as e
from kiosk.core.readings import mark_of
from kiosk.core.stamp import Kept, Stamp
from kiosk.store.bench_store import BenchStore
from tests.core.department import catalogue
from tests.ui.screens.lumen_stills import lay_stills


@pytest.fixture(scope="module")
def stills(tmp_path_factory: pytest.TempPathFactory) -> list[Path]:
    folder = tmp_path_factory.mktemp("stills")
    lay_stills(folder, ["soil_a.png", "wall_b.png", "wall_c.jpg"])
    return sorted(folder.iterdir())


@pytest.fixture
def store(tmp_path: Path) -> Path:
    made = BenchStore(tmp_path / "store", "B1")
    made.keep_catalogue(catalogue(), at_ms=1_890_000_000_000)
    made.close()
    return tmp_path / "store"


def call(store: Path, *words: str, as_json: bool = False) -> int:
    parser = argparse.ArgumentParser()
    jobs = parser.add_subparsers(dest="what", required=True)
    for what, _ in JOBS:
        options(jobs.add_parser(what), what)
    args = parser.parse_args(list(words), argparse.Namespace(store=store, json=as_json, policy=None, kit=None))
    return readings(args)


def kept(store: Path) -> list[Kept]:
    opened = BenchStore(store)
    try:
        return list(opened.read())
    finally:
        opened.close()


def test_a_set_keeps_each_picture_unchanged_under_its_sha_256(
    store: Path, stills: list[Path], capsys: pytest.CaptureFixture[str]
) -> None:
    assert call(store, "new", "--name", "2031-Q1", *map(str, stills)) == 0
    assert "2031-Q1: a set of 3 pictures" in capsys.readouterr().out
    (one,) = kept(store)
    assert isinstance(one.event, e.ReadingSetMade)
    assert (one.stamp.who, one.stamp.trip) == (None, None)
    for still, picture in zip(stills, one.event.pictures, strict=True):
        data = still.read_bytes()
        assert picture.sha256 == hashlib.sha256(data).hexdigest()
        assert (store / "pictures" / picture.file).read_bytes() == data
        assert still.stem not in picture.file, "what a file was called may say what it shows"


@pytest.mark.parametrize(
    ("files", "said"),
    [
        (["soil_a.png"], "from 2 to 60 pictures"),
        (["soil_a.png", "soil_a.png"], "soil_a.png: is the same picture as soil_a.png"),
        (["soil_a.png", "notes.txt"], "notes.txt: is not named as a picture"),
        (["soil_a.png", "broken.png"], "broken.png: cannot be read as a png picture"),
        (["soil_a.png", "c.png"], "c.png: cannot be read as a png picture"),
        (["soil_a.png", "lying.png"], "lying.png: cannot be read as a png picture"),
        (["soil_a.png", "wide.png"], "wide.png: cannot be read as a png picture"),
        (["soil_a.png", "large.png"], "large.png: is larger than 20 MB"),
        (["soil_a.png", "there.jpg"], "there.jpg: says where on the map it was taken"),
    ],
)
def test_what_is_no_set_is_told_in_one_sentence_and_nothing_of_it_is_kept(
    store: Path, stills: list[Path], tmp_path: Path, files: list[str], said: str
) -> None:
    (tmp_path / "notes.txt").write_text("soil")
    (tmp_path / "broken.png").write_bytes(stills[0].read_bytes()[:400])
    (tmp_path / "c.png").write_bytes(stills[2].read_bytes())
    (tmp_path / "lying.png").write_bytes(_png(b"tEXt" + b"no end of a keyword", 8, 8))
    (tmp_path / "wide.png").write_bytes(_png(b"IEND", 12_000, 12_000))
    with (tmp_path / "large.png").open("wb") as file:
        file.truncate(20_000_001)
    place = Image.Exif()
    place.get_ifd(0x8825)[2] = (48.0, 8.0, 0.0)  # GPSLatitude (EXIF 2.32, from memory)
    Image.new("RGB", (64, 48)).save(tmp_path / "there.jpg", exif=place)
    for still in stills[:2]:
        (tmp_path / still.name).write_bytes(still.read_bytes())
    with pytest.raises(CallFault, match=said):
        call(store, "new", "--name", "2031-Q1", *(str(tmp_path / file) for file in files))
    assert kept(store) == []
    if said != "from 2 to 60 pictures":  # that is said by the rules of the set, when its pictures are there
        assert not (store / "pictures").exists()


def _png(more: bytes, width: int, height: int) -> bytes:
    """The head of a PNG (ISO/IEC 15948) of that size, and one chunk more: its kind and its bytes."""

    def chunk(data: bytes) -> bytes:
        return (len(data) - 4).to_bytes(4, "big") + data + zlib.crc32(data).to_bytes(4, "big")

    head = b"IHDR" + width.to_bytes(4, "big") + height.to_bytes(4, "big") + b"\x08\x02\x00\x00\x00"
    return b"\x89PNG\r\n\x1a\n" + chunk(head) + chunk(more)


def test_a_name_stands_once(store: Path, stills: list[Path]) -> None:
    words = ("new", "--name", "2031-Q1", *map(str, stills))
    call(store, *words)
    with pytest.raises(CallFault, match="There is a set 2031-Q1 already"):
        call(store, *words)


def answered(store: Path) -> None:
    """Two people read the first set, and it ends."""
    opened = BenchStore(store)
    try:
        (made,) = (one.event for one in opened.read() if isinstance(one.event, e.ReadingSetMade))
        events: list[e.Event] = []
        for who, says in (("P-1", ("yes", "no", "yes")), ("P-2", ("yes", "no", "unsure"))):
            mark = mark_of(made.set, who)
            events.append(e.ReadingBegun(set=made.set, reader=mark, seed=7))
            events += [
                e.PictureRead(set=made.set, reader=mark, picture=str(n), says=each) for n, each in enumerate(says, 1)
            ]
        stamp = Stamp(at_ms=1_900_000_000_000, offset_min=0, trusted=True, who=None, trip=None, policy=1, record=1)
        opened.keep([Kept(event=event, stamp=stamp) for event in events])
    finally:
        opened.close()


def end(store: Path) -> None:
    opened = BenchStore(store)
    try:
        (made,) = (one.event for one in opened.read() if isinstance(one.event, e.ReadingSetMade))
        stamp = Stamp(at_ms=1_900_000_100_000, offset_min=0, trusted=True, who="S1", trip=None, policy=1, record=1)
        opened.keep([Kept(event=e.ReadingSetEnded(set=made.set), stamp=stamp)])
    finally:
        opened.close()


def test_the_figure_is_told_when_the_set_has_ended_and_names_nobody(
    store: Path, stills: list[Path], capsys: pytest.CaptureFixture[str]
) -> None:
    call(store, "new", "--name", "2031-Q1", *map(str, stills))
    answered(store)
    call(store, "list")
    assert "2031-Q1: 3 pictures, open; read whole by 2, in part by 0" in capsys.readouterr().out
    with pytest.raises(CallFault, match="still open"):
        call(store, "figures", "--name", "2031-Q1")
    with pytest.raises(CallFault, match="no set is called that"):
        call(store, "figures", "--name", "2031-Q9")
    end(store)
    call(store, "figures", "--name", "2031-Q1", as_json=True)
    told: dict[str, Any] = json.loads(capsys.readouterr().out)
    assert (told["readers"], told["agreeing"], told["pairs"], told["percent"]) == (2, 2, 3, None)
    assert [(one["picture"]["name"], one["answers"]) for one in told["split"]] == [("3", {"unsure": 1, "yes": 1})]
    call(store, "figures", "--name", "2031-Q1")
    text = capsys.readouterr().out
    assert "3: CAN’T TELL 1 · YES 1" in text
    assert "P-1" not in text


def test_a_set_survives_a_snapshot_and_a_new_start_of_the_bench(store: Path, stills: list[Path]) -> None:
    call(store, "new", "--name", "2031-Q1", *map(str, stills))
    answered(store)
    opened = BenchStore(store)
    whole = opened.bench()
    opened.snapshot(whole)
    opened.close()
    again = BenchStore(store)
    try:
        assert again.bench().readings == whole.readings
        assert len(again.bench().readings.read) == 1
    finally:
        again.close()


def offer(store: Path, *words: str, as_json: bool = False) -> int:
    from kiosk.cli import references

    parser = argparse.ArgumentParser()
    jobs = parser.add_subparsers(dest="what", required=True)
    for what, _ in references.JOBS:
        references.options(jobs.add_parser(what), what)
    args = parser.parse_args(list(words), argparse.Namespace(store=store, json=as_json, policy=None, kit=None))
    return references.references(args)


def test_a_reference_picture_is_offered_by_file_and_listed_as_waiting(
    store: Path, stills: list[Path], capsys: pytest.CaptureFixture[str]
) -> None:
    offer(store, "offer", "--type", "fine_suction", "--finding", "bone_grit", str(stills[0]))
    (one,) = kept(store)
    assert isinstance(one.event, e.ReferenceOffered)
    assert one.event.sha256 == hashlib.sha256(stills[0].read_bytes()).hexdigest()
    assert (store / "pictures" / one.event.file).read_bytes() == stills[0].read_bytes()
    capsys.readouterr()
    offer(store, "list")
    assert "Waits for 2 more to agree." in capsys.readouterr().out
    offer(store, "list", as_json=True)
    (row,) = json.loads(capsys.readouterr().out)
    assert (row["number"], row["type"], row["finding"], row["version"], row["counts"], row["by"]) == (
        "RF-10001", "fine_suction", "bone_grit", 0, False, [],
    )  # fmt: skip


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (("--type", "teapot", "--finding", "bone_grit"), "No item type has the code teapot."),
        (("--type", "fine_suction", "--finding", "lovely"), "No finding has the code lovely."),
    ],
)
def test_a_reference_of_nothing_known_is_told_in_one_sentence(
    store: Path, stills: list[Path], words: tuple[str, ...], said: str
) -> None:
    with pytest.raises(CallFault, match=said):
        offer(store, "offer", *words, str(stills[0]))
    assert kept(store) == []
