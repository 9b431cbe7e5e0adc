"""Programs that a test of crashes runs and watches: each prints one line of JSON.

`python -m tests.store.crash kills|fill|limit|read_only FOLDER`
"""

import json
import os
import random
import resource
import shutil
import signal
import sys
import time
from collections.abc import Callable
from pathlib import Path
from typing import NoReturn

from kiosk.store.database import FILE, Store
from kiosk.store.log import Log
from kiosk.store.outage import Outage
from tests.store.shift import yes

KILLS = 100


def _tap_for_ever(folder: Path, told: int) -> NoReturn:
    """Keep commands of two events; tell each number once it is kept."""
    log = Log(Store(folder))
    while True:
        n = log.head().seq
        rows = log.append([yes(n + 1), yes(n + 2)])
        os.write(told, rows[-1].seq.to_bytes(4, "big"))


def kills(folder: Path) -> dict[str, object]:
    """Kill a tapping process at a random instant, over and over; what was told must be there, and whole."""
    chance = random.Random(9)
    acked = untold = last = 0
    faults: list[tuple[object, ...]] = []
    for turn in range(KILLS):
        if turn % 10 == 0:  # a new store now and then, so that its making is killed as well
            shutil.rmtree(folder, ignore_errors=True)
            last = 0
        ear, mouth = os.pipe()
        child = os.fork()
        if child == 0:
            os.close(ear)
            _tap_for_ever(folder, mouth)
        os.close(mouth)
        told = (
            os.read(ear, 4) if turn % 2 else b""
        )  # half of them while the store is being opened, half while it is in use
        time.sleep(chance.uniform(0, 0.04))
        os.kill(child, signal.SIGKILL)
        os.waitpid(child, 0)
        with os.fdopen(ear, "rb") as heard:
            told += heard.read()
        last = int.from_bytes(told[-4:], "big") if told else last
        acked += len(told) // 4
        with Store(folder) as store:
            log = Log(store)
            head = log.head().seq
            untold += head > last
            if not last <= head <= last + 2 or head % 2 or log.verify() is not None:
                faults.append((turn, last, head))
            if list(log.read()) != [yes(n + 1) for n in range(head)]:
                faults.append((turn, "body"))
            log.check()
        last = head
    return {"acked": acked, "untold": untold, "faults": faults}


def _until_outage(log: Log, most: int = 20_000) -> tuple[int, Outage | None]:
    for _ in range(most):
        n = log.head().seq
        try:
            log.append([yes(n + 1), yes(n + 2)])
        except Outage as outage:
            return n, outage
    return log.head().seq, None


def _story(folder: Path, make_room: Callable[[], object], takes_room: Callable[[], object]) -> dict[str, object]:
    with Store(folder) as store:
        log = Log(store)
        takes_room()
        acked, first = _until_outage(log)
        again = _until_outage(log)[1]
        make_room()
        if first is not None and first.doubt:
            log.reopen()
        kept = log.head().seq
        log.append([yes(kept + 1), yes(kept + 2)])
    with Store(folder) as store:
        log = Log(store)
        log.check()
        bodies = list(log.read()) == [yes(n + 1) for n in range(kept + 2)]
        return {
            "first": str(first), "doubt": first is not None and first.doubt, "again": str(again), "acked": acked,
            "kept": kept, "bad": log.verify(), "bodies": bodies, "integrity": _integrity(store),
        }  # fmt: skip


def _integrity(store: Store) -> str:
    return str(store.db.conn.execute("PRAGMA integrity_check").fetchone()[0])


def fill(folder: Path) -> dict[str, object]:
    """Tap until the disk is full, make room, tap on."""
    ballast = folder.parent / "ballast"
    ballast.write_bytes(bytes(300_000))
    return _story(folder, ballast.unlink, lambda: None)


def limit(folder: Path) -> dict[str, object]:
    """Tap until a file may not grow (the disk refuses the write), lift the limit, tap on."""
    hard = resource.getrlimit(resource.RLIMIT_FSIZE)[1]
    return _story(
        folder,
        lambda: resource.setrlimit(resource.RLIMIT_FSIZE, (hard, hard)),
        lambda: resource.setrlimit(resource.RLIMIT_FSIZE, (3_000_000, hard)),
    )


def read_only(folder: Path) -> dict[str, object]:
    """Open a store on a disk that takes no writes."""
    before = (folder / FILE).read_bytes()
    try:
        Store(folder)
    except Outage as outage:
        return {"said": str(outage), "same": (folder / FILE).read_bytes() == before}
    return {"said": "opened", "same": True}


if __name__ == "__main__":
    play = {"kills": kills, "fill": fill, "limit": limit, "read_only": read_only}[sys.argv[1]]
    sys.stdout.write(json.dumps(play(Path(sys.argv[2]))))
