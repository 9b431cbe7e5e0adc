"""Opening the kiosk on a screen: application, fonts, window, scanner, store, and the loop until it is closed."""

import logging
import os
import signal
import sys
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Any

from PySide6.QtCore import Qt, QTimer
from PySide6.QtWidgets import QApplication

from kiosk import resources
from kiosk.app.anew import install
from kiosk.app.departments import catalogue_for, for_practice, tell_story
from kiosk.app.keeper import BackupPlan
from kiosk.app.kiosk import Kiosk, Shelves
from kiosk.app.leaving import Leaving
from kiosk.app.log_file import LINE, end_log, keep_log
from kiosk.app.panel import Panel
from kiosk.app.rest import After
from kiosk.app.setting_up import Around, SettingUp
from kiosk.app.station_file import FILE as STATION
from kiosk.app.station_file import keep_station, read_station
from kiosk.app.taking_over import known_before
from kiosk.app.watchdog import Watchdog
from kiosk.core.exposure import FirstAidWords
from kiosk.core.set_up import Ask, Machine, begin_again, next_page
from kiosk.core.stamp import local_time
from kiosk.core.station import Station
from kiosk.desk import make_desk
from kiosk.devices.clock import Clock, SystemClock, WatchedClock
from kiosk.devices.foot_key import DEFAULT, foot_key_from
from kiosk.devices.scanner import Scanner
from kiosk.devices.sound import Sounds
from kiosk.devices.source_named import Sight, sight_from
from kiosk.facility import FILE as FIRST_AID
from kiosk.facility import NotFilledIn, first_aid_words
from kiosk.paper.printer import FolderPrinter, Printer, QueuePrinter
from kiosk.places import RESOURCES
from kiosk.store.ballast import put_by
from kiosk.store.bench_store import BenchStore
from kiosk.store.database import FILE
from kiosk.store.heard import PRACTICE
from kiosk.store.trusted import last_trusted_ms
from kiosk.sync.courier import Courier
from kiosk.sync.entry import FILE as ENTRY
from kiosk.sync.entry import keys_of, read_entry
from kiosk.ui.parts.glass import dirty_glass, new_glass
from kiosk.ui.theme import load_fonts
from kiosk.ui.window import Window

log = logging.getLogger(__name__)

NOT_IN_FORCE = "THROUGHLIGHT_NOT_IN_FORCE"
"""Of the environment: the version that is installed, where the session runs the one before (packaging/debian)."""

