"""A disk that fails at the N-th call, once or from then on, or is full from then on, for every N there is.

`python -m tests.faults.bad_disk FOLDER once|for_good|full` prints one line of JSON.

SQLite's own way of testing (sqlite.org/testing.html section 3.2): "the simulated I/O error ... fail once ... or fail
continuously after the first failure". Each run: a bench opens its store and works, as the kiosk does: what is not kept
is said, and after a doubt the file is opened anew and looked through. Then the disk is well again, and what stands must
be what was shown, with at most the one tap in doubt.
"""

import json
import shutil
import sys
from collections import Counter
from collections.abc import Sequence
from pathlib import Path
from typing import Any

import apsw

from kiosk.core.stamp import Kept
from kiosk.store.bench_store import BenchStore
from kiosk.store.keys import Keys
from kiosk.store.outage import Outage
from tests.faults.machine import stand_in
from tests.store.shift import yes

TAPS = 7
SNAPSHOT_AT, ALIVE_AT, CHECK_AT = 3, 4, 5


class Trouble:
    """Counts the calls, and fails at the one it is set to."""

    def __init__(self) -> None:
        self.calls, self.at, self.for_good, self.full = 0, 0, False, False
        self.failed: list[str] = []

    def set(self, at: int, *, for_good: bool) -> None:
        self.calls, self.at, self.for_good, self.failed = 0, at, for_good, []

    def call(self, name: str, code: int) -> None:
        if self.full and name != "write":
            return
        self.calls += 1
        if self.at and (self.calls == self.at or (self.for_good and self.calls > self.at)):
            self.failed.append(name)
            raise apsw.exception_for(apsw.SQLITE_FULL if self.full else code)


TROUBLE = Trouble()


class _File(apsw.VFSFile):
    def __init__(self, name: str | apsw.URIFilename | None, flags: list[int]) -> None:
        super().__init__("", name, flags)

    def xRead(self, amount: int, offset: int) -> bytes:
        TROUBLE.call("read", apsw.SQLITE_IOERR_READ)
        return super().xRead(amount, offset)

    def xWrite(self, data: Any, offset: int) -> None:
        TROUBLE.call("write", apsw.SQLITE_IOERR_WRITE)
        super().xWrite(data, offset)

    def xSync(self, flags: int) -> None:
        TROUBLE.call("sync", apsw.SQLITE_IOERR_FSYNC)
        super().xSync(flags)

    def xTruncate(self, newsize: int) -> None:
        TROUBLE.call("truncate", apsw.SQLITE_IOERR_TRUNCATE)
        super().xTruncate(newsize)

    def xFileSize(self) -> int:
        TROUBLE.call("size", apsw.SQLITE_IOERR_FSTAT)
        return super().xFileSize()

    def xLock(self, level: int) -> None:
        TROUBLE.call("lock", apsw.SQLITE_IOERR_LOCK)
        super().xLock(level)


class _Disk(apsw.VFS):
    def __init__(self) -> None:
        super().__init__("failing", "")

    def xOpen(self, name: str | apsw.URIFilename | None, flags: list[int]) -> _File:
        TROUBLE.call("open", apsw.SQLITE_CANTOPEN)
        return _File(name, flags)

    def xDelete(self, filename: str, syncdir: bool) -> None:
        TROUBLE.call("remove", apsw.SQLITE_IOERR_DELETE)
        super().xDelete(filename, syncdir)

    def xAccess(self, pathname: str, flags: int) -> bool:
        TROUBLE.call("look", apsw.SQLITE_IOERR_ACCESS)
        return super().xAccess(pathname, flags)


