"""A station of the day: a real session on a real store, with an ear on the stations beside it."""

from collections.abc import Sequence
from itertools import takewhile
from pathlib import Path
from typing import Any

from kiosk import resources
from kiosk.core import commands as c
from kiosk.core.desk import Desk
from kiosk.core.events import TrayOpened
from kiosk.core.session import Session
from kiosk.core.stamp import Kept
from kiosk.devices.clock import HandClock
from kiosk.store.bench_store import BenchStore
from kiosk.store.chain import COLUMNS
from kiosk.sync.beside import Beside

_AT_MS = COLUMNS.index("at_ms")


class Station:
    """B1, B2 or D1. `folder` holds a store for each station, under its name."""

    def __init__(self, name: str, folder: Path, desk: Desk, clock: HandClock, others: Sequence[str]) -> None:
        self.name, self.folder, self.desk, self.clock = name, folder, desk, clock
        self.others = tuple(others)
        self.started = 0
        self.start()

    def start(self) -> None:
        """Start the program on what the disk holds."""
        self.store = BenchStore(self.folder / self.name, self.name)
        self.ears = [Beside(self.folder / other) for other in self.others]
        self.session = Session(
            bench=self.store.bench(),
            desk=self.desk,
            words=resources.words(),
            clock=self.clock.now,
            keep=self.store.keep,
        )
        self._hear(list(self.store.heard.read()))
        self.session.send(c.Started(last_alive_ms=self.store.last_alive()))
        self.started += 1

    def kill(self) -> None:
        """The program is gone from one instruction to the next: nothing is tidied, nothing is said."""
        self.store.close()
        for ear in self.ears:
            ear.close()

    def end(self) -> None:
        """The program is closed as it should be."""
        self.store.snapshot(self.session.bench)
        self.store.rest()
        self.kill()

    def trays_opened(self) -> frozenset[str]:
        """The trays that were opened here."""
        return frozenset(kept.event.tray.code for kept in self.store.read() if isinstance(kept.event, TrayOpened))

    def listen(self) -> None:
        """Take in what the others kept up to now. Their clocks may be a step ahead: what is not yet, is not heard."""
        now = self.clock.now().at_ms
        for ear in self.ears:
            told = ear.fetch(self.store.heard.heads())
            until_now: list[Any] = list(takewhile(lambda row: row[_AT_MS] <= now, told.rows if told else ()))
            if told and until_now:
                self._hear(self.store.heard.take(told.origin, until_now, was=told.was, public_key=told.public_key))
                self.session.send(c.Heard())
        self.store.alive(now)

    def _hear(self, told: Sequence[tuple[str, Kept]]) -> None:
        for station in dict.fromkeys(name for name, _ in told):
            self.session.hear(station, [kept for name, kept in told if name == station])
