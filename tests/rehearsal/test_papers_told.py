"""What came of a paper reaches the log, whatever the disk does meanwhile; no page waits for ever."""

from collections.abc import Iterator, Sequence
from pathlib import Path

import pytest
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication
from sqlite_utils.utils import sqlite3

from kiosk.app.stage import Stage
from kiosk.core import commands as c
from kiosk.core.agenda import next_step
from kiosk.core.stamp import Kept
from kiosk.rehearsal.player import Player
from kiosk.rehearsal.scenario import read_scenario
from kiosk.rehearsal.world import build
from kiosk.store.bench_store import Outage
from kiosk.store.database import FILE

SCENARIO = Path(__file__).parent.parent / "scenarios" / "S01.yaml"
WAIT_MS = 30_000


@pytest.fixture
def packed(qapp: QApplication, tmp_path: Path) -> Iterator[Player]:
    """The tray of S01, ready to be packed and printed."""
    scenario = read_scenario(SCENARIO)
    player = Player(scenario, build(scenario), Stage, out=tmp_path, size=(1280, 800), pictures=False)
    for action in scenario.when:
        if action["do"] == "print":
            break
        player.step_up(action)
        getattr(player, f"do_{action['do']}")(action)
    yield player
    player.close()


def step(player: Player) -> str:
    session = player.stage.kiosk.session
    return next_step(session.bench, session.desk).kind


def until(player: Player, wanted: str) -> bool:
    for _ in range(WAIT_MS // 50):
        if step(player) == wanted:
            return True
        QTest.qWait(50)
    return False


def test_a_print_that_could_not_be_noted_is_noted_at_the_next_heartbeat(packed: Player, tmp_path: Path) -> None:
    """A second connection holds the database's write lock while the printer answers: the store is really busy."""
    kiosk = packed.stage.kiosk
    kiosk.store.store.db.conn.execute("PRAGMA busy_timeout = 50")
    kiosk.window.sent.emit(c.PackAndPrint())
    other = sqlite3.connect(tmp_path / "store" / FILE, isolation_level=None)
    other.execute("BEGIN IMMEDIATE")
    while kiosk.busy():
        QTest.qWait(50)
    assert step(packed) == "print"
    other.execute("ROLLBACK")
    other.close()
    kiosk.heartbeat()
    assert step(packed) == "readable"
    trip = kiosk.session.bench.trip
    assert trip is not None
    assert all(job.where and not job.why for job in trip.jobs)


def test_papers_asked_for_by_a_commit_in_doubt_are_offered_again(
    packed: Player, monkeypatch: pytest.MonkeyPatch
) -> None:
    """The commit reaches the disk and its answer is lost: nobody was told to print, so the papers failed."""
    kiosk = packed.stage.kiosk
    keep = kiosk.store.keep

    def in_doubt(kepts: Sequence[Kept]) -> None:
        keep(kepts)
        raise Outage("disk", doubt=True)

    monkeypatch.setattr(kiosk.store, "keep", in_doubt)
    kiosk.window.sent.emit(c.PackAndPrint())
    monkeypatch.undo()
    assert until(packed, "print_failed")
    kiosk.window.sent.emit(c.PrintAgain())
    assert until(packed, "readable")
