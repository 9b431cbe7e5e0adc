"""A shift on the whole kiosk, off screen: its window, its worker for papers, its timers, on a real store."""

import sys
from collections.abc import Sequence
from dataclasses import dataclass
from random import Random

from PySide6.QtWidgets import QApplication

from kiosk.app.kiosk import Kiosk, Shelves
from kiosk.app.opening import guess_px_per_mm, make_window
from kiosk.core import commands as c
from kiosk.core import events as e
from kiosk.core.stamp import Kept
from kiosk.devices.clock import HandClock
from kiosk.devices.source_named import Sight
from kiosk.paper.printer import FolderPrinter
from kiosk.store.bench_store import BenchStore
from kiosk.ui.theme import load_fonts
from tests.core.department import MORNING
from tests.faults.shifts import StoreShift

SIZE = (1280, 800)


@dataclass(slots=True)
class GlassShift(StoreShift):
    """The bench of `folder` as its program starts it. What is sent comes in where a touch does."""

    kiosk: Kiosk | None = None
    clock: HandClock | None = None
    sight: Sight | None = None

    def __post_init__(self) -> None:
        if QApplication.instance() is None:
            QApplication(sys.argv[:1])
            load_fonts()
        self.rng = Random(self.seed)
        self.store = BenchStore(self.folder, "B1")
        self.store.check()
        self.at_ms = max(MORNING, self.store.last_alive() or 0)
        self.clock = HandClock(at_ms=self.at_ms)
        window = make_window(SIZE, guess_px_per_mm(SIZE), self.clock)
        incoming = self.folder.with_name("incoming")
        incoming.mkdir(exist_ok=True)
        self.kiosk = Kiosk(
            store=self.store,
            desk=self.desk,
            clock=self.clock,
            window=window,
            printer=FolderPrinter(self.folder.with_name("papers")),
            shelves=Shelves(incoming=incoming),
            sight=self.sight,
        )
        self.session = self.kiosk.session
        self.desk = self.session.desk
        self.session.keep = self._keep
        window.show()

    def _keep(self, kepts: Sequence[Kept]) -> None:
        assert self.kiosk is not None
        if self.before:
            self.before(kepts)
        self.kiosk._keep(kepts)
        if self.after:
            self.after()

    def begin(self) -> None:
        assert self.kiosk is not None
        self.kiosk.start(looks_for_quiet=False)
        QApplication.processEvents()

    def beat(self) -> None:
        assert self.kiosk is not None
        self.kiosk.heartbeat()

    def send(self, *sends: c.Send) -> list[e.Event]:
        assert self.kiosk is not None
        assert self.clock is not None
        for send in sends:
            self.at_ms += self.pace_ms
            self.clock.set_to(self.at_ms)
            self.kiosk.send(send)
            QApplication.processEvents()
        return []
