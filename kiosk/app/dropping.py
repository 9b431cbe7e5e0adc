"""Dropping stills as policy says: looked for on the worker, told to the log first, and only then taken off the disk.

A cut of power between the two leaves a file too many; the next start takes it away. What lies in the folder and stands
in no log is left alone: after a restore it may be of events that are still to come back.
"""

import logging
from collections.abc import Iterable, Iterator, Mapping, Sequence
from concurrent.futures import Executor
from contextlib import suppress
from dataclasses import dataclass
from pathlib import Path

from PySide6.QtCore import QObject, Qt, Signal, Slot

from kiosk.core.commands import DropPictures
from kiosk.core.desk import Desk, PictureRoom
from kiosk.core.events import PicturesDropped
from kiosk.core.session import Session
from kiosk.core.stamp import Kept
from kiosk.core.state.bench import Bench
from kiosk.core.together.kept_pictures import (
    DAY_MS,
    DAYS,
    MOST_NAMED,
    ROOM,
    at_hand,
    due,
    for_room,
    needed,
    spare_stills,
)
from kiosk.core.together.stations import own_name
from kiosk.devices.clock import Clock
from kiosk.store.bench_store import BenchStore, Outage
from kiosk.store.fetched import FOLDER, fetched_as

log = logging.getLogger(__name__)

SIZES_EVERY_MS = 10 * 60_000
"""So often the room that pictures take is measured (a choice)."""
DUE_EVERY_MS = 6 * 3_600_000
"""So often the log is asked what is due (a choice: it reads every still that was ever kept)."""
GIGABYTE = 10**9


@dataclass(frozen=True, slots=True, kw_only=True)
class Looked:
    """What a look came to: bytes that pictures take, and stills that are due by days and for room."""

    used: int
    days: tuple[str, ...] = ()
    room: tuple[str, ...] = ()


class Dropping(QObject):
    """Looks with the heart's beat. `changed` when there is other to say of the room than before."""

    changed = Signal()
    _looked = Signal(object)

    def __init__(self, store: BenchStore, session: Session, clock: Clock, worker: Executor) -> None:
        super().__init__()
        self._store, self._session, self._clock, self._worker = store, session, clock, worker
        self._next_sizes = self._next_due = clock.steady_ms()
        self._swept = self._ended = False
        self._looked.connect(self._take, Qt.ConnectionType.QueuedConnection)
        session.after.append(self.after)

    def after(self, kepts: Sequence[Kept]) -> None:
        """What the log has now: files that are named there go."""
        files = [file for kept in kepts if isinstance(kept.event, PicturesDropped) for file in kept.event.files]
        if files:
            self._next_sizes = self._clock.steady_ms()
            self._submit(self._take_off, files)

    def beat(self) -> None:
        """Now and then: measure, and see what is due."""
        steady = self._clock.steady_ms()
        if steady >= self._next_sizes:
            asks, self._next_sizes = steady >= self._next_due, steady + SIZES_EVERY_MS
            if asks:
                self._next_due = steady + DUE_EVERY_MS
            self._submit(self._look, self._session.bench, self._session.desk, self._clock.now().at_ms, asks)

    def stop(self) -> None:
        """The store is closed: what is still looked at comes to nothing."""
        self._ended = True

    def _submit(self, run: object, *args: object) -> None:
        with suppress(RuntimeError):  # the worker is being shut down
            self._worker.submit(run, *args)  # type: ignore[arg-type]

    def _look(self, bench: Bench, desk: Desk, now_ms: int, asks: bool) -> None:
        """On the worker. A disk or a log that can not be read now is asked again later."""
        try:
            looked = self._found(bench, desk, now_ms, asks)
        except (OSError, Outage) as fault:
            log.info("pictures are not looked at: %s", fault)
            return
        except Exception:  # whatever it is, the bench works on; the log says so
            log.exception("pictures could not be looked at")
            return
        with suppress(RuntimeError):  # the bench may have ended meanwhile
            self._looked.emit(looked)

    def _found(self, bench: Bench, desk: Desk, now_ms: int, asks: bool) -> Looked:
        folder = self._store.store.folder
        if not self._swept:
            self._take_off(self._left_over(bench, desk))
            self._swept = True
        given = desk.policy.picture_room_gb * GIGABYTE
        sizes, copies = _sizes(folder / "pictures"), _sizes(folder / FOLDER)
        used = sum(sizes.values()) + sum(copies.values())
        for file in _not_needed(folder / FOLDER, bench, desk, now_ms, over=used - given):
            used -= copies.get(file.name, 0)
            file.unlink(missing_ok=True)
        if not asks and used <= given:
            return Looked(used=used)
        spare = [one for one in spare_stills(self._store.records, bench, desk) if one.file in sizes]
        days = due(spare, desk.policy.picture_days, now_ms)
        over = used - given - sum(sizes[file] for file in days)
        left = [one for one in spare if one.file not in set(days)]
        return Looked(used=used, days=days, room=for_room(left, sizes, over, now_ms))

    def _left_over(self, bench: Bench, desk: Desk) -> list[str]:
        """Files that this station's log has dropped; those that are there yet are of a cut between log and disk."""
        own, here = own_name(desk), at_hand(bench, desk)
        told = (kept.event for station, kept in self._store.records.kept("pictures_dropped") if station == own)
        return [
            file for event in told if isinstance(event, PicturesDropped) for file in event.files if file not in here
        ]

    def _take_off(self, files: Iterable[str]) -> None:
        """On the worker: the files and their small pictures go."""
        for name in files:
            try:
                self._store.picture(name).unlink(missing_ok=True)
                (self._store.store.folder / "thumbnails" / f"{name}.jpg").unlink(missing_ok=True)
            except OSError as fault:
                log.info("picture %s is not taken off the disk: %s", name, fault)

    @Slot(object)
    def _take(self, looked: Looked) -> None:
        """Say how the room stands; tell the log what is due, which takes it off the disk."""
        if self._ended:
            return
        session = self._session
        given = session.desk.policy.picture_room_gb * GIGABYTE
        before, now = session.desk.pictures, PictureRoom(used=looked.used, given=given)
        session.room(now)
        if (before.state if before else "") != now.state:
            self.changed.emit()
        if not session.desk.catalogue.people:  # nothing is decided before somebody is known here
            return
        for why, files in ((DAYS, looked.days), (ROOM, looked.room)):
            for at in range(0, len(files), MOST_NAMED):
                session.send(DropPictures(files=files[at : at + MOST_NAMED], why=why))


def _sizes(folder: Path) -> Mapping[str, int]:
    """Names and bytes of the files in a folder."""
    return {file.name: file.stat().st_size for file in folder.iterdir() if file.is_file()} if folder.is_dir() else {}


def _not_needed(folder: Path, bench: Bench, desk: Desk, now_ms: int, *, over: int) -> Iterator[Path]:
    """Copies of others' pictures that nothing needs now: as old as a still may grow, or for room, the oldest first."""
    wanted = {fetched_as(one.file, one.sha256) for one in needed(bench, desk)}
    files = [file for file in folder.iterdir() if file.is_file()] if folder.is_dir() else []
    for file in sorted(files, key=_changed_ms):
        if file.name in wanted:
            continue
        if now_ms - _changed_ms(file) >= desk.policy.picture_days * DAY_MS or over > 0:
            over -= file.stat().st_size
            yield file


def _changed_ms(file: Path) -> int:
    return file.stat().st_mtime_ns // 1_000_000
