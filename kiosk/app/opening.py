"""Opening the kiosk on a screen: application, fonts, window, scanner, store, and the loop until it is closed."""

import logging
import signal
import sys
from collections.abc import Mapping, Sequence
from dataclasses import replace
from datetime import datetime
from pathlib import Path
from secrets import token_bytes
from typing import Any

from PySide6.QtCore import Qt, QTimer
from PySide6.QtWidgets import QApplication

from kiosk import resources
from kiosk.app.keeper import BackupPlan
from kiosk.app.kiosk import Kiosk, Shelves
from kiosk.app.watchdog import Watchdog
from kiosk.core.catalogue import Catalogue
from kiosk.core.exposure import FirstAidWords
from kiosk.core.stamp import local_time
from kiosk.desk import make_desk
from kiosk.devices.clock import Clock, SystemClock, WatchedClock
from kiosk.devices.foot_key import DEFAULT, foot_key_from
from kiosk.devices.scanner import Scanner
from kiosk.devices.sound import Sounds
from kiosk.devices.source_named import Sight
from kiosk.facility import FILE as FIRST_AID
from kiosk.facility import NotFilledIn, first_aid_words
from kiosk.paper.printer import FolderPrinter, Printer, QueuePrinter
from kiosk.pins import hash_pin
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

STORY_SEED = 20260411
"""Of the demo's history: the same department, the same month."""

FIFTEEN_INCH, TEN_INCH = 5.58, 5.89
"""Pixels a millimeter of a 15.6-inch 1920x1080 and a 10.1-inch 1280x800 panel, until the screen was measured."""


def open_kiosk(
    *,
    folder: Path,
    demo: bool,
    practice: bool,
    size: tuple[int, int] | None,
    px_per_mm: float | None,
    bench_number: int,
    queue: str | None,
    side: str,
    beside: Sequence[Path],
    hub: str,
    plain: bool,
    first_aid: Path | None,
    backups: Path | None,
    policy: Mapping[str, Any],
    kit: Mapping[str, Any],
    sight: Sight | None = None,
    foot_key: Qt.Key | None = None,
    scope_key: Qt.Key | None = None,
) -> int:
    """Open the kiosk and stay until it is closed. Returns the exit status."""
    logging.basicConfig(level=logging.INFO, format="%(asctime)s %(levelname)s %(name)s: %(message)s")
    app = QApplication.instance() or QApplication(sys.argv[:1])
    assert isinstance(app, QApplication)
    load_fonts()
    clock: Clock = SystemClock()
    if demo and not practice and side == "clean" and not (folder / FILE).exists():
        tell_story(folder, bench_number)
    store = BenchStore(folder, station(side, bench_number, practice=practice))
    store.check()
    put_by(folder)
    clock = WatchedClock(clock, last_trusted_ms(store.store))
    catalogue = catalogue_for(store, demo=demo or practice, bench_number=bench_number, at_ms=clock.now().at_ms)
    if practice:
        catalogue = for_practice(catalogue)
    if kit:
        from kiosk.lumen.records import kit_from_mapping

        catalogue = replace(catalogue, kit=kit_from_mapping(kit))
    version, own = store.policy() or (1, {})
    desk = make_desk(
        catalogue,
        resources.policy({**own, **policy}, version=version),
        bench_number=bench_number,
        side=side,
        first_aid=own_first_aid(first_aid or folder / FIRST_AID),
        loaded_ms=store.catalogue_kept_ms(),
        practice=practice,
    )
    plan = BackupPlan(folder=backups) if backups and not practice else None
    desk = replace(desk, backups=plan is not None)
    screen = app.primaryScreen().size()
    size = size or (screen.width(), screen.height())
    window = make_window(size, px_per_mm or guess_px_per_mm(size), clock, side=side)
    window.path.foot_key = foot_key or foot_key_from(DEFAULT)
    window.path.scope_key = scope_key
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
        beside=() if practice else beside,
        backups=plan,
        courier=courier_to(hub, folder, plain=plain, side=side) if hub and not practice else None,
        sight=sight,
        sounds=Sounds(RESOURCES / "sounds", app),
    )
    scanner = Scanner(app)
    scanner.scanned.connect(kiosk.scanned)
    scanner.broke_off.connect(kiosk.scan_broke_off)
    kiosk.start()
    if size == (screen.width(), screen.height()):
        window.showFullScreen()
    else:
        window.show()
    for stop in (signal.SIGINT, signal.SIGTERM):
        signal.signal(stop, _quit)
    breath = QTimer(interval=200)  # lets Python see the signals while Qt waits
    breath.timeout.connect(_breathe)
    breath.start()
    watchdog = Watchdog(parent=app)
    QTimer.singleShot(0, watchdog.start)  # from the loop: whoever hears it may stop the kiosk at once
    status = app.exec()
    watchdog.stop()
    kiosk.stop()
    return status


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


