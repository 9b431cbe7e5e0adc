"""What takes long to reckon is reckoned beside the screen, and the page that asked shows it when it is there."""

from collections.abc import Iterator
from pathlib import Path
from threading import Event, current_thread, main_thread
from typing import Any

import pytest
from PySide6.QtTest import QSignalSpy, QTest
from PySide6.QtWidgets import QApplication

from kiosk.app.stage import Stage
from kiosk.core import commands as c
from kiosk.core.commands import Page
from kiosk.core.views import MenuView, PanelsView
from kiosk.quality import remembered
from kiosk.quality.remembered import Remembered
from kiosk.rehearsal.player import Player
from kiosk.rehearsal.scenario import read_scenario
from kiosk.rehearsal.world import build

SCENARIO = Path(__file__).parent.parent / "scenarios" / "S01.yaml"
WAIT_MS = 20_000


@pytest.fixture
def player(qapp: QApplication, tmp_path: Path) -> Iterator[Player]:
    scenario = read_scenario(SCENARIO)
    player = Player(scenario, build(scenario), Stage, out=tmp_path, size=(1280, 800), pictures=False)
    yield player
    player.close()


def ask(kiosk: Any) -> Any:
    kiosk.send(c.Turn(page=Page.KIT_CHANGES))
    return kiosk.session.view()


def test_what_kit_would_change_is_shown_when_it_is_reckoned_without_a_further_touch(
    player: Player, monkeypatch: pytest.MonkeyPatch
) -> None:
    go_on, threads, real = Event(), [], Remembered.changes

    def slow(self: Remembered, *given: Any) -> Any:
        threads.append(current_thread())
        assert go_on.wait(WAIT_MS / 1000)
        return real(self, *given)

    monkeypatch.setattr(remembered, "PATIENCE_S", 0.01)
    monkeypatch.setattr(Remembered, "changes", slow)
    kiosk: Any = player.stage.kiosk
    first = ask(kiosk)
    assert isinstance(first, MenuView)
    painted = QSignalSpy(kiosk.painted)
    go_on.set()
    assert painted.wait(WAIT_MS)
    assert isinstance(kiosk.session.view(), PanelsView)
    assert threads
    assert main_thread() not in threads


def test_a_station_that_stops_meanwhile_hears_no_more_of_it(
    qapp: QApplication, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    go_on, ended, real = Event(), Event(), Remembered._reckon

    def slow(self: Remembered, *given: Any) -> None:
        assert go_on.wait(WAIT_MS / 1000)
        real(self, *given)
        ended.set()

    monkeypatch.setattr(remembered, "PATIENCE_S", 0.01)
    monkeypatch.setattr(Remembered, "_reckon", slow)
    scenario = read_scenario(SCENARIO)
    player = Player(scenario, build(scenario), Stage, out=tmp_path, size=(1280, 800), pictures=False)
    assert isinstance(ask(player.stage.kiosk), MenuView)
    player.close()
    go_on.set()
    assert ended.wait(WAIT_MS / 1000)
    QTest.qWait(100)
