"""What it costs to keep one tap durably, against the least that the disk asks for it."""

import os
import statistics
from collections.abc import Callable
from pathlib import Path

import pytest

from kiosk.core.events import CheckYes
from kiosk.core.stamp import Kept, Stamp
from kiosk.store.bench_store import BenchStore
from tests.speed.conftest import Tell
from tests.speed.figures import Figure, took_ms

ROUNDS = 300
RUNS = 5


def _median_ms(step: Callable[[], object]) -> float:
    return statistics.median(took_ms(step) for _ in range(ROUNDS))


@pytest.mark.slow
def test_one_tap_kept_against_one_page_written_and_synced(tmp_path: Path, tell: Tell) -> None:
    """One event and two, as the bench keeps them; a page over itself, and one at the end of a growing file."""
    stamp = Stamp(at_ms=1_764_054_000_000, offset_min=0, trusted=True, who="P-014", trip="T-1", policy=1, record=1)
    pair = [
        Kept(event=CheckYes(piece="A3#1", key=f"bore.{key}", took_ms=900), stamp=stamp) for key in ("swab", "scope")
    ]
    page = os.urandom(4096)
    file = os.open(tmp_path / "page", os.O_RDWR | os.O_CREAT)
    os.pwrite(file, page, 0)
    os.fsync(file)
    grown = os.open(tmp_path / "grown", os.O_WRONLY | os.O_CREAT | os.O_APPEND)

    def over_itself() -> None:
        os.pwrite(file, page, 0)
        os.fdatasync(file)

    def at_the_end() -> None:
        os.write(grown, page)
        os.fdatasync(grown)

    store = BenchStore(tmp_path / "store", "B1")
    steps = (over_itself, at_the_end, lambda: store.keep(pair[:1]), lambda: store.keep(pair))
    runs = [tuple(map(_median_ms, steps)) for _ in range(RUNS)]
    over, end, one, two = zip(*runs, strict=True)
    assert store.log.head().seq == 3 * RUNS * ROUNDS
    assert store.log.verify() is None
    store.close()
    os.close(file)
    os.close(grown)
    in_place, growing = "4 KiB written over itself, fdatasync", "4 KiB at the end of a file, fdatasync"
    tell(Figure(row=4, what="one tap kept, one event", against=in_place, ours=one, base=over, goal=1.5))
    tell(Figure(what="one tap kept, two events", against=in_place, ours=two, base=over, goal=1.5))
    tell(Figure(what="one tap kept, two events", against=growing, ours=two, base=end))
