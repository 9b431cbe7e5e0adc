"""The bench put together: store, session, window, scanner, printer. Effects follow what was kept, in one table."""

import logging
from collections.abc import Sequence
from concurrent.futures import ThreadPoolExecutor
from contextlib import suppress
from dataclasses import dataclass, replace
from functools import partial
from pathlib import Path

from PySide6.QtCore import QObject, QTimer, Signal

from kiosk import resources
from kiosk.app.ahead import Ahead
from kiosk.app.dropping import Dropping
from kiosk.app.ears import Ears
from kiosk.app.eyes import Eyes
from kiosk.app.hearing import Hearing
from kiosk.app.keeper import BackupPlan, Keeper
from kiosk.app.notebook import Notebook
from kiosk.app.picture_fault import why_words
from kiosk.app.picture_place import CarriesPlace
from kiosk.app.post import Post
from kiosk.app.printing import Printing
from kiosk.app.rest import After, Rest
from kiosk.app.shelf import keep_with_room, pictures_in
from kiosk.app.sounding import Sounding
from kiosk.app.stills import Stills
from kiosk.app.target_reading import TargetReading
from kiosk.app.ticket_codes import TicketCodes
from kiosk.app.tidy import Tidy
from kiosk.app.watch import Watch, keep_events
from kiosk.core import commands as c
from kiosk.core import events as e
from kiosk.core.agenda import next_step
from kiosk.core.desk import Desk
from kiosk.core.session import NotKept, Session
from kiosk.core.stamp import Kept
from kiosk.core.state.bench import Bench
from kiosk.core.together.returns import taken_for_ticket
from kiosk.core.views import AskView, View
from kiosk.desk import directory
from kiosk.devices.clock import Clock
from kiosk.devices.sound import Plays
from kiosk.devices.source_named import Sight
from kiosk.paper.printer import Printer
from kiosk.quality.department import Department
from kiosk.quality.department_hours import DepartmentHours
from kiosk.quality.remembered import Remembered
from kiosk.store.bench_store import BenchStore, Outage
from kiosk.sync.courier import Courier
from kiosk.ui.window import Window

log = logging.getLogger(__name__)

