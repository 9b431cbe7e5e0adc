"""The scopes' test target at the start of the shift, at the whole kiosk: read by touches, kept as figures, beside the
first day's; a person answers. Pictures of the printed page as tests/sight/target_pictures.py makes them."""

import io
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from PIL import Image
from PySide6.QtWidgets import QApplication
from pytestqt.qtbot import QtBot

from kiosk.core import commands as c
from kiosk.core import events as e
from kiosk.core import views as v
from kiosk.core.agenda import next_step
from kiosk.devices.source_named import Sight, SightKind
from kiosk.rehearsal.fingers import Fingers
from tests.app.seeing import drops
from tests.core.department import EAR, PIN
from tests.faults.glass import GlassShift
from tests.sight.target_pictures import seen

__all__ = ["drops"]


class Start:
    """The bench start-up at its question of the scopes, a folder for the scope's pictures, and a hand at the glass."""

    def __init__(self, qtbot: QtBot, folder: Path, drops: Path) -> None:
        self.qtbot, self.drops, self.number = qtbot, drops, 0
        self.shift = GlassShift(folder=folder / "store", sight=Sight(kind=SightKind.FOLDER, where=str(drops)))
        assert self.shift.kiosk is not None
        assert self.shift.clock is not None
        self.kiosk = self.shift.kiosk
        self.fingers = Fingers(lambda: self.kiosk.window, self.shift.clock)
        self.kiosk.start(looks_for_quiet=False)
        self.sign_in()

    def sign_in(self) -> None:
        self.shift.must(c.EnterPin(person="T1", pin=PIN))
        while (question := self.shift.step.question) != "scope":
            self.shift.must(c.AnswerStartup(question=question, yes=True))

    @property
    def scope(self) -> str:
        return self.shift.desk.catalogue.kit.scopes[0].id

    def touch(self, name: str) -> None:
        self.fingers.tap(self.fingers.find(lambda key: key.objectName() == name, name))

    def open(self) -> None:
        self.touch("test target")
        if isinstance(self.kiosk.session.view(), v.MenuView):
            self.touch(f"target of {self.scope}")

    def read(self, **more: Any) -> None:
        """A picture of the target comes; it is read."""
        assert self.kiosk.eyes is not None
        source: Any = self.kiosk.eyes.source
        source.start()
        self.qtbot.waitUntil(lambda: source._look._begun, timeout=20_000)
        before, self.number = source.still(), self.number + 1
        held = io.BytesIO()
        Image.fromarray(seen(**more)).save(held, "PNG")
        part = self.drops / "new.part"
        part.write_bytes(held.getvalue())
        part.rename(self.drops / f"{self.number}.png")
        self.qtbot.waitUntil(lambda: source.still() is not before, timeout=20_000)
        self.touch("read target")
        self.qtbot.waitUntil(lambda: not self.kiosk.target_reading.busy, timeout=30_000)
        self.fingers.settle()

    @property
    def view(self) -> v.TargetView:
        shown = self.kiosk.session.view()
        assert isinstance(shown, v.TargetView)
        return shown

    def kept(self) -> list[e.ScopeTargetRead]:
        found = [k.event for _, k in self.kiosk.store.records.kept("scope_target_read")]
        return [each for each in found if isinstance(each, e.ScopeTargetRead)]


@pytest.fixture
def start(qapp: QApplication, qtbot: QtBot, tmp_path: Path, drops: Path) -> Iterator[Start]:
    start = Start(qtbot, tmp_path, drops)
    yield start
    start.kiosk.stop()
    start.kiosk.window.close()


def test_the_first_reading_is_the_first_day_and_the_next_stands_beside_it(start: Start) -> None:
    start.open()
    assert "first reading" in start.view.lines[0]
    start.read(blur_px=1.5)
    assert "This is its first day." in start.view.lines[-1]
    start.shift.minutes(60)
    start.read(blur_px=1.5, noise=1.0)
    first, again = start.kept()
    assert again.figures.sharp == pytest.approx(first.figures.sharp, rel=0.03)
    assert again.shift <= 5
    assert not start.view.worse
    share = round(100 * again.figures.sharp / first.figures.sharp)
    assert start.view.lines[1].endswith(f"{share} % of its first day.")


def test_worse_than_on_the_first_day_is_one_sentence_and_a_person_decides(start: Start) -> None:
    start.open()
    start.read(blur_px=1.5)
    start.read(blur_px=3.0, tint=(1.0, 0.9, 0.6))
    said = f"{start.scope}: sharpness, colors worse than on its first day."
    assert start.view.worse == said
    start.touch("rail.back")
    view = start.kiosk.session.view()
    assert isinstance(view, v.AskView)
    assert view.facts == (said,)
    assert view.yes.send == c.AnswerStartup(question="scope", yes=True), "nothing is stopped by it"
    start.fingers.send(view.yes.send)
    assert start.shift.step.question != "scope"


def test_what_can_not_be_read_is_said_and_nothing_is_kept(start: Start) -> None:
    start.open()
    start.read(px_per_mm=80.0)
    assert start.view.notice == "The target is not seen whole. Fill the picture with its black frame."
    assert not start.kept()


def test_the_figures_are_folded_alike_after_the_program_started_again(start: Start) -> None:
    start.open()
    start.read(blur_px=1.5)
    before = start.shift.bench.targets
    assert before[start.scope].first == before[start.scope].last
    assert start.kiosk.store.recover().targets == before


def test_the_page_is_printed_from_here(start: Start, tmp_path: Path) -> None:
    start.open()
    start.touch("print target")
    start.qtbot.waitUntil(lambda: not start.kiosk.busy(), timeout=30_000)
    (paper,) = (tmp_path / "papers").glob("scope_target*.pdf")
    assert paper.stat().st_size > 1_000


def test_with_a_tray_on_the_bench_there_is_no_such_page_and_no_reading_is_taken(start: Start) -> None:
    start.shift.must(c.AnswerStartup(question="scope", yes=True))
    while start.shift.step.kind == "startup":
        start.shift.must(c.AnswerStartup(question=start.shift.step.question, yes=True))
    start.shift.open(EAR)
    start.shift.must(c.Turn(page=c.Page.TARGET, subject=start.scope))
    assert not isinstance(start.kiosk.session.view(), v.TargetView)
    assert next_step(start.shift.bench, start.kiosk.session.here).kind == "count"


def test_without_a_source_of_pictures_there_is_no_key(start: Start) -> None:
    start.kiosk.session.sight = ""
    start.kiosk.repaint()
    assert "test target" not in {key.objectName() for key in start.fingers.buttons()}