PRACTICE_PIN = "1111"
"""Everybody's number in the practice, said on its sign-in page: nothing there is anybody's."""


def station(side: str, number: int, *, practice: bool = False) -> str:
    """A station's name: B3 on the clean side, D1 in decontam, P1 of a practice."""
    return f"{PRACTICE if practice else 'D' if side == 'decontam' else 'B'}{number}"


def for_practice(catalogue: Catalogue) -> Catalogue:
    """The department of the practice: everybody's number is the same."""
    hashed = hash_pin(PRACTICE_PIN, token_bytes(16))
    people = {code: replace(person, pin_hash=hashed) for code, person in catalogue.people.items()}
    return replace(catalogue, people=people)


def tell_story(folder: Path, bench_number: int) -> None:
    """Give a new demo store its thirty days of history, with a bar on standard error where that is a terminal."""
    from kiosk.rehearsal.story import tell

    catalogue = demo_catalogue(bench_number)
    now = datetime.now().astimezone()
    offset = now.utcoffset()
    minutes = int(offset.total_seconds() // 60) if offset is not None else 0
    sys.stderr.write("Telling thirty days of the demo department. This is done once.\n")
    bar = _bar if sys.stderr.isatty() else None
    tell(folder, bench_number=bench_number, until=now.date(), seed=STORY_SEED, progress=bar, offset_min=minutes)
    store = BenchStore(folder, station("clean", bench_number))
    store.keep_catalogue(catalogue, at_ms=SystemClock().now().at_ms)
    store.close()


def _bar(done: int, days: int) -> None:
    sys.stderr.write(f"\r[{'#' * done}{' ' * (days - done)}] day {done} of {days}")
    sys.stderr.write("\n" if done == days else "")
    sys.stderr.flush()


def demo_catalogue(bench_number: int) -> Catalogue:
    """The demo department as one of its benches has it."""
    from kiosk.store.catalogue_files import load_catalogue

    return load_catalogue(RESOURCES / "demo", f"B{bench_number}")


def _quit(*_: object) -> None:
    QApplication.quit()


def _breathe() -> None:
    pass


def guess_px_per_mm(size: tuple[int, int]) -> float:
    """A panel's likely fineness by its size in pixels, until it is measured with a badge card."""
    return TEN_INCH if size[0] < 1600 else FIFTEEN_INCH * size[0] / 1920


def make_window(size: tuple[int, int], px_per_mm: float, clock: Clock, *, side: str = "clean") -> Window:
    """The window for a screen of that size, with the clock it shows; decontam's is larger and slower to the touch."""

    def clock_text() -> str:
        now = clock.now()
        return f"{local_time(now.at_ms, now.offset_min):%H:%M}"

    def wall_ms() -> int:
        return clock.now().at_ms

    make = dirty_glass if side == "decontam" else new_glass
    glass = make(size, px_per_mm, clock=clock.steady_ms)
    window = Window(glass, wall_ms=wall_ms, clock_text=clock_text)
    window.resize(*size)
    return window


def catalogue_for(store: BenchStore, *, demo: bool, bench_number: int, at_ms: int) -> Catalogue:
    """The store's catalogue; a demo store without one is given the demo department's."""
    known = store.catalogue()
    if known is not None:
        return known
    if not demo:
        return Catalogue()
    loaded = demo_catalogue(bench_number)
    store.keep_catalogue(loaded, at_ms=at_ms)
    return store.catalogue() or loaded
