"""A station being set up, page by page, and the hand in front of it."""

import time
from collections.abc import Iterator
from dataclasses import dataclass, field
from pathlib import Path

import pytest
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication

from kiosk.app.opening import guess_px_per_mm, make_window
from kiosk.app.setting_up import Around, SettingUp
from kiosk.app.station_file import FILE, read_station
from kiosk.core import views as v
from kiosk.core.set_up import Ask, Machine
from kiosk.core.station import Station
from kiosk.devices.clock import HandClock
from kiosk.paper.printer import NO_ANSWER, Printed, PrinterDown
from kiosk.rehearsal.fingers import Fingers
from kiosk.ui.window import Window
from tests.core.department import MORNING

SIZE = (1280, 800)


@dataclass
class PagePrinter:
    """Takes a page, or does not answer."""

    down: bool = False
    pages: list[bytes] = field(default_factory=list)

    def print(self, doc: str, name: str, pdf: bytes) -> Printed:
        if self.down:
            raise PrinterDown(NO_ANSWER)
        self.pages.append(pdf)
        return Printed(where=f"{doc} {name}")


@dataclass
class Desk:
    """A station being set up, and the hand in front of it."""

    folder: Path
    stick: Path
    side: str = "clean"
    printer: PagePrinter = field(default_factory=PagePrinter)
    clock: HandClock = field(default_factory=lambda: HandClock(at_ms=MORNING))
    running: SettingUp = field(init=False)
    window: Window = field(init=False)
    hand: Fingers = field(init=False)

    def begin(self, station: Station | None = None) -> None:
        station = station if station is not None else read_station(self.folder / FILE)
        fine = station.px_per_mm or guess_px_per_mm(SIZE)
        self.window = make_window(SIZE, fine, self.clock, side=self.side)
        what = Around(
            queues=lambda: ("labels",), cameras=lambda: (), places=lambda _folder: (self.stick,),
            printer=lambda _queue: self.printer,
        )  # fmt: skip
        machine = Machine(panel=f"{SIZE[0]}x{SIZE[1]}")
        self.running = SettingUp(
            self.window, self.folder, station, self.clock, side=self.side, machine=machine, what=what
        )
        self.hand = Fingers(lambda: self.window, self.clock)
        self.running.start()
        self.window.show()
        self.hand.settle()

    def end(self) -> None:
        self.running.stop()
        self.window.close()

    def again(self) -> None:
        """The power is cut and comes back."""
        self.end()
        self.begin()

    @property
    def kept(self) -> Station:
        return read_station(self.folder / FILE)

    def ask(self) -> Ask | None:
        """The page that stands there."""
        return self.running.ask

    def shown(self) -> v.View | None:
        return self.window.shown

    def wait(self) -> None:
        """Until the worker is done."""
        until = time.monotonic() + 30
        while self.running.machine.busy and time.monotonic() < until:
            QTest.qWait(10)
        assert not self.running.machine.busy


@pytest.fixture
def desk(qapp: QApplication, tmp_path: Path) -> Iterator[Desk]:
    stick = tmp_path / "stick"
    stick.mkdir()
    desk = Desk(tmp_path / "store", stick)
    desk.begin()
    yield desk
    desk.end()


def to(desk: Desk, ask: Ask) -> None:
    """Answer every page before this one, as a hand without a printer, scanner and camera does."""
    for _ in Ask:
        now, hand = desk.ask(), desk.hand
        if now is ask:
            return
        match now:
            case Ask.LANGUAGE:
                hand.named("language es")
            case Ask.BENCH:
                hand.type("3")
                hand.named("done")
            case Ask.CARD:
                hand.named("card fits")
            case Ask.TOUCH:
                hand.named("skip dots")
            case Ask.PRINTER:
                hand.named("no printer")
            case Ask.SCANNER:
                hand.named("no scanner")
            case Ask.CAMERA:
                hand.named("no camera")
            case Ask.CLOCK:
                hand.named("yes")
            case Ask.FIRST_AID | Ask.WET:
                hand.named("later")
            case _:
                raise AssertionError(now)
        if desk.running.again:
            desk.again()
    raise AssertionError(desk.ask())