class Work:
    """A bench at work on the store, as the kiosk uses it. `said`: the outages, by their keys."""

    def __init__(self, folder: Path, shown: int = 0) -> None:
        self.folder, self.shown = folder, shown
        self.doubt = 0  # so many events more may stand in the log
        self.said: list[str] = []

    def do(self) -> None:
        try:
            store = BenchStore(self.folder, "B1")
        except Outage as fault:
            self.said.append(fault.key)
            return
        try:
            self.do_in(store)
        except Outage as fault:
            self.said.append(fault.key)
        finally:
            store.close()

    def do_in(self, store: BenchStore) -> None:
        store.check()
        self.shown = store.log.head().seq
        for number in range(TAPS):
            n = self.shown
            self._keep(store, [yes(n + 1), yes(n + 2)])
            if number == SNAPSHOT_AT:
                self._try(store.snapshot, store.bench())
            if number == ALIVE_AT:
                self._try(store.alive, number)
            if number == CHECK_AT:
                self._try(store.check_file)

    def _keep(self, store: BenchStore, kepts: Sequence[Kept]) -> None:
        try:
            store.keep(kepts)
        except Outage as fault:
            self.said.append(fault.key)
            if fault.doubt:
                self.doubt = len(kepts)
                store.recover()  # raises where the disk stays away: the bench keeps nothing more
                now = store.log.head().seq
                if now not in (self.shown, self.shown + len(kepts)):
                    raise RuntimeError(f"{now} stand, {self.shown} were shown") from fault
                self.shown, self.doubt = now, 0
        else:
            self.shown += len(kepts)

    def _try(self, do: Any, *args: object) -> None:
        try:
            do(*args)
        except Outage as fault:
            self.said.append(fault.key)


def _fault(folder: Path, work: Work) -> str:
    """What is wrong now that the disk is well."""
    TROUBLE.set(0, for_good=False)
    store = BenchStore(folder, "B1")
    try:
        store.log.check()
        kept = list(store.read())
        store.bench()
        store.keep([yes(len(kept) + 1)])
    finally:
        store.close()
    if kept != [yes(n + 1) for n in range(len(kept))]:
        return "changed"
    if len(kept) not in (work.shown, work.shown + work.doubt):
        return f"{len(kept)} stand, {work.shown} were shown, {work.doubt} in doubt"
    return ""


def _runs(folder: Path, start: Path | None, *, for_good: bool) -> tuple[int, Counter[str], list[str]]:
    """Every N until the work goes through. `start`: the store it begins on, or none."""
    said: Counter[str] = Counter()
    wrong: list[str] = []
    at = 0
    while True:
        at += 1
        shutil.rmtree(folder, ignore_errors=True)
        shutil.rmtree(Keys(folder).folder, ignore_errors=True)
        if start:
            shutil.copytree(start, folder)
            shutil.copytree(Keys(start).folder, Keys(folder).folder)
        work = Work(folder, 2 * TAPS if start else 0)
        TROUBLE.set(at, for_good=for_good)
        try:
            work.do()
        except Exception as fault:  # noqa: BLE001
            wrong.append(f"{at} ({TROUBLE.failed[:1]}): {type(fault).__name__}: {fault}")
        failed = TROUBLE.failed
        said.update(work.said)
        if failed and not work.said:
            said["nothing, as nothing was amiss"] += 1
        if found := _fault(folder, work):
            wrong.append(f"{at} ({failed[:1]}): {found}")
        if not failed:
            return at - 1, said, wrong


def _unheard(*_: object) -> None:
    """What apsw can not raise through SQLite: it is counted, and need not be written to the screen as well."""


def main(folder: Path, kind: str) -> dict[str, object]:
    TROUBLE.full = kind == "full"
    sys.unraisablehook = sys.excepthook = _unheard
    disk = _Disk()
    stand_in("failing")
    calls, said, wrong = _runs(folder / "store", None, for_good=kind != "once")
    start = folder / "start"
    Work(start).do()
    for path in start.glob("*.lock"):
        path.unlink()
    more, said_then, wrong_then = _runs(folder / "store", start, for_good=kind != "once")
    del disk
    return {
        "calls": [calls, more],
        "said": said + said_then,
        "wrong": len(wrong) + len(wrong_then),
        "first": [*wrong[:6], *wrong_then[:6]],
    }


if __name__ == "__main__":
    sys.stdout.write(json.dumps(main(Path(sys.argv[1]), sys.argv[2])))
