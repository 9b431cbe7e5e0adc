"""Cuts the power of a bench at every write: the files as a disk may hold them then are opened, and looked through.

`python -m tests.faults.powercut FOLDER TAPS SYNCHRONOUS SEED` prints one line of JSON.

A file system of the test's own notes every write, truncate, sync, creation and removal that SQLite asks for. What a
disk holds after a cut is anything between what was synced and what was written: at each call the calls that no sync has
covered are none done, all done, done here and there, or done up to one that is torn at a sector. Each such image is
opened by the store itself: every tap that was shown by then is there, whole, and nothing that was not tapped.
"""

import json
import shutil
import sys
from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass, field
from pathlib import Path
from random import Random
from typing import Literal

import apsw

from kiosk.store import database
from kiosk.store.bench_store import BenchStore
from kiosk.store.database import FILE
from kiosk.store.outage import Outage
from tests.faults.machine import stand_in
from tests.store.shift import yes

SECTOR = 512
PAGES = 24
"""The write-ahead log is taken over into the file every few taps, so that cuts fall into that as well."""

Kind = Literal["write", "truncate", "sync", "create", "remove", "remove for good", "shown"]


@dataclass(frozen=True, slots=True)
class Call:
    """What SQLite asked of a file; or how many events were shown by then."""

    kind: Kind
    name: str = ""
    at: int = 0
    data: bytes = b""


CALLS: list[Call] = []


class _File(apsw.VFSFile):
    def __init__(self, name: str | apsw.URIFilename | None, flags: list[int]) -> None:
        path = Path((name.filename() if isinstance(name, apsw.URIFilename) else name) or "")
        self.name = path.name
        if not path.exists():
            CALLS.append(Call("create", self.name))
        super().__init__("", name, flags)

    def xWrite(self, data: bytes, offset: int) -> None:
        CALLS.append(Call("write", self.name, offset, bytes(data)))
        super().xWrite(data, offset)

    def xTruncate(self, newsize: int) -> None:
        CALLS.append(Call("truncate", self.name, newsize))
        super().xTruncate(newsize)

    def xSync(self, flags: int) -> None:
        super().xSync(flags)
        CALLS.append(Call("sync", self.name))


class _Disk(apsw.VFS):
    def __init__(self) -> None:
        super().__init__("noting", "")

    def xOpen(self, name: str | apsw.URIFilename | None, flags: list[int]) -> _File:
        return _File(name, flags)

    def xDelete(self, filename: str, syncdir: bool) -> None:
        super().xDelete(filename, syncdir)
        CALLS.append(Call("remove for good" if syncdir else "remove", Path(filename).name))


Files = dict[str, bytes]


def _done(files: Files, call: Call) -> None:
    have = files.get(call.name, b"")
    match call.kind:
        case "write":
            files[call.name] = have[: call.at].ljust(call.at, b"\0") + call.data + have[call.at + len(call.data) :]
        case "truncate":
            files[call.name] = have[: call.at].ljust(call.at, b"\0")
        case "create":
            files[call.name] = have
        case _:
            files.pop(call.name, None)


