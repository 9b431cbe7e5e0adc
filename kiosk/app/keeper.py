"""Looks after the log while the bench works: signs its head, and writes a backup a day where a folder is named."""

import logging
from collections.abc import Callable, Sequence
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass
from pathlib import Path

from PySide6.QtCore import QObject, Signal

from kiosk.core import commands as c
from kiosk.core import events as e
from kiosk.core.stamp import Kept, local_time
from kiosk.devices.clock import Clock
from kiosk.store.backup import backup_name, backups, rotate, write_backup
from kiosk.store.bench_store import BenchStore, Outage

log = logging.getLogger(__name__)

SIGN_EVERY_MS = 60_000
"""A log to which something came is signed so often, besides at each ticket and sign-out."""

BACKUP_EVERY_MS = 24 * 3_600_000
TRY_AGAIN_MS = 15 * 60_000
"""A backup that was not taken is tried again after so long."""

KEEP = 14
"""Backups that stay in the folder (a choice: two weeks)."""

_SIGNED_AT = (e.SignedOut, e.ItemBack, e.TrayBack)


@dataclass(frozen=True, slots=True, kw_only=True)
class BackupPlan:
    """Where backups go, and how many stay there."""

    folder: Path
    keep: int = KEEP


class Keeper(QObject):
    """Signs and backs up one bench's log. `tell` says in the log that a backup was written."""

    written = Signal(str, int)

    def __init__(
        self,
        store: BenchStore,
        clock: Clock,
        worker: ThreadPoolExecutor,
        tell: Callable[[c.TellBackup], object],
        plan: BackupPlan | None = None,
    ) -> None:
        super().__init__()
        self._store, self._clock, self._worker, self._tell, self._plan = store, clock, worker, tell, plan
        self._signed = clock.steady_ms()
        self._next_backup = clock.steady_ms()
        self.written.connect(self._told)

    def after(self, kepts: Sequence[Kept]) -> None:
        """What was kept may be what the log is signed after."""
        if any(isinstance(kept.event, _SIGNED_AT) for kept in kepts):
            self.sign()

    def beat(self) -> None:
        """Now and then: sign what came, and see whether a backup is due."""
        if self._clock.steady_ms() - self._signed >= SIGN_EVERY_MS:
            self.sign()
        if self._plan is not None and self._clock.steady_ms() >= self._next_backup:
            self._back_up(self._plan)

    def sign(self) -> None:
        """Sign where the log ends now."""
        self._signed = self._clock.steady_ms()
        try:
            self._store.sign_head(self._clock.now().at_ms)
        except Outage as fault:
            log.info("the log is not signed: %s", fault)

    def _back_up(self, plan: BackupPlan) -> None:
        """Write a backup, on the worker, where the newest one is a day old by its name."""
        now, bench = self._clock.now(), self._store.store.bench
        yesterday, today = (
            backup_name(bench, _at(now.at_ms - ago, now.offset_min)) for ago in (BACKUP_EVERY_MS, 0)
        )  # fmt: skip
        self._next_backup = self._clock.steady_ms() + TRY_AGAIN_MS
        if not any(yesterday < file.name <= today for file in backups(plan.folder, bench)):
            self._worker.submit(self._write, plan, plan.folder / today)

    def _write(self, plan: BackupPlan, to: Path) -> None:
        """On the worker: write it, look at it, and let the oldest go."""
        try:
            made = write_backup(self._store.store.folder, to)
            rotate(plan.folder, self._store.store.bench, plan.keep)
        except Outage as fault:
            log.warning("no backup was written: %s", fault)
            return
        self.written.emit(made.file.name, made.seq)

    def _told(self, file: str, seq: int) -> None:
        self._tell(c.TellBackup(file=file, seq=seq))


def _at(at_ms: int, offset_min: int) -> str:
    return f"{local_time(at_ms, offset_min):%Y%m%d-%H%M%S}"