FIFTEEN_INCH, TEN_INCH = 5.58, 5.89
"""Pixels a millimeter of a 15.6-inch 1920x1080 and a 10.1-inch 1280x800 panel, until the screen was measured."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Call:
    """How the kiosk was called. What a call names goes before what the station was set up with."""

    folder: Path
    demo: bool
    practice: bool
    size: tuple[int, int] | None
    px_per_mm: float | None
    bench_number: int | None
    queue: str | None
    side: str
    beside: Sequence[Path]
    hub: str
    plain: bool
    first_aid: Path | None
    backups: Path | None
    policy: Mapping[str, Any]
    kit: Mapping[str, Any]
    sight: Sight | None = None
    foot_key: Qt.Key | None = None
    scope_key: Qt.Key | None = None

    def given(self) -> set[Ask]:
        """Pages of the set-up that the call has answered."""
        named = {
            Ask.BENCH: self.bench_number,
            Ask.CARD: self.px_per_mm,
            Ask.PRINTER: self.queue,
            Ask.CAMERA: self.sight,
            Ask.FIRST_AID: self.first_aid,
        }
        return {ask for ask, value in named.items() if value is not None}


def open_kiosk(**called: Any) -> int:
    """Open the kiosk and stay until it is closed. The options are those of `Call`. Returns the exit status."""
    call = Call(**called)
    logging.basicConfig(level=logging.INFO, format=LINE)
    app = QApplication.instance() or QApplication(sys.argv[:1])
    assert isinstance(app, QApplication)
    install()
    load_fonts()
    for stop in (signal.SIGINT, signal.SIGTERM):
        signal.signal(stop, _quit)
    breath = QTimer(interval=200)  # lets Python see the signals while Qt waits
    breath.timeout.connect(_breathe)
    breath.start()
    if call.demo and not call.practice and call.side == "clean" and not (call.folder / FILE).exists():
        tell_story(call.folder, call.bench_number or 1)
    watchdog = Watchdog(parent=app)
    try:
        return _stay(app, watchdog, call)
    finally:
        watchdog.stop()


def _stay(app: QApplication, watchdog: Watchdog, call: Call) -> int:
    """Set up and at work, until the program is closed: the exit status."""
    panel = Panel(app)
    if call.size is None:
        panel.other.connect(_other_panel)
    while True:
        screen = panel.take()
        size = call.size or (screen.width(), screen.height())
        full = size == (screen.width(), screen.height())
        station, status = _set_up(app, watchdog, call, size, full=full)
        if station is not None:
            status = _work(app, watchdog, call, station, size, full=full)
        if status == SET_UP_AGAIN and station is not None:
            keep_station(call.folder / STATION, begin_again(station))
        elif status != OTHER_PANEL:
            return status


SET_UP_AGAIN, OTHER_PANEL = -1, -2
"""How the event loop ends where a supervisor sets the station up again, and where the screen has another size."""


def _set_up(
    app: QApplication, watchdog: Watchdog, call: Call, size: tuple[int, int], *, full: bool
) -> tuple[Station | None, int]:
    """The station as it is set up, asked on the screen where it is not; None: it was closed meanwhile. And a status."""
    station = read_station(call.folder / STATION)
    if call.demo or call.practice:
        return station, 0
    given, number = call.given(), call.bench_number
    panel = f"{size[0]}x{size[1]}"
    if next_page(station, Machine(panel=panel, given=frozenset(given))) is None:
        return station, 0
    begun = known_before(call.folder)
    if begun is not None:
        if not (call.folder / STATION).exists() and begun.worked:
            return replace(station, bench=begun.number), 0  # set up by the options of its call, before there was this
        given |= begun.given
        number = number or begun.number
    if number and number != station.bench:
        station = replace(station, bench=number)
    clock = SystemClock()
    while True:
        machine = Machine(panel=panel, given=frozenset(given))
        if next_page(station, machine) is None:
            return station, 0
        window = make_window(size, fineness(call, station, size), clock, side=call.side, held=full)
        setting_up = SettingUp(window, call.folder, station, clock, side=call.side, machine=machine, what=Around())
        scanner = Scanner(app)
        scanner.scanned.connect(setting_up.scanned)
        setting_up.ended.connect(app.exit)
        setting_up.start()
        _show(window, full=full)
        QTimer.singleShot(0, watchdog.start)
        status = app.exec()
        setting_up.stop()
        station, again = setting_up.station, setting_up.again
        scanner.deleteLater()
        _put_away(window)
        if not again:
            return None, status


def _show(window: Window, *, full: bool) -> None:
    if full:
        window.showFullScreen()
    else:
        window.show()


def _put_away(window: Window) -> None:
    window.let_go()
    window.close()
    window.deleteLater()


def _work(
    app: QApplication, watchdog: Watchdog, call: Call, station: Station, size: tuple[int, int], *, full: bool
) -> int:
    """The bench at work, until it is closed: the exit status, or SET_UP_AGAIN."""
    folder, practice, demo = call.folder, call.practice, call.demo
    number = call.bench_number or station.bench or 1
    store = BenchStore(folder, station_name(call.side, number, practice=practice))
    store.check()
    kept_log = keep_log(folder)  # not before: a folder that is refused stays as it is
    put_by(folder)
    clock: Clock = WatchedClock(SystemClock(), last_trusted_ms(store.store))
    catalogue = catalogue_for(store, demo=demo or practice, bench_number=number, at_ms=clock.now().at_ms)
    if practice:
        catalogue = for_practice(catalogue)
    if call.kit:
        from kiosk.lumen.records import kit_from_mapping

        catalogue = replace(catalogue, kit=kit_from_mapping(call.kit))
    version, own = store.policy() or (1, {})
    desk = make_desk(
        catalogue,
        resources.policy({**own, **call.policy}, version=version),
        bench_number=number,
        side=call.side,
        first_aid=own_first_aid(call.first_aid or folder / FIRST_AID),
        loaded_ms=store.catalogue_kept_ms(),
        practice=practice,
    )
    plan = BackupPlan(folder=call.backups) if call.backups and not practice else None
    desk = replace(desk, backups=plan is not None, not_taken=os.environ.get(NOT_IN_FORCE, ""))
    held = full and not demo and not practice
    offset = station.touch_mm if station.panel == f"{size[0]}x{size[1]}" else (0.0, 0.0)
    window = make_window(
        size, fineness(call, station, size), clock, side=call.side, held=held, touch_mm=offset
    )  # fmt: skip
    window.path.foot_key = call.foot_key or foot_key_from(DEFAULT)
    window.path.scope_key = call.scope_key
    queue = call.queue or station.printer
    printer: Printer = QueuePrinter(queue=queue) if queue and not practice else FolderPrinter(folder / "papers")
    shelves = Shelves(incoming=folder / "incoming")
    shelves.incoming.mkdir(exist_ok=True)
    kiosk = Kiosk(
        store=store,
        desk=desk,
        clock=clock,
        window=window,
        printer=printer,
        shelves=shelves,
        beside=() if practice else call.beside,
        backups=plan,
        courier=courier_to(call.hub, folder, plain=call.plain, side=call.side) if call.hub and not practice else None,
        sight=call.sight or (sight_from(station.camera) if station.camera else None),
        sounds=Sounds(RESOURCES / "sounds", app),
        rests=After(dim=station.dim_minutes, hide=station.hide_minutes),
    )
    leaving = Leaving(app)
    kiosk.session.after.append(leaving.follow)
    scanner = Scanner(app)
    scanner.scanned.connect(kiosk.scanned)
    scanner.broke_off.connect(kiosk.scan_broke_off)
    kiosk.start()
    _show(window, full=full)
    QTimer.singleShot(0, watchdog.start)  # from the loop: whoever hears it may stop the kiosk at once
    status = app.exec()
    kiosk.stop()
    scanner.deleteLater()
    _put_away(window)
    end_log(kept_log)
    return SET_UP_AGAIN if leaving.to == "set_up" else status


def courier_to(url: str, folder: Path, *, plain: bool, side: str) -> Courier:
    """The courier to the department's hub, with the login that lies beside the store. Raises Outage without one."""
    entry = read_entry(keys_of(folder) / ENTRY)
    return Courier(folder, url, entry, plain=plain, quick=side == "decontam")


