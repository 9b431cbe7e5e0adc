"""The reading practice on the running station: through a loss of power, and on to the printed page."""

import time
from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path

import pypdfium2 as pdfium  # type: ignore[import-untyped]
import pytest
from PySide6.QtWidgets import QApplication

from kiosk import resources
from kiosk.app.stage import Stage
from kiosk.core import commands as c
from kiosk.core import events as e
from kiosk.core.commands import Page
from kiosk.core.readings import ReadingPicture
from kiosk.core.views import PictureView, ReadingView
from kiosk.devices.clock import HandClock
from kiosk.rehearsal.world import World
from kiosk.store.bench_store import BenchStore
from kiosk.ui.parts.answers import AnswerPlate
from tests.core.department import MORNING, PIN, catalogue
from tests.core.reading_sets import SET
from tests.ui.screens.lumen_stills import lay_stills

PICTURES = 4


@pytest.fixture
def stage(qapp: QApplication, tmp_path: Path) -> Iterator[Stage]:
    """A station on whose disk a set of four pictures was made."""
    world = World(catalogue=catalogue(), policy=resources.policy({}), at_ms=MORNING, day="2031-02-27")
    made = Stage(world, HandClock(at_ms=MORNING), tmp_path / "stage", (1280, 800))
    lay_stills(tmp_path / "taken", [f"{n}.png" for n in range(PICTURES)])
    kept = []
    for n in range(PICTURES):
        file = f"reading_{n}.png"
        digest = made.kiosk.store.keep_picture(file, (tmp_path / "taken" / f"{n}.png").read_bytes())
        kept.append(ReadingPicture(name=str(n + 1), file=file, sha256=digest))
    made.kiosk.send(c.MakeReadingSet(set=SET, name="2031-Q1", pictures=tuple(kept)))
    yield made
    made.close()


def sign_in(stage: Stage, who: str) -> None:
    if stage.kiosk.session.bench.who:
        stage.kiosk.send(c.SignOut())
    stage.kiosk.send(c.EnterPin(person=who, pin=PIN))
    assert stage.kiosk.session.bench.who == who


def said(store: BenchStore) -> list[e.PictureRead]:
    """The answers in the log on the disk."""
    return [kept.event for kept in store.read() if isinstance(kept.event, e.PictureRead)]


def reads(stage: Stage, says: str, most: int = PICTURES) -> int:
    """Answers so many pictures one way; how many there were to answer."""
    stage.kiosk.send(c.BeginReading(set=SET))
    for n in range(most):
        view = stage.kiosk.session.view()
        if not isinstance(view, ReadingView):
            return n
        plates = stage.kiosk.window.findChildren(AnswerPlate)
        assert any(plate.isVisible() for plate in plates), "the picture lies in the station's store and is shown"
        stage.kiosk.send(replace_says(view, says))
    return most


def replace_says(view: ReadingView, says: str) -> c.ReadPicture:
    assert isinstance(view.yes.send, c.ReadPicture)
    return replace(view.yes.send, says=says)


def test_after_a_loss_of_power_a_reading_goes_on_with_what_was_not_answered_and_nothing_is_lost(stage: Stage) -> None:
    sign_in(stage, "T1")
    reads(stage, "no", 3)
    asked = stage.kiosk.session.view()
    assert isinstance(asked, ReadingView)
    stage.cut_power()
    left = BenchStore(stage.folder / "store")
    assert [one.says for one in said(left)] == ["no"] * 3
    left.close()
    stage.power_back()
    sign_in(stage, "T1")
    stage.kiosk.send(c.BeginReading(set=SET))
    again = stage.kiosk.session.view()
    assert isinstance(again, ReadingView)
    assert again.picture == asked.picture
    assert reads(stage, "yes") == 1
    assert sorted(one.picture for one in said(stage.kiosk.store)) == ["1", "2", "3", "4"]


def test_the_page_for_the_huddle_is_printed_with_the_pictures_that_lie_in_the_store(stage: Stage) -> None:
    for who, says in (("T1", "yes"), ("T2", "no"), ("S1", "no")):
        sign_in(stage, who)
        reads(stage, says)
    stage.kiosk.send(c.EndReadingSet(set=SET))
    stage.kiosk.send(c.Turn(page=Page.READING_SPLIT, subject=SET))
    assert isinstance(stage.kiosk.session.view(), PictureView)
    stage.kiosk.send(c.PrintReport(doc="reading_report", about=SET))
    until = time.monotonic() + 30
    while stage.kiosk.busy() and time.monotonic() < until:
        QApplication.processEvents()
        time.sleep(0.02)
    (paper,) = stage.papers.rglob("*RD-10001*.pdf")
    kind = pdfium.raw.FPDF_PAGEOBJ_IMAGE
    images = [each for sheet in pdfium.PdfDocument(paper) for each in sheet.get_objects(filter=[kind])]
    assert len(images) == PICTURES


def test_on_a_full_disk_no_picture_of_a_set_makes_room(stage: Stage, monkeypatch: pytest.MonkeyPatch) -> None:
    from kiosk.app.shelf import keep_with_room
    from kiosk.store.outage import Outage

    kiosk = stage.kiosk
    loose = kiosk.store.store.folder / "pictures" / "loose.png"
    loose.write_bytes(b"\x89PNG" * 40)
    chosen = stage.incoming / "chosen.png"
    chosen.write_bytes(b"\x89PNG" * 4_000)
    tries = []

    def full_once(name: str, data: bytes) -> str:
        tries.append(name)
        if len(tries) == 1:
            raise Outage("disk_full")
        return "0" * 64

    monkeypatch.setattr(kiosk.store, "keep_picture", full_once)
    _, gone = keep_with_room(kiosk.store, stage.incoming, "new.png", chosen)
    assert gone == 1
    assert not loose.exists()
    assert all((kiosk.store.store.folder / "pictures" / f"reading_{n}.png").exists() for n in range(PICTURES))
