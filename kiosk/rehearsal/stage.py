"""What the player needs of the bench program it plays: the app gives it (`kiosk.app.stage`)."""

from collections.abc import Sequence
from pathlib import Path
from typing import Protocol

from kiosk.core.session import Session
from kiosk.devices.clock import HandClock
from kiosk.rehearsal.printer import SwitchedPrinter
from kiosk.rehearsal.world import World
from kiosk.store.bench_store import BenchStore
from kiosk.ui.window import Window


class Program(Protocol):
    """A running station."""

    session: Session
    window: Window
    store: BenchStore

    def scanned(self, raw: str) -> None: ...
    def heartbeat(self) -> None: ...
    def look_for_quiet(self) -> None: ...
    def listen(self) -> None: ...
    def busy(self) -> bool: ...


class Stage(Protocol):
    """A station that can be started, cut off and started again."""

    incoming: Path
    papers: Path
    printer: SwitchedPrinter

    @property
    def kiosk(self) -> Program: ...
    def cut_power(self) -> None: ...
    def power_back(self) -> None: ...
    def close(self) -> None: ...


class MakeStage(Protocol):
    """Makes one station of a scenario; `beside` names the store folders that it hears."""

    def __call__(
        self,
        world: World,
        clock: HandClock,
        folder: Path,
        size: tuple[int, int],
        *,
        station: str = "B1",
        beside: Sequence[Path] = (),
    ) -> Stage: ...