def own_first_aid(path: Path) -> FirstAidWords | None:
    """The facility's own first-aid page; where it is not filled in, every start says so in the log."""
    try:
        return first_aid_words(path)
    except NotFilledIn as fault:
        log.warning("the first-aid page is not filled in: %s", fault)
        return None


def station_name(side: str, number: int, *, practice: bool = False) -> str:
    """A station's name: B3 on the clean side, D1 in decontam, P1 of a practice."""
    return f"{PRACTICE if practice else 'D' if side == 'decontam' else 'B'}{number}"


def _quit(*_: object) -> None:
    QTimer.singleShot(0, _end)  # where no event loop turns yet, the next one ends


def _end() -> None:
    QApplication.exit(0)  # to quit would ask the window first, and it holds


def _other_panel() -> None:
    QApplication.exit(OTHER_PANEL)


def _breathe() -> None:
    pass


def guess_px_per_mm(size: tuple[int, int]) -> float:
    """A panel's likely fineness by its size in pixels, until it is measured with a badge card."""
    return TEN_INCH if size[0] < 1600 else FIFTEEN_INCH * size[0] / 1920


def fineness(call: Call, station: Station, size: tuple[int, int]) -> float:
    """Pixels a millimeter: as the call says, as a card measured on this very panel, or the likely ones for its size."""
    measured = station.px_per_mm if station.panel == f"{size[0]}x{size[1]}" else 0.0
    return call.px_per_mm or measured or guess_px_per_mm(size)


def make_window(
    size: tuple[int, int],
    px_per_mm: float,
    clock: Clock,
    *,
    side: str = "clean",
    held: bool = False,
    touch_mm: tuple[float, float] = (0.0, 0.0),
) -> Window:
    """The window for a screen of that size, with the clock it shows; decontam's is larger and slower to the touch.

    `held`: nothing closes it but a supervisor. `touch_mm`: how far beside its aim a finger lands on this panel.
    """

    def clock_text() -> str:
        now = clock.now()
        return f"{local_time(now.at_ms, now.offset_min):%H:%M}"

    def wall_ms() -> int:
        return clock.now().at_ms

    make = dirty_glass if side == "decontam" else new_glass
    glass = replace(make(size, px_per_mm, clock=clock.steady_ms), touch_mm=touch_mm)
    window = Window(glass, wall_ms=wall_ms, clock_text=clock_text, kiosk=held)
    window.resize(*size)
    return window
