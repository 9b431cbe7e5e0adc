"""The set-up of a station on its own screen: one page after the other, each answer kept before the next one stands."""

import logging
from collections.abc import Callable
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Any

from PySide6.QtCore import QObject, Signal, Slot

from kiosk import resources
from kiosk.app import around
from kiosk.app.station_file import FILE, keep_station
from kiosk.app.taking_over import first_aid_beside, take_first_aid, take_policy, take_trays
from kiosk.codes.write import qr
from kiosk.core import commands as c
from kiosk.core.catalogue import Catalogue
from kiosk.core.glance import Glance
from kiosk.core.set_up import LATER, Ask, Machine, NotTaken, next_page, take
from kiosk.core.stamp import local_time
from kiosk.core.state.bench import Bench
from kiosk.core.station import Station
from kiosk.core.tongue import Tongue
from kiosk.core.viewing import set_up as pages
from kiosk.core.viewing import view
from kiosk.core.views import View
from kiosk.desk import make_desk
from kiosk.devices.clock import Clock
from kiosk.devices.picture import PictureSource
from kiosk.devices.source_named import Sight, SightKind, open_source
from kiosk.paper.printer import Printer, PrinterDown, QueuePrinter
from kiosk.places import RESOURCES
from kiosk.store.catalogue_files import CatalogueFaults, load_catalogue
from kiosk.store.outage import Outage
from kiosk.ui.window import Window

log = logging.getLogger(__name__)

CODE = "THROUGHLIGHT"
"""What the scanner is tried with."""

DEMO = "demo"


def queue_printer(name: str) -> Printer:
    """The printer behind a queue."""
    return QueuePrinter(queue=name)


@dataclass(frozen=True, slots=True, kw_only=True)
class Around:
    """How the set-up learns what there is, and how a test page is printed."""

    queues: Callable[[], tuple[str, ...]] = around.print_queues
    cameras: Callable[[], tuple[str, ...]] = around.cameras
    places: Callable[[Path], tuple[Path, ...]] = around.places
    printer: Callable[[str], Printer] = queue_printer
    demo: Path = RESOURCES / DEMO