@dataclass(slots=True)
class Platter:
    """What is synced, and the calls since then, in order."""

    rng: Random
    synced: Files = field(default_factory=dict)
    since: list[Call] = field(default_factory=list)
    new: set[str] = field(default_factory=set)  # journals whose first sync is still to come

    def take(self, call: Call) -> None:
        if call.kind == "create" and call.name != FILE:
            self.new.add(call.name)
        if call.kind == "sync" and call.name in self.new:
            self.new.discard(call.name)
            self._names_synced()
        if call.kind in {"sync", "remove for good"}:
            for one in [one for one in self.since if one.name == call.name]:
                _done(self.synced, one)
            self.since = [one for one in self.since if one.name != call.name]
            if call.kind != "sync":
                _done(self.synced, call)
        else:
            self.since.append(call)

    def _names_synced(self) -> None:
        """With the first sync of a journal SQLite syncs the folder: what was created is there, what was removed is not.

        os_unix.c, unixSync, UNIXFILE_DIRSYNC (from memory).
        """
        for at, call in enumerate(self.since):
            if call.kind in {"create", "remove"}:
                _done(self.synced, call)
                self.since[at] = Call("shown", call.name)
                if call.kind == "remove":
                    self.since[:at] = [Call("shown") if one.name == call.name else one for one in self.since[:at]]
        self.since = [call for call in self.since if call.kind != "shown"]

    def images(self) -> Iterator[tuple[str, Files]]:
        """What the disk may hold now."""
        yield "none", dict(self.synced)
        if self.since:
            yield "done", self._with(self.since)
            yield "mixed", self._with([call for call in self.since if self.rng.random() < 0.5])
            yield "torn", self._with(self._torn())

    def _with(self, calls: list[Call]) -> Files:
        files = dict(self.synced)
        for call in calls:
            _done(files, call)
        return files

    def _torn(self) -> list[Call]:
        upto = self.rng.randrange(len(self.since))
        call = self.since[upto]
        if call.kind == "write" and len(call.data) > SECTOR:
            at = self.rng.randrange(1, len(call.data) // SECTOR) * SECTOR
            if self.rng.random() < 0.5:
                call = Call("write", call.name, call.at, call.data[:at])
            else:
                call = Call("write", call.name, call.at + at, call.data[at:])
        return [*self.since[:upto], call]


def tap(folder: Path, taps: int, rng: Random) -> int:
    """The bench works, and every call of it is noted. Returns how many events were handed to the store."""
    store = BenchStore(folder, "B1")
    n = 0
    for number in range(taps):
        many = rng.randrange(1, 4)
        store.keep([yes(n + one) for one in range(1, many + 1)])
        n += many
        CALLS.append(Call("shown", at=n))
        if number % 9 == 8:
            store.alive(number)
        if number % 15 == 14:
            store.snapshot(store.bench())
    store.close()
    return n


def look(folder: Path, files: Files, shown: int) -> str:
    """What is wrong with the image: "", or in a word."""
    for path in folder.glob(f"{FILE}*"):
        path.unlink()
    for name, data in files.items():
        (folder / name).write_bytes(data)
    try:
        store = BenchStore(folder, "B1")
        try:
            store.log.check()
            kept = list(store.read())
            store.bench()
        finally:
            store.close()
    except Outage as fault:
        return f"damaged: {fault}"
    if kept != [yes(n + 1) for n in range(len(kept))]:
        return "changed"
    if len(kept) < shown:
        return "lost"
    return "appeared" if len(kept) > shown + 3 else ""


def main(folder: Path, taps: int, synchronous: str, seed: int) -> dict[str, object]:
    rng = Random(seed)
    number = {"OFF": 0, "NORMAL": 1, "FULL": 2}[synchronous]
    database._PRAGMAS["synchronous"] = (synchronous, number)
    database._PRAGMAS["wal_autocheckpoint"] = (str(PAGES), PAGES)
    disk = _Disk()
    stand_in("noting")
    events = tap(folder / "store", taps, rng)
    del disk
    stand_in()
    shutil.rmtree(folder / "store")
    (folder / "store").mkdir()
    platter, shown = Platter(rng), 0
    count: Counter[str] = Counter()
    wrong: list[str] = []
    for at, call in enumerate(list(CALLS)):
        if call.kind == "shown":
            shown = call.at
        else:
            platter.take(call)
        for kind, files in platter.images():
            said = look(folder / "store", files, shown)
            count["images"] += 1
            count[kind] += 1
            count[said.partition(":")[0] or "good"] += 1
            if said:
                wrong.append(f"call {at} ({call.kind} {call.name}), {kind}: {said}")
    return {"calls": len(CALLS), "events": events, "wrong": len(wrong), "first": wrong[:5], **count}


if __name__ == "__main__":
    sys.stdout.write(json.dumps(main(Path(sys.argv[1]), int(sys.argv[2]), sys.argv[3], int(sys.argv[4]))))
