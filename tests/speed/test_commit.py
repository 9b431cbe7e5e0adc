"""What it costs to keep one answer durably, against the least that the disk asks for it."""

import os
import statistics
import sys
import time
from collections.abc import Callable
from pathlib import Path

import pytest

from kiosk.core.events import CheckYes
from kiosk.core.stamp import Kept, Stamp
from kiosk.store.database import Store
from kiosk.store.log import Log

ROUNDS = 300


def _median_ms(step: Callable[[], object]) -> float:
    took = []
    for _ in range(ROUNDS):
        start = time.perf_counter()
        step()
        took.append(1000 * (time.perf_counter() - start))
    return statistics.median(took)


@pytest.mark.slow
def test_one_answer_kept_against_one_page_written_and_synced(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """Three runs of both in turn; prints the medians and their ratio. A time is told, never passed or failed."""
    stamp = Stamp(at_ms=1_764_054_000_000, offset_min=0, trusted=True, who="P-014", trip="T-1", policy=1, record=1)
    pair = [
        Kept(event=CheckYes(piece="A3#1", key=f"bore.{key}", took_ms=900), stamp=stamp) for key in ("swab", "scope")
    ]
    page = os.urandom(4096)
    file = os.open(tmp_path / "page", os.O_WRONLY | os.O_CREAT)

    def write_page() -> None:
        os.write(file, page)
        os.fdatasync(file)

    with Store(tmp_path / "store") as store:
        log = Log(store)
        runs = [(_median_ms(write_page), _median_ms(lambda: log.append(pair))) for _ in range(3)]
        assert log.head().seq == 2 * 3 * ROUNDS
        assert log.verify() is None
    os.close(file)
    with capsys.disabled():
        for bare, kept in runs:
            sys.stdout.write(
                f"\none page of 4 KiB synced {bare:.3f} ms, two events kept {kept:.3f} ms, ratio {kept / bare:.2f}"
            )
