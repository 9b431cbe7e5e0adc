"""A damaged file is found and said before anybody believes it. THROUGHLIGHT_FLIPS=10000 for the long run."""

import shutil
import subprocess
import sys
from pathlib import Path
from random import Random

import pytest

from kiosk.store.bench_store import BenchStore
from kiosk.store.database import FILE
from kiosk.store.keys import Keys
from kiosk.store.log import Row
from kiosk.store.outage import Outage
from tests.faults.running import PATIENCE_S, ROOT, many, run
from tests.faults.shifts import StoreShift

FLIPS = many("FLIPS", 400)


@pytest.mark.slow
@pytest.mark.timeout(1000 + FLIPS // 10)
def test_no_flipped_bit_torn_page_or_cut_changes_what_is_read_without_being_said(quick: Path) -> None:
    told = run("flips", quick, FLIPS, 1, timeout=PATIENCE_S + FLIPS // 10)
    print(told)  # noqa: T201
    assert told["first"] == []
    assert told["wrong"] == 0
    count = told["count"]
    assert count["whole: nothing to see"] == 1
    assert count["cut: said at the start"] == FLIPS // 4
    assert count["flip: said at the start"] > FLIPS / 20
    assert count["torn: said at the start"] > FLIPS / 20


WAL = f"{FILE}-wal"


@pytest.fixture
def left(quick: Path) -> Path:
    """What a killed bench left: the file, and a write-ahead log that holds its last taps."""
    return _killed(quick / "left", 5)


def _killed(folder: Path, seed: int) -> Path:
    shift = StoreShift(folder=folder.with_name("at-work"), seed=seed)
    shift.begin()
    for number in range(60):
        shift.tap()
        if number == 20:
            shift.store.store.db.conn.execute("PRAGMA wal_checkpoint(TRUNCATE)").fetchall()
    folder.mkdir()
    for name in (FILE, WAL):
        shutil.copyfile(shift.folder / name, folder / name)
    shift.store.close()
    shutil.rmtree(shift.folder)
    Keys(shift.folder).folder.rename(Keys(folder).folder)
    return folder


def _rows(folder: Path) -> list[Row] | str:
    """The log as the next start finds it, or its sentence."""
    try:
        store = BenchStore(folder, "B1")
        try:
            store.check()
            assert store.check_file() == "ok"
            return list(store.log.rows())
        finally:
            store.close()
    except Outage as fault:
        return str(fault)


def _copy(folder: Path, name: str) -> Path:
    """The same store once more, with its key: what happens to it befalls the store, and is no copy."""
    there = folder.with_name(name)
    shutil.copytree(folder, there)
    shutil.copytree(Keys(folder).folder, Keys(there).folder, dirs_exist_ok=True)
    return there


@pytest.mark.slow
@pytest.mark.timeout(1000)
def test_a_write_ahead_log_taken_away_swapped_or_of_before_never_mixes_into_the_log(left: Path) -> None:
    """The log then ends early, as a file put back does; its links can not tell that. The newest signed head does."""
    truth = _rows(_copy(left, "whole"))
    other = _killed(left.with_name("other"), 6)
    gone = _copy(left, "gone")
    (gone / WAL).unlink()
    swapped = _copy(left, "swapped")
    shutil.copyfile(other / WAL, swapped / WAL)
    stale = _copy(left, "stale")
    after = StoreShift(folder=stale, seed=7)  # takes the old write-ahead log over, and goes on
    after.tap()
    after.store.close()
    further = _rows(_copy(stale, "further"))
    shutil.copyfile(left / WAL, stale / WAL)
    assert isinstance(truth, list)
    assert isinstance(further, list)
    rows = _rows(gone)
    assert rows == truth[: len(rows)]
    assert 0 < len(rows) < len(truth)
    assert "is damaged" in _rows(swapped)
    assert _rows(stale) in (truth, further)


@pytest.mark.slow
@pytest.mark.timeout(1000)
def test_a_flipped_bit_in_the_write_ahead_log_ends_the_log_early_and_changes_nothing(left: Path) -> None:
    truth = _rows(_copy(left, "whole"))
    assert isinstance(truth, list)
    rng, short = Random(11), 0
    for _ in range(60):
        folder = _copy(left, "flipped")
        data = bytearray((folder / WAL).read_bytes())
        data[rng.randrange(len(data))] ^= 1 << rng.randrange(8)
        (folder / WAL).write_bytes(data)
        rows = _rows(folder)
        assert isinstance(rows, str) or rows == truth[: len(rows)]
        short += rows != truth
        shutil.rmtree(folder)
    assert short > 30


@pytest.mark.slow
@pytest.mark.timeout(1000)
def test_a_page_of_zeros_in_the_log_is_said_by_the_start_of_the_program_itself(quick: Path) -> None:
    shift = StoreShift(folder=quick / "store", seed=8)
    shift.begin()
    for _ in range(60):
        shift.tap()
    page = shift.store.store.db.conn.execute("SELECT rootpage FROM sqlite_schema WHERE name = 'event'").fetchone()[0]
    shift.store.close()
    data = bytearray((quick / "store" / FILE).read_bytes())
    data[(page - 1) * 4096 : page * 4096] = bytes(4096)
    (quick / "store" / FILE).write_bytes(data)
    line = [sys.executable, "-m", "kiosk", "--store", str(quick / "store"), "--window", "1280x800"]
    ended = subprocess.run(line, check=False, cwd=ROOT, capture_output=True, text=True, timeout=60)
    assert ended.returncode != 0
    assert "damaged" in ended.stderr
    assert "Traceback" not in ended.stderr
    assert bytes(data) == (quick / "store" / FILE).read_bytes()
