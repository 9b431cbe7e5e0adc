"""Damages a store's file in every way that a disk does, and looks whether the damage is seen before it is believed.

`python -m tests.faults.flips FOLDER MANY SEED` prints one line of JSON.

A change is visible when a reader of the log, of its ways in by kind, of the bench, the catalogue or the policy would be
told something else. It must be said at the start (links, SQLite's quick check) or by the whole look-through that
`throughlight verify` and the nightly check take (every link, SQLite's integrity check).
"""

import json
import sys
import traceback
from collections import Counter
from collections.abc import Callable
from pathlib import Path
from random import Random
from typing import Any

from kiosk.store.bench_store import BenchStore
from kiosk.store.database import FILE
from kiosk.store.outage import Outage, outages
from tests.core.department import MORNING, catalogue
from tests.cost import CHEAP, charge
from tests.faults.shifts import StoreShift, stands

TAPS = 420
PAGE, SECTOR = 4096, 512
KINDS = ("tray_opened", "check_yes", "check_no", "packed")


def seen(store: BenchStore) -> tuple[Any, ...]:
    """What a reader is told."""
    rows = tuple(store.log.rows())
    ways = tuple(tuple(store.records.kept(kind)) for kind in KINDS)
    return rows, ways, stands(store.bench()), store.catalogue(), store.policy(), store.store.bench


class Damage:
    """One store's file, and what a reader is told of it while it is whole."""

    def __init__(self, folder: Path, seed: int) -> None:
        self.folder, self.rng = folder, Random(seed)
        shift = StoreShift(folder=folder, seed=seed)
        shift.store.keep_catalogue(catalogue(), at_ms=MORNING)
        shift.store.keep_policy({"idle_lock_minutes": 7}, at_ms=MORNING)
        shift.begin()
        older = b""
        for number in range(TAPS):
            shift.tap()
            if number == TAPS // 2:
                shift.store.close()  # a file of the middle of the shift: pages that a disk may bring back
                older = (folder / FILE).read_bytes()
                shift = StoreShift(folder=folder, seed=seed + 1)
                shift.begin()
        self.truth = seen(shift.store)
        shift.store.close()
        self.whole, self.older = (folder / FILE).read_bytes(), older
        self.count: Counter[str] = Counter()
        self.wrong: list[str] = []

    def flip(self) -> bytes:
        """One bit is another."""
        data, at = bytearray(self.whole), self.rng.randrange(len(self.whole))
        data[at] ^= 1 << self.rng.randrange(8)
        return bytes(data)

    def torn(self) -> bytes:
        """A page is written only in part: some sectors are those of an older file, of zeros, or of another page."""
        data, page = bytearray(self.whole), self.rng.randrange(len(self.whole) // PAGE) * PAGE
        other = self.rng.randrange(len(self.whole) // PAGE) * PAGE
        source = self.rng.choice((bytes(PAGE), self.older[page : page + PAGE], self.whole[other : other + PAGE]))
        first = self.rng.randrange(PAGE // SECTOR) * SECTOR
        last = self.rng.randrange(first, PAGE, SECTOR) + SECTOR
        data[page + first : page + last] = source[first:last].ljust(last - first, b"\0")
        return bytes(data)

    def cut(self) -> bytes:
        """The file ends early: at a page, or anywhere. Not at nothing at all, which is no file."""
        at = self.rng.randrange(1, len(self.whole))
        return self.whole[: at // PAGE * PAGE or at] if self.rng.random() < 0.5 else self.whole[:at]

    def look(self, kind: str, data: bytes) -> None:
        """Start on the damaged file, then look it through whole."""
        for path in self.folder.glob(f"{FILE}*"):
            path.unlink()
        (self.folder / FILE).write_bytes(data)
        try:
            said = self._said()
        except Exception as fault:  # noqa: BLE001
            said = f"a bug: {type(fault).__name__}: {fault} at {traceback.format_exc()[-600:]}"
        self.count[f"{kind}: {said.partition(':')[0]}"] += 1
        if said.startswith(("a bug", "unseen")):
            at = next((n for n, (a, b) in enumerate(zip(data, self.whole, strict=False)) if a != b), len(data))
            self.wrong.append(f"{kind} at byte {at}: {said}")

    def _said(self) -> str:
        try:
            store = BenchStore(self.folder, "B1")
        except Outage:
            return "said at the start"
        try:
            try:
                store.check()
                if store.check_file() != "ok":
                    return "said at the start"
                told = seen(store)
                bad = store.log.verify()
                with outages():
                    whole = store.store.db.conn.execute("PRAGMA integrity_check(1)").fetchone()[0]
            except Outage:
                return "said at the start"
            if bad is not None or whole != "ok":
                return "said by the whole look-through"
            return "nothing to see" if told == self.truth else "unseen"
        finally:
            store.close()


def main(folder: Path, many: int, seed: int) -> dict[str, object]:
    charge(*CHEAP)
    damage = Damage(folder / "store", seed)
    ways: dict[str, Callable[[], bytes]] = {"flip": damage.flip, "torn": damage.torn, "cut": damage.cut}
    damage.look("whole", damage.whole)
    for number in range(many):
        kind = ("flip", "flip", "torn", "cut")[number % 4]
        damage.look(kind, ways[kind]())
    return {
        "bytes": len(damage.whole),
        "events": len(damage.truth[0]),
        "wrong": len(damage.wrong),
        "first": damage.wrong[:8],
        "count": damage.count,
    }


if __name__ == "__main__":
    sys.stdout.write(json.dumps(main(Path(sys.argv[1]), int(sys.argv[2]), int(sys.argv[3]))))
