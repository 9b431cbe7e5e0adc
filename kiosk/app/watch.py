"""What the machine under the bench has to say: disk nearly full, store held by another program, clock to be checked."""

import logging
from collections.abc import Sequence

from kiosk.core.events import ClockRight
from kiosk.core.session import Session
from kiosk.core.stamp import Kept
from kiosk.devices.clock import Clock, WatchedClock
from kiosk.store.ballast import free, let_go
from kiosk.store.bench_store import BenchStore, Outage
from kiosk.store.database import FILE

log = logging.getLogger(__name__)

LOW = 500 << 20
"""Bytes free under which it is said."""
LONG = 64 << 20
"""Bytes of write-ahead log over which it is said: somebody reads the store and does not let go."""


def keep_events(store: BenchStore, kepts: Sequence[Kept]) -> None:
    """Keep the events; on a full disk the ballast makes room once. Raises Outage."""
    try:
        store.keep(kepts)
    except Outage as fault:
        if fault.key != "disk_full" or not let_go(store.store.folder):
            raise
        log.info("the disk is full: the ballast is let go of")
        store.keep(kepts)


class Watch:
    """Looks at the machine with each beat of the heart, and puts what it has to say on the head rail."""

    def __init__(self, store: BenchStore, session: Session, clock: Clock) -> None:
        self._store, self._session, self._clock = store, session, clock
        session.after.append(self._follow)

    def look(self) -> bool:
        """Is there other to say than before?"""
        before, self._session.machine = self._session.machine, self._say()
        if self._session.machine not in {before, ""}:
            log.info("on the head rail: %s", self._session.machine)
        return self._session.machine != before

    def _say(self) -> str:
        folder = self._store.store.folder
        try:
            if free(folder) < LOW:
                return "rail.disk_low"
            wal = folder / f"{FILE}-wal"
            return "rail.store_held" if wal.exists() and wal.stat().st_size > LONG else ""
        except OSError:
            return "rail.disk_low"

    def _follow(self, kepts: Sequence[Kept]) -> None:
        if isinstance(self._clock, WatchedClock) and any(isinstance(kept.event, ClockRight) for kept in kepts):
            self._clock.believe()
