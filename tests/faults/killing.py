"""Kills a bench at work over and over, and looks at what it left. One warm program forks each bench that is killed.

`python -m tests.faults.killing FOLDER KILLS SEED [loop|glass|hasty]` prints one line of JSON. `loop`: the session on
its store; `glass`: the whole kiosk, off screen; `hasty`: a bench that shows before it keeps, which must be found out.

The bench says through a pipe what it hands to the store and, once the screen stands, that it is kept. What it left is
put aside, opened in place, checked, and put back as it was: the next bench starts on what the kill left, with the
write-ahead log and all, and is killed in its turn while it mends that.
"""

import json
import os
import select
import shutil
import signal
import struct
import sys
import time
import traceback
from collections import Counter
from collections.abc import Iterator, Sequence
from pathlib import Path
from random import Random
from typing import NoReturn

from kiosk.core.evolve import evolve
from kiosk.core.stamp import Kept
from kiosk.core.state.bench import Bench
from kiosk.store.bench_store import BenchStore
from kiosk.store.database import FILE
from tests.cost import CHEAP, charge
from tests.faults.shifts import StoreShift, stands, told

LIVES = 24
"""Benches on one store, one after the other; then a new store, so that its making is killed as well."""

WAITS_S = {"loop": (0.016, 0.02), "hasty": (0.016, 0.02), "glass": (1.0, 1.0)}
"""A kill comes so long after the fork, or after the bench stood, at most."""

POINTS = ("BEGIN", "INSERT INTO event", "COMMIT", "INSERT OR REPLACE INTO snapshot", "kept")
"""Where a bench kills itself: just before SQLite runs such a statement, or when the store has kept and nobody knows."""

_HEAD = struct.Struct(">cI")
_Frame = tuple[bytes, bytes]


def _say(mouth: int, kind: bytes, body: bytes = b"") -> None:
    os.write(mouth, _HEAD.pack(kind, len(body)) + body)


def _live(folder: Path, mouth: int, seed: int, point: str, kind: str) -> NoReturn:
    """A bench: starts, says that it stands (B), hands to the store (H), has kept and shown (K). Until it is killed."""
    try:
        make: type[StoreShift] = StoreShift
        if kind == "glass":
            from tests.faults.glass import GlassShift

            make = GlassShift
        rng = Random(seed)
        count = rng.randrange(1, 12)

        def at_a_point(statement: str) -> None:
            nonlocal count
            if statement.startswith(point):
                count -= 1
                if count == 0:
                    os.kill(os.getpid(), signal.SIGKILL)

        def hand(kepts: Sequence[Kept]) -> None:
            _say(mouth, b"H", b"".join(map(told, kepts)))
            if kind == "hasty":
                _say(mouth, b"K")

        def kept() -> None:
            if point == "kept":
                at_a_point("kept")

        shift = make(folder=folder, seed=seed, before=hand, after=kept)
        _say(mouth, b"B", struct.pack(">I", shift.store.log.head().seq))
        if point not in ("", "kept"):
            shift.store.store.db.conn.set_trace_callback(at_a_point)
        shift.begin()
        _say(mouth, b"K", stands(shift.bench))
        while True:
            shift.tap()
            _say(mouth, b"K", stands(shift.bench))
    except Exception:  # noqa: BLE001
        _say(mouth, b"!", traceback.format_exc()[-3000:].encode())
        os._exit(1)


def _frames(data: bytes) -> Iterator[_Frame]:
    while len(data) >= _HEAD.size:
        kind, size = _HEAD.unpack_from(data)
        yield kind, data[_HEAD.size : _HEAD.size + size]
        data = data[_HEAD.size + size :]


