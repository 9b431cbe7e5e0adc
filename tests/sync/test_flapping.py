"""The written shifts hold with the courier running, while the hub dies and comes back all the time.

THROUGHLIGHT_SHIFTS=all plays all twenty-four; else a handful.
"""

import os
import sys
from collections.abc import Iterator
from pathlib import Path
from threading import Event, Thread
from typing import Any

import pytest
from PySide6.QtWidgets import QApplication

from kiosk.app.stage import Stage
from kiosk.rehearsal.play import play
from kiosk.rehearsal.scenario import read_scenario
from kiosk.store.incarnation import incarnations
from kiosk.sync import courier as couriers
from kiosk.sync.courier import Courier
from kiosk.sync.entry import Entry
from kiosk.sync.founding import administrator, enroll
from kiosk.sync.own import OwnLog
from tests.sync.department import Department, new_department
from tests.sync.server import Server, needs_one
from tests.sync.test_courier import until

pytestmark = [pytest.mark.postgres, pytest.mark.slow]

SCENARIOS = Path(__file__).parents[1] / "scenarios"
ALL = tuple(f"S{n:02}" for n in range(1, 25))
PLAYED = ALL if os.environ.get("THROUGHLIGHT_SHIFTS") == "all" else ("S01", "S06", "S13", "S20", "S24")


class Flapping:
    """A server that is killed and started again, over and over, until it is told to stay."""

    def __init__(self, folder: Path) -> None:
        self.server, self.deaths = Server(folder), 0
        self._goes_on, self._ended = Event(), Event()
        self._resting = Event()
        self._thread = Thread(target=self._run, daemon=True)
        self._thread.start()

    def flap(self) -> None:
        """From now on it dies and comes back."""
        self._resting.clear()
        self._goes_on.set()

    def stay(self) -> None:
        """It is up, and stays."""
        self._goes_on.clear()
        self._resting.wait()

    def close(self) -> None:
        """It ends."""
        self._ended.set()
        self._goes_on.set()
        self._thread.join()
        self.server.stop()

    def _run(self) -> None:
        while not self._ended.is_set():
            if not self._goes_on.is_set():
                self._resting.set()
                self._goes_on.wait()
                continue
            self._ended.wait(0.3)
            self.server.kill()
            self.deaths += 1
            self._ended.wait(0.2)
            self.server.start()


@pytest.fixture(scope="module")
def flapping(ground: Path) -> Iterator[Flapping]:
    """A server of its own: it dies."""
    needs_one()
    found = Flapping(ground / "flapping")
    yield found
    found.close()


@pytest.fixture
def department(flapping: Flapping) -> Department:
    """A hub on it."""
    return new_department(flapping.server)


def _stage_with(department: Department, flapping: Flapping, stages: list[Any]) -> type[Stage]:
    passwords: dict[str, str] = {}

    def courier(folder: Path, station: str) -> Courier:
        """Let in under the station's own name and key, while the hub is up; then it dies again."""
        flapping.stay()
        own = OwnLog(folder)
        known = incarnations(own._connection)
        own.close()
        with administrator(department.server.socket_url(department.name)) as connection:
            login, password = enroll(
                connection,
                department=department.dept,
                bench=station,
                origin=known[0].origin,
                public_key=known[0].public_key,
            )
        passwords[login] = password or passwords[login]
        flapping.flap()
        entry = Entry(login=login, password=passwords[login], department=department.dept)
        return Courier(folder, department.server.url(department.name), entry, plain=True, quick=True)

    class WithHub(Stage):
        def __init__(self, *args: Any, station: str = "B1", **more: Any) -> None:
            stages.append(self)
            super().__init__(*args, station=station, courier=lambda folder: courier(folder, station), **more)

        def close(self) -> None:
            """The hub stays from here on: everything that was kept must come to it."""
            flapping.stay()
            store = self.kiosk.store
            until(lambda: len(department.stored(store.store.origin)) == store.log.head().seq)
            own = OwnLog(store.store.folder)
            kept = [tuple(row) for row in own.rows(0, 1 << 60, 1 << 30)]
            own.close()
            self.at_hub = department.stored(store.store.origin) == kept
            super().close()

    return WithHub


@pytest.mark.timeout(300)
@pytest.mark.parametrize("name", PLAYED)
def test_a_written_shift_holds_while_the_hub_dies_and_comes_back(
    name: str,
    qapp: QApplication,
    department: Department,
    flapping: Flapping,
    tmp_path: Path,
    monkeypatch: pytest.MonkeyPatch,
    capsys: pytest.CaptureFixture[str],
) -> None:
    monkeypatch.setattr(couriers, "MOST_BACK_S", 1.0)  # a play is short: the hub is asked again while it lasts
    stages: list[Any] = []
    before = flapping.deaths
    result = play(read_scenario(SCENARIOS / f"{name}.yaml"), _stage_with(department, flapping, stages), tmp_path)
    assert result.missed == []
    assert result.checked > 5
    assert flapping.deaths > before
    assert [stage.at_hub for stage in stages] == [True] * len(stages)
    with capsys.disabled():
        sys.stdout.write(f"\n{name}: {len(stages)} stations, the hub died {flapping.deaths - before} times")