class SettingUp(QObject):
    """The set-up running in a window. `ended`: everything is answered, or the glass is to be made anew (`again`).

    `machine`: the panel and what the call itself has answered; `what`: how the rest of the machine is looked at.
    """

    ended = Signal()
    _came = Signal(object, object)

    def __init__(
        self, window: Window, folder: Path, station: Station, clock: Clock, *, side: str, machine: Machine, what: Around
    ) -> None:
        super().__init__()
        self.window, self.folder, self.station, self.clock, self.side = window, folder, station, clock, side
        self.machine = replace(machine, code=qr(CODE, level="M"), code_text=CODE, line_mm=_line_mm())
        self._what = what
        self._turn: c.Turn | None = None
        self._notice: tuple[str, dict[str, Any]] | None = None
        self._hurt_ms: int | None = None
        self._source: PictureSource | None = None
        self.again = False
        self._worker = ThreadPoolExecutor(max_workers=1, thread_name_prefix="set-up")
        self._came.connect(self._on_came)
        window.sent.connect(self.send)

    def start(self) -> None:
        """Show the first page that is not answered."""
        self._look()
        self.repaint()

    def stop(self) -> None:
        """Let go of the camera and of what still runs."""
        self.window.sent.disconnect(self.send)
        self._came.disconnect(self._on_came)
        self._let_go()
        self._worker.shutdown(wait=True, cancel_futures=True)

    @property
    def ask(self) -> Ask | None:
        """The page that stands there; None: everything is answered."""
        if self._turn is not None:
            return Ask(self._turn.subject)
        return next_page(self.station, self.machine)

    def send(self, send: c.Send) -> None:
        """What a screen sends."""
        match send:
            case c.SetUp() if not self.machine.busy:
                self._notice = None
                self._answer(Ask(send.ask), send.value)
            case c.SetUp():
                self._notice = ("setup.busy", {})
            case c.Turn(page=c.Page.SET_UP):
                self._turn, self._notice = send, None
                self._look()
            case c.FirstAid():
                self._hurt_ms = self.clock.now().at_ms
            case c.FirstAidDone():
                self._hurt_ms = None
            case _:
                return
        self.repaint()

    def scanned(self, raw: str) -> None:
        """A scanner's text: it counts on the page that tries the scanner."""
        if self.ask is Ask.SCANNER:
            self.send(c.SetUp(ask=Ask.SCANNER, value=raw.strip()))

    def repaint(self) -> None:
        """Show the page that stands there."""
        if self.ask is not None:
            self._follow()
            self.window.show_view(self.view())

    def view(self) -> View:
        """The page as the screen shows it. First aid goes before everything."""
        tongues = resources.tongues()
        tongue = tongues[self.station.language or "en"]
        desk = make_desk(
            Catalogue(), resources.policy(), bench_number=self.station.bench or 1, side=self.side,
            first_aid=first_aid_beside(self.folder),
        )  # fmt: skip
        glance = Glance(
            bench=Bench(first_aid_ms=self._hurt_ms),
            desk=replace(desk, findings=tongue.findings, types=tongue.types),
            words=tongue.words,
            now=self.clock.now(),
            turn=self._turn,
            notice=_in_own_words(self._notice, tongue),
            small=self.window.small,
            house=tongue.words,
            tongue=tongue,
            tongues=tuple(tongues.values()),
        )
        ask = self.ask
        if self._hurt_ms is not None or ask is None:
            return view(replace(glance, turn=None))
        return pages.set_up(glance, self.station, self.machine, ask)

    def _answer(self, ask: Ask, value: str) -> None:
        try:
            station = take(self.station, self.machine, ask, value)
            if ask is Ask.CATALOGUE and value != LATER:
                self._load(station, value)
                return
            self._do(ask, value, station)
        except NotTaken as fault:
            self._notice = (fault.key, fault.names)
            return
        except (OSError, Outage, ValueError) as fault:
            self._notice = ("setup.not_kept", {"why": _sentence(fault)})
            return
        if self._keep(station) and ask is Ask.PRINTER and value:
            self._print(value)

    def _do(self, ask: Ask, value: str, station: Station) -> None:
        """What follows from an answer outside the station's file; done before it is kept, and once more after a cut."""
        match ask:
            case Ask.LANGUAGE if Ask.WET in station.answered:  # the store is there
                take_policy(self.folder, self._name(station), {"house_language": value}, self.clock)
            case Ask.WET:  # from here on there is a store, and its name stays
                minutes = {"bench_contact_minutes": value} if value != LATER else {}
                values = {"house_language": station.language or "en", **minutes}
                take_policy(self.folder, self._name(station), values, self.clock)
            case Ask.FIRST_AID if value != LATER:
                take_first_aid(Path(value), self.folder)
            case _:
                pass

    def _name(self, station: Station) -> str:
        return f"{'D' if self.side == 'decontam' else 'B'}{station.bench}"

    def _keep(self, station: Station) -> bool:
        """Keep the station; only then is it what stands here."""
        try:
            keep_station(self.folder / FILE, station)
        except OSError as fault:
            self._notice = ("setup.not_kept", {"why": _sentence(fault)})
            return False
        another = station.px_per_mm != self.station.px_per_mm
        self.station, self._turn = station, None
        self._look()
        if self.ask is None or another:
            self.again = True
            self.ended.emit()
        return True

    def _look(self) -> None:
        """See what there is for the page that stands there."""
        ask, machine = self.ask, self.machine
        if ask is Ask.PRINTER:
            machine = replace(machine, queues=self._what.queues())
        elif ask is Ask.CAMERA:
            machine = replace(machine, cameras=self._what.cameras())
        elif ask is Ask.FIRST_AID:
            machine = replace(machine, first_aid=around.first_aid_files(self._what.places(self.folder)))
        elif ask is Ask.CATALOGUE:
            machine = replace(machine, catalogues=around.catalogues(self._what.places(self.folder)))
        self.machine = machine

    def _print(self, queue: str) -> None:
        """Print the test page on the worker, and say so only if it did not come out."""
        glance = resources.tongues()[self.station.language or "en"].words
        now = self.clock.now()
        told = {
            "bench": glance.say(f"rail.station.{self.side}", n=self.station.bench or 1),
            "queue": queue,
            "time": f"{local_time(now.at_ms, now.offset_min):%Y-%m-%d %H:%M}",
        }
        words = (glance.say("setup.page.title"), glance.lines("setup.page.lines", **told))
        measure, code, printer = glance.say("setup.page.measure", mm=_line_mm()), self.machine.code, self._what.printer

        def work() -> None:
            from kiosk.paper.test_page import draw_test_page

            try:
                printer(queue).print("test_page", "set-up", draw_test_page(*words, measure, code, CODE))
            except PrinterDown as down:
                self._came.emit(None, ("setup.printed.down", {"why": down.sentence}))
                return
            self._came.emit(None, None)

        self.machine = replace(self.machine, busy=True)
        self._worker.submit(work)

    def _load(self, station: Station, value: str) -> None:
        """Read trays and people on the worker: every PIN that is typed in a file is hashed, which takes its time."""
        path, name = (self._what.demo if value == DEMO else Path(value)), self._name(station)

        kit = "" if value == DEMO or self.side == "decontam" else name  # the kit of this very bench

        def work() -> None:
            try:
                self._came.emit((station, load_catalogue(path, kit)), None)
            except CatalogueFaults as faults:
                told = {"first": faults.faults[0], "n": len(faults.faults) - 1}
                self._came.emit(None, ("setup.catalogue.faults", told))
            except (OSError, ValueError) as fault:
                self._came.emit(None, ("setup.not_kept", {"why": _sentence(fault)}))

        self.machine, self._notice = replace(self.machine, busy=True), ("setup.busy", {})
        self._worker.submit(work)

    @Slot(object, object)
    def _on_came(self, loaded: Any, notice: Any) -> None:
        """The worker is done."""
        self.machine, self._notice = replace(self.machine, busy=False), notice
        if loaded is not None:
            station, catalogue = loaded
            try:
                take_trays(self.folder, self._name(station), catalogue, self.clock)
                self._keep(station)
            except (OSError, Outage) as fault:
                self._notice = ("setup.not_kept", {"why": _sentence(fault)})
        self.repaint()

    def _follow(self) -> None:
        """The camera is taken hold of while its page stands there, and no longer."""
        if self.ask is not Ask.PICTURE:
            self._let_go()
        elif self._source is None:
            where = self.station.camera.partition(":")[2]
            try:
                source = open_source(Sight(kind=SightKind.CAMERA, where=where), self.clock.steady_ms, self._worker)
            except ImportError:
                self.machine = replace(self.machine, picture="none")
                return
            self._source = source
            source.state_changed.connect(self._on_state)
            self.machine = replace(self.machine, picture=source.state.value)
            self.window.set_source(source, _no_thumbnail)
            source.start()

    @Slot(object)
    def _on_state(self, state: Any) -> None:
        self.machine = replace(self.machine, picture=state.value)
        self.repaint()

    def _let_go(self) -> None:
        if self._source is not None:
            source, self._source = self._source, None
            source.state_changed.disconnect(self._on_state)
            source.stop()


def _no_thumbnail(_name: str) -> Path | None:
    return None


def _line_mm() -> int:
    from kiosk.paper.test_page import LINE_MM

    return round(LINE_MM)


def _in_own_words(notice: tuple[str, dict[str, Any]] | None, tongue: Tongue) -> tuple[str, dict[str, Any]] | None:
    """A notice whose fault, told in English by what failed, is in the language of the glass."""
    if notice is None:
        return None
    key, names = notice
    return key, {name: tongue.said(told) if isinstance(told, str) else told for name, told in names.items()}


def _sentence(fault: Exception) -> str:
    """A fault as one sentence for the glass."""
    if isinstance(fault, OSError):
        return f"{Path(fault.filename).name if fault.filename else ''}: {fault.strerror or fault}".removeprefix(": ")
    return str(fault)