class Killer:
    """Holds what one store must have: what was shown, and what was handed over since."""

    def __init__(self, folder: Path, rng: Random, kind: str) -> None:
        self.folder, self.rng, self.kind = folder, rng, kind
        self.count: Counter[str] = Counter()
        self.faults: list[str] = []
        self._new_store()

    def _new_store(self) -> None:
        shutil.rmtree(self.folder, ignore_errors=True)
        self.kept: list[bytes] = []  # what stands in the log, as last seen
        self.shown: list[bytes] = []
        self.handed: list[bytes] = []
        self.stood = b""
        self.fold = Bench()

    def kill(self, number: int, point: str = "") -> None:
        """One life and its end."""
        if number % LIVES == 0:
            self._new_store()
        ear, mouth = os.pipe()
        child = os.fork()
        if child == 0:
            os.close(ear)
            _live(self.folder, mouth, self.rng.randrange(1 << 30), point, self.kind)
        os.close(mouth)
        heard = b""
        opening_s, working_s = WAITS_S[self.kind]
        if point:
            if not select.select([ear], [], [], 5)[0]:
                self.faults.append(f"{number}: silent at {point}")
            end = time.monotonic() + self.rng.uniform(0.05, 0.1)  # not every life comes to its point
            while time.monotonic() < end and os.waitid(os.P_PID, child, os.WEXITED | os.WNOHANG | os.WNOWAIT) is None:
                time.sleep(0.001)
        elif number % 2:
            heard = os.read(ear, 4096)  # it stands
            time.sleep(self.rng.uniform(0, working_s))
        else:
            time.sleep(self.rng.uniform(0, opening_s))
        os.kill(child, signal.SIGKILL)
        os.waitpid(child, 0)
        with os.fdopen(ear, "rb") as rest:
            heard += rest.read()
        self._hear(number, heard)
        self._look(number)

    def _hear(self, number: int, heard: bytes) -> None:
        """Follow what the bench said: what it showed must be there, what it handed over last may be."""
        self.shown, self.handed, self.stood = list(self.kept), [], b""
        opened = False
        for kind, body in _frames(heard):
            if kind == b"B":
                opened = True
                if struct.unpack(">I", body)[0] != len(self.kept):
                    self.faults.append(f"{number}: it opened on {body!r}, {len(self.kept)} were there")
            elif kind == b"H":
                self.shown += self.handed  # the bench went on, so it was kept
                self.handed = [body[at : at + 32] for at in range(0, len(body), 32)]
            elif kind == b"K":
                self.shown += self.handed
                self.count["taps shown"] += 1
                self.count["events shown"] += len(self.handed)
                self.handed, self.stood = [], body
            else:
                self.faults.append(f"{number}: {body.decode()}")
        self.count["killed before it stood"] += not opened
        self.count["killed in mid keep"] += bool(self.handed)

    def _look(self, number: int) -> None:
        """Open what is left, as the next start does: what was shown is there, and what was never handed over is not."""
        aside = self.folder.with_name("aside")
        shutil.rmtree(aside, ignore_errors=True)
        if not (self.folder / FILE).exists():
            if self.shown:
                self.faults.append(f"{number}: the store is gone")
            return
        aside.mkdir()
        left = [path for path in self.folder.iterdir() if path.name.startswith(FILE) and not path.name.endswith("-shm")]
        for path in left:
            shutil.copyfile(path, aside / path.name)
        before = len(self.kept)
        store = BenchStore(self.folder, "B1")
        try:
            store.check()
            said = store.check_file()
            new = list(store.log.read(before))
            self.kept += map(told, new)
            for kept in new:
                self.fold = evolve(self.fold, kept)
            bad, bench = store.log.verify(), store.bench()
        finally:
            store.close()
        self._judge(number, said, bad, bench)
        for path in self.folder.glob(f"{FILE}*"):
            path.unlink()
        for path in aside.iterdir():
            shutil.copyfile(path, self.folder / path.name)

    def _judge(self, number: int, said: str, bad: int | None, bench: Bench) -> None:
        whole = self.kept == [*self.shown, *self.handed]
        self.count["kept, not shown yet"] += whole and bool(self.handed)
        if said != "ok" or bad is not None:
            self.faults.append(f"{number}: {said}, first bad link {bad}")
        if not whole and self.kept != self.shown:
            self.faults.append(f"{number}: {len(self.kept)} kept, {len(self.shown)} shown, {len(self.handed)} handed")
        if stands(bench) != stands(self.fold):
            self.faults.append(f"{number}: the bench that starts again is not the fold of its log")
        if self.kept == self.shown and self.stood and stands(bench) != self.stood:
            self.faults.append(f"{number}: the bench does not stand where the last kept tap left it")


def main(folder: Path, kills: int, seed: int, kind: str) -> dict[str, object]:
    """So many lives end at an instant by chance; without a glass, a fifth more between two statements."""
    charge(*CHEAP)
    killer = Killer(folder / "store", Random(seed), kind)
    warm = StoreShift(folder=folder / "warm", seed=seed)  # everything is loaded before the first fork
    warm.begin()
    warm.store.close()
    if kind == "glass":
        import tests.faults.glass  # noqa: F401
    began = time.monotonic()
    for number in range(kills):
        killer.kill(number)
    took = time.monotonic() - began
    for number in range(kills // 5 if kind != "glass" else 0):
        killer.kill(number, killer.rng.choice(POINTS) if kind == "loop" else "COMMIT")
        killer.count["at a point"] += 1
    return {"kills": kills, "ms": round(took * 1000 / kills, 1), "faults": killer.faults, **killer.count}


if __name__ == "__main__":
    sys.stdout.write(json.dumps(main(Path(sys.argv[1]), int(sys.argv[2]), int(sys.argv[3]), sys.argv[4])))