ALIVE_EVERY_MS = 20_000
SETTLE_AFTER_MS = 1_000
LISTEN_EVERY_MS = 1_000
NEXT_AFTER_MS = 120
LONG_MS = 3_600_000
"""Longer than any pace: a YES that is not asked twice."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Shelves:
    """Folders of the bench: kept pictures lie in the store, pictures to choose from arrive in `incoming`."""

    incoming: Path


class Kiosk(QObject):
    """One bench, running. Everything that happens comes in through `send`."""

    painted = Signal()
    reckoned = Signal()

    def __init__(
        self,
        *,
        store: BenchStore,
        desk: Desk,
        clock: Clock,
        window: Window,
        printer: Printer,
        shelves: Shelves,
        bench: Bench | None = None,
        beside: Sequence[Path] = (),
        backups: BackupPlan | None = None,
        courier: Courier | None = None,
        sight: Sight | None = None,
        sounds: Plays | None = None,
        rests: After | None = None,
    ) -> None:
        super().__init__()
        self.store, self.clock, self.window, self.shelves = store, clock, window, shelves
        self.ears = Ears(beside, store.heard)
        self.post = Post(courier, store.heard, began_ms=clock.now().at_ms)
        self.session = Session(
            bench=bench if bench is not None else store.bench(),
            desk=replace(
                desk,
                records=store.records,
                numbers=Department(store.records.ask),
                hours=DepartmentHours(store.records, store.store.bench),
                unseen=Remembered(self._tell_reckoned),
                others=store.records.benches(),
                seal=TicketCodes(store).seal,
            ),
            words=resources.words(),
            tongues=resources.tongues(),
            clock=clock.now,
            keep=self._keep,
            notes=Notebook(store),
            small=window.small,
            sight=sight.kind.value if sight else "",
        )
        self.session.after.append(self._effects)
        self._watch = Watch(store, self.session, clock)
        self._worker = ThreadPoolExecutor(max_workers=1, thread_name_prefix="slow")
        self._looker = ThreadPoolExecutor(max_workers=1, thread_name_prefix="look")  # nothing kept or printed waits
        self.keeper = Keeper(store, clock, self._worker, self.session.send, backups)
        self.session.after.append(self.keeper.after)
        self.dropping = Dropping(store, self.session, clock, self._looker)
        self.dropping.changed.connect(self.repaint)
        self.printing = Printing(self.session, printer, self._worker, self.still)
        self.printing.told.connect(self.repaint)
        self.sounding = Sounding(self.session, sounds, clock.steady_ms)
        window.glass.guard.turned_away.append(self.sounding.not_taken)
        self.eyes = Eyes(sight, clock.steady_ms, self._looker) if sight else None
        if self.eyes:
            self.eyes.scanned.connect(self.scanned)
        self.stills = Stills(self, self._worker, self._looker, self.eyes.source if self.eyes else None)
        self.target_reading = TargetReading(self, self._looker)
        self.rest = Rest(self.session, window, clock.steady_ms, self.send, rests)
        self.hearing = Hearing(self)
        window.sent.connect(self.send)
        window.typed.connect(self.typed)
        window.picture_chosen.connect(self.picture_chosen)
        window.set_pictures(self.pictures)
        window.set_kept(self.still)
        self.reckoned.connect(self.repaint)
        self._tidy = Tidy(self)
        self._shown: View | None = None
        self._next = QTimer(self, singleShot=True, interval=NEXT_AFTER_MS)
        self._next.timeout.connect(self._paint_next)
        window.minute_turned.connect(self._next.start)  # what was painted ahead shows the time before
        self._settle = QTimer(self, singleShot=True, interval=SETTLE_AFTER_MS)
        self._settle.timeout.connect(self.printing.tell)
        self._heart = QTimer(self, interval=ALIVE_EVERY_MS)
        self._heart.timeout.connect(self.heartbeat)
        self._ahead = Ahead(store=store, session=self.session, clock=clock, window=window, worker=self._worker)
        self._ahead.damaged.connect(self._say_damaged)
        self._ear = QTimer(self, interval=LISTEN_EVERY_MS)
        self._ear.timeout.connect(self.listen)

    def start(self, *, looks_for_quiet: bool = True) -> None:
        """Say that the bench is up, show the first screen, keep the heart beating, look for quiet by itself."""
        self.send(c.Started(last_alive_ms=self.store.last_alive()))
        self.heartbeat()
        self._tidy.start()
        self.post.start()
        self.listen()
        if self.ears or self.post:
            self._ear.start()
        self._heart.start()
        if looks_for_quiet:
            self.rest.start()
        self._ahead.start()

    def _tell_reckoned(self) -> None:
        with suppress(RuntimeError):  # the station may have ended meanwhile
            self.reckoned.emit()

    def _say_damaged(self) -> None:
        self.session.notice = ("notice.damaged", {})
        self.repaint()

    def stop(self) -> None:
        """Let the running print end and close the store."""
        self._still()
        self.stills.take()
        self.printing.end()
        self.keeper.sign()
        self.store.rest()
        self.store.close()
        self._tidy.stop()

    def _still(self) -> None:
        """No timer runs any more, and no paper is on its way."""
        for timer in (self._heart, self._ear, self.rest, self._next, self._settle):
            timer.stop()
        self._ahead.stop()
        self.dropping.stop()
        if self.eyes:
            self.eyes.stop()
        self.reckoned.disconnect(self.repaint)
        self._looker.shutdown(wait=False, cancel_futures=True)
        self._worker.shutdown(wait=True)
        self.ears.close()
        self.post.close()

    def drop(self) -> None:
        """Stop as a power cut does: let go of the store's file, and tidy nothing."""
        self._still()
        self.printing.drop()
        self.store.close()
        self._tidy.stop()
        self.window.hide()
        self.window.deleteLater()

    def send(self, send: c.Send) -> None:
        """Follow a command, then show what the bench is now."""
        self.rest.touched()
        before = self.session.notice
        kept = self.session.send(send)
        self.repaint()
        self.sounding.follow(send, kept, before)

    def repaint(self) -> None:
        """Show the view of the bench as it stands."""
        self._shown = self.session.view()
        self.window.use(self.session.settings())
        self.window.show_view(self._shown)
        if self.eyes:
            self.eyes.follow(self._shown)
        self._next.start()
        self.painted.emit()

    def _paint_next(self) -> None:
        """While the person looks: paint what follows a YES, so that it is there at once when it comes."""
        send = self._shown.yes.send if isinstance(self._shown, AskView) else None
        if isinstance(send, c.Answer):
            follows = self.session.view_after(replace(send, took_ms=LONG_MS))
            if follows is not None:
                self.window.paint_ahead(follows)

    def scanned(self, raw: str, *, typed: bool = False) -> None:
        """A scanner's text."""
        from kiosk.codes.read import read_text
        from kiosk.codes.ticket_code import OPENING

        session = self.session
        known = directory(session.desk.catalogue, tickets=partial(taken_for_ticket, session.bench, session.desk))
        keys = self.store.heard.public_keys() if OPENING in raw else ()
        self.send(c.Scanned(meaning=read_text(raw, known, ticket_keys=keys), typed=typed))

    def scan_broke_off(self) -> None:
        """The scanner was pulled out in mid-code: half a code is none."""
        self.session.notice = ("notice.scan_broke", {})
        self.repaint()

    def typed(self, purpose: str, text: str) -> None:
        """A number typed in the scanner's stead."""
        del purpose
        self.scanned(text, typed=True)

    def pictures(self) -> Sequence[Path]:
        """The picture folder, newest first."""
        return pictures_in(self.shelves.incoming)

    def still(self, name: str) -> Path:
        """Where a picture lies that this station or one beside it kept, or the hub gave."""
        path = self.ears.picture(name) or self.store.picture(name)
        path = path if path.is_file() else self.store.fetched.find(name) or path
        return path if path.is_file() else self.store.picture("")  # a pipe would hold whoever reads it

    def picture_chosen(self, path: str) -> None:
        """Keep the chosen picture, durably, before the screen says so."""
        trip = self.session.bench.trip
        task = self.session.glance().step.task
        if trip is None or task is None:
            return
        finding = trip.finding(task.n)
        taken = self.clock.now().at_ms
        way = finding.place.lumen.replace(" ", "-") or "piece"
        name = f"{trip.id}_{finding.piece}_{way}_{finding.n}_{taken}{Path(path).suffix.lower()}".replace("#", "-")
        try:
            digest, gone = keep_with_room(self.store, self.shelves.incoming, name, Path(path))
        except (OSError, ValueError, Outage) as fault:
            log.info("picture %s not kept: %s", path, fault)
            place = isinstance(fault, CarriesPlace)
            self.session.notice = (
                ("refused.still_place", {}) if place else ("refused.no_picture", {"why": why_words(fault)})
            )
            self.repaint()
            return
        self.send(c.KeepPhoto(file=name, sha256=digest))
        if gone:
            self.send(c.TellRoomMade(count=gone))

    def listen(self) -> None:
        """Take in what other stations kept meanwhile, and show it."""
        self.hearing.listen()

    def heartbeat(self) -> None:
        """Note that the bench is alive, so that a power cut can be dated."""
        try:
            self.store.alive(self.clock.now().at_ms)
            self.store.records.put_down()
        except Outage as fault:
            log.info("heartbeat not kept: %s", fault)
        self.keeper.beat()
        self.dropping.beat()
        if self._watch.look():
            self.repaint()
        self.printing.tell()

    def look_for_quiet(self) -> None:
        """Sign out after quiet, and let the glass rest."""
        self.rest.look()

    def busy(self) -> bool:
        """Is a paper still on its way, or a picture?"""
        return self.printing.busy() or self.stills.busy

    def _keep(self, kepts: Sequence[Kept]) -> None:
        try:
            keep_events(self.store, kepts)
        except Outage as fault:
            if fault.doubt:
                self.recover()
            raise NotKept(str(fault)) from fault
        self.post.sent()

    def recover(self) -> None:
        """What was really kept decides; while the disk stays away, every command is refused with its sentence."""
        try:
            self.session.bench, self.session.turn = self.store.recover(), None
            self._settle.start()
        except Outage as fault:
            log.info("the store is not back yet: %s", fault)

    def _effects(self, kepts: Sequence[Kept]) -> None:
        """What follows events outside: one row an event."""
        for kept in kepts:
            match kept.event:
                case e.PrintAsked():
                    self.printing.print(kept.event, kept.stamp.trip)
                case e.SignedOut() | e.Packed() | e.TrayBack():
                    self._snapshot()
                case _:
                    pass

    def _snapshot(self) -> None:
        try:
            self.store.snapshot(self.session.bench)
        except Outage as fault:
            log.info("no snapshot: %s", fault)

    def step(self) -> str:
        """The kind of the next step, for rehearsal and tests."""
        return next_step(self.session.bench, self.session.here).kind
