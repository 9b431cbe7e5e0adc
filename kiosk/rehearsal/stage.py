"""What the player needs of the bench program it plays: the app gives it (`kiosk.app.stage`)."""

from pathlib import Path
from typing import Protocol

from kiosk.core.session import Session
from kiosk.devices.clock import HandClock
from kiosk.rehearsal.world import World
from kiosk.store.bench_store import BenchStore
from kiosk.ui.window import Window


class Program(Protocol):
    """A running bench."""

    session: Session
    window: Window
    store: BenchStore

    def scanned(self, raw: str) -> None: ...
    def heartbeat(self) -> None: ...
    def busy(self) -> bool: ...


class Stage(Protocol):
    """A bench that can be started, cut off and started again."""

    incoming: Path
    papers: Path

    @property
    def kiosk(self) -> Program: ...
    def cut_power(self) -> None: ...
    def power_back(self) -> None: ...
    def close(self) -> None: ...


class MakeStage(Protocol):
    """Makes the stage of one scenario."""

    def __call__(self, world: World, clock: HandClock, folder: Path, size: tuple[int, int]) -> Stage: ...
