"""Logs of benches for these tests: in a real store, and as a plain list that can do what no store may."""

from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

from kiosk.core.events import CheckYes
from kiosk.core.stamp import Kept, Stamp
from kiosk.store.chain import FIRST
from kiosk.store.database import Store
from kiosk.store.heard import Heard
from kiosk.store.keys import SignedHead
from kiosk.store.log import Log
from kiosk.sync.own import OwnLog, Stretch
from tests.sync.department import Department, Let
from tests.sync.rows import MORNING_MS, Row


@dataclass
class Listed:
    """An own log as a list, so that it can lose its end, go back, and write other events under the same numbers."""

    let: Let
    kept: list[Row] = field(default_factory=list)
    after: int = 0
    was_h: bytes = FIRST
    signs: bool = False

    def stretches(self) -> list[Stretch]:
        return [Stretch(self.let.origin, self.after, self.after + len(self.kept), self.was_h)]

    def rows(self, after: int, last: int, limit: int) -> list[Any]:
        return self.kept[after - self.after : last - self.after][:limit]

    def hash_of(self, seq: int) -> bytes | None:
        if seq == self.after:
            return self.was_h
        at = seq - self.after - 1
        return self.kept[at][15] if 0 <= at < len(self.kept) else None

    def heard(self) -> dict[str, int]:
        return {}

    def signed(self, origin: str) -> SignedHead | None:
        return self.let.signed(self.kept[-1]) if self.signs and self.kept and origin == self.let.origin else None


class Station:
    """A bench with a real store, let in at one hub or more."""

    def __init__(self, folder: Path, bench: str, *hubs: Department) -> None:
        self.folder, self.bench = folder, bench
        self.store = Store(folder, bench)
        self.log, self.heard = Log(self.store), Heard(self.store)
        self.own = OwnLog(folder)
        self.lets = [hub.let_in(bench, origin=self.store.origin) for hub in hubs]
        self._n = 0

    @property
    def origin(self) -> str:
        """Of its log."""
        return self.store.origin

    @property
    def rows(self) -> list[Row]:
        """What its own log holds."""
        return [tuple(row) for row in self.own.rows(0, 1 << 60, 1 << 30)]

    def work(self, events: int) -> None:
        """So many answers are kept."""
        for _ in range(events):
            self._n += 1
            stamp = Stamp(
                at_ms=MORNING_MS + 1000 * self._n,
                offset_min=0,
                trusted=True,
                who="P-014",
                trip="T-1",
                policy=1,
                record=1,
            )
            self.log.append([Kept(event=CheckYes(piece=f"A3#{self._n}", key="bore.swab", took_ms=900), stamp=stamp)])

    def close(self) -> None:
        """Let go of the store."""
        self.own.close()
        self.store.close()
