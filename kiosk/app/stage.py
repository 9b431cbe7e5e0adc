"""The stage of a rehearsal: a real station, with a clock moved by hand and papers in a folder."""

from collections.abc import Callable, Sequence
from pathlib import Path

from PySide6.QtCore import QObject

from kiosk.app.kiosk import Kiosk, Shelves
from kiosk.app.opening import guess_px_per_mm, make_window
from kiosk.desk import make_desk
from kiosk.devices.clock import HandClock
from kiosk.paper.printer import FolderPrinter
from kiosk.rehearsal.printer import SwitchedPrinter
from kiosk.rehearsal.world import World
from kiosk.store.bench_store import BenchStore
from kiosk.sync.courier import Courier


class Stage(QObject):
    """One station's program, started and stopped as often as the play wants; the store's folder stays.

    `station`: B1, B2 on the clean side, D1 in decontam. `beside`: the store folders of the others. `courier`:
    makes the way to a hub from the store's folder.
    """

    px_per_mm: float | None = None  # of the screen that is played on; None: the likely one for its size

    def __init__(
        self,
        world: World,
        clock: HandClock,
        folder: Path,
        size: tuple[int, int],
        *,
        station: str = "B1",
        beside: Sequence[Path] = (),
        courier: Callable[[Path], Courier] | None = None,
    ) -> None:
        super().__init__()
        self.world, self.clock, self.folder, self.size = world, clock, folder, size
        self.station, self.beside, self.courier = station, beside, courier
        self.papers = folder / "papers"
        self.printer = SwitchedPrinter(FolderPrinter(self.papers))
        self.incoming = folder / "incoming"
        self.incoming.mkdir(parents=True, exist_ok=True)
        self.kiosk = self._start()

    def _start(self) -> Kiosk:
        side = "decontam" if self.station.startswith("D") else "clean"
        store = BenchStore(self.folder / "store", self.station)
        window = make_window(self.size, self.px_per_mm or guess_px_per_mm(self.size), self.clock, side=side)
        kiosk = Kiosk(
            store=store,
            desk=make_desk(self.world.catalogue, self.world.policy, bench_number=int(self.station[1:]), side=side),
            clock=self.clock,
            window=window,
            printer=self.printer,
            shelves=Shelves(incoming=self.incoming),
            beside=self.beside,
            courier=self.courier(self.folder / "store") if self.courier else None,
        )
        window.show()
        kiosk.start(looks_for_quiet=False)  # its clock jumps from action to action; quiet is what a play waits for
        return kiosk

    def cut_power(self) -> None:
        """The program ends at once: nothing is said, nothing is tidied."""
        self.kiosk.drop()

    def power_back(self) -> None:
        """The program starts again on what the disk holds."""
        self.kiosk = self._start()

    def close(self) -> None:
        """The play is over."""
        self.kiosk.stop()
        self.kiosk.window.close()
