"""The whole kiosk, off screen, in trouble with its machine: the disk full, the store in other hands.

`python -m tests.faults.trouble FOLDER full|busy|reader` prints one line of JSON. `full` wants FOLDER on a small disk.
"""

import json
import sys
import time
from collections.abc import Sequence
from contextlib import suppress
from pathlib import Path

from sqlite_utils.utils import sqlite3

from kiosk.app import watch
from kiosk.core.evolve import evolve
from kiosk.core.glance import machine_notice
from kiosk.core.stamp import Kept
from kiosk.core.state.bench import Bench
from kiosk.store.ballast import NAME, put_by
from kiosk.store.bench_store import BenchStore
from kiosk.store.database import FILE
from tests.cost import CHEAP, charge
from tests.faults.glass import GlassShift
from tests.faults.shifts import stands, told

MOST = 3000
BALLAST = 400_000
Found = dict[str, object]


class Trouble:
    """A kiosk at work, what it handed to its store, and what is shown as kept."""

    def __init__(self, folder: Path) -> None:
        self.folder = folder
        self.kept: list[bytes] = []
        self._handed: list[bytes] = []
        self.shift = GlassShift(folder=folder, seed=5, before=self._hand, after=self._keep)
        self.shift.begin()

    def _hand(self, kepts: Sequence[Kept]) -> None:
        self._handed = list(map(told, kepts))

    def _keep(self) -> None:
        self.kept += self._handed

    def refused(self) -> str:
        """What the screen says when a tap is not kept, or ""."""
        notice = self.shift.session.notice
        return self.shift.session.glance().said() if notice and notice[0] == "refused.not_saved" else ""

    def tap(self) -> str:
        """A tap; a scan that would do nothing is no tap, and what was said before it says nothing of it."""
        before = len(self.kept)
        self.shift.session.notice = None
        for _ in range(200):
            self.shift.tap()
            if self.refused() or len(self.kept) > before:
                break
        return self.refused()

    @property
    def rail(self) -> str:
        assert self.shift.kiosk is not None
        self.shift.kiosk.heartbeat()
        return machine_notice(self.shift.session.glance())

    def end(self) -> Found:
        """Stop, start again: what stands, and whether it is what was shown."""
        assert self.shift.kiosk is not None
        live = stands(self.shift.bench)
        self.shift.kiosk.drop()
        store = BenchStore(self.folder, "B1")
        kepts = list(store.read())
        fold = Bench()
        for kept in kepts:
            fold = evolve(fold, kept)
        store.check()
        found: Found = {"same": list(map(told, kepts)) == self.kept, "stands": live == stands(fold), "kept": len(kepts)}
        store.close()
        return found


def full(folder: Path) -> Found:
    """The disk fills up; the ballast lets work go on a while; then it is said; then there is room again."""
    at = Trouble(folder)
    for _ in range(10):
        at.tap()
    ballast = put_by(folder, BALLAST)
    filler = folder.parent / "filler"
    with filler.open("wb", buffering=0) as file, suppress(OSError):  # nothing is left to be written at its end
        while True:
            file.write(bytes(65536))
    with_ballast = without = 0
    while not at.tap() and with_ballast + without < MOST:
        with_ballast += (folder / NAME).exists()
        without += not (folder / NAME).exists()
    said, rail = at.refused(), at.rail
    stood = len(at.kept)
    began = time.monotonic()
    again = at.tap()
    took = time.monotonic() - began
    none_more = len(at.kept) == stood
    filler.unlink()
    after = at.tap()
    return {
        "ballast": ballast, "taps": [with_ballast, without], "said": said, "again": again, "ms": round(took * 1000),
        "none_more": none_more, "rail": rail, "after": after, **at.end(),
    }  # fmt: skip


def busy(folder: Path) -> Found:
    """Another program holds the store for writing, longer than a tap waits."""
    at = Trouble(folder)
    at.tap()
    timeout = at.shift.store.store.db.conn.execute("PRAGMA busy_timeout").fetchone()[0]
    stood = len(at.kept)
    other = sqlite3.connect(str(folder / FILE), isolation_level=None)
    other.execute("BEGIN IMMEDIATE")
    began = time.monotonic()
    said = at.tap()
    took = time.monotonic() - began
    none_more = len(at.kept) == stood
    other.execute("ROLLBACK")
    other.close()
    after = at.tap()
    return {
        "timeout": timeout, "said": said, "ms": round(took * 1000), "none_more": none_more, "after": after, **at.end(),
    }  # fmt: skip


def reader(folder: Path) -> Found:
    """Another program reads the store and does not let go: taps go on, and the growing write-ahead log is said."""
    watch.LONG = 10 << 20  # less than in the product, so that it is reached in seconds; above what SQLite leaves
    at = Trouble(folder)
    at.tap()
    before = at.rail
    other = sqlite3.connect(f"file:{folder / FILE}?mode=ro", uri=True, isolation_level=None)
    other.execute("BEGIN")
    held = other.execute("SELECT count(*) FROM event").fetchone()[0]
    wal = folder / f"{FILE}-wal"
    said = ""
    while wal.stat().st_size <= watch.LONG and not said:
        said = at.tap()
        at.shift.store.snapshot(at.shift.bench)
    during, size = at.rail, wal.stat().st_size
    seen = other.execute("SELECT count(*) FROM event").fetchone()[0]
    other.close()
    for _ in range(3):
        at.shift.store.store.db.conn.execute("PRAGMA wal_checkpoint(PASSIVE)").fetchall()
        at.tap()
    return {
        "rails": [before, during, at.rail], "said": said, "snapshot": held == seen, "wal": [size, wal.stat().st_size],
        **at.end(),
    }  # fmt: skip


if __name__ == "__main__":
    charge(*CHEAP)
    play = {"full": full, "busy": busy, "reader": reader}[sys.argv[2]]
    sys.stdout.write(json.dumps(play(Path(sys.argv[1]))))
