"""Hostile files: none is taken in, in part neither, none ends the program, and none makes its memory grow."""

import json
import os
import subprocess
import sys
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import pytest

from kiosk.store.bench_store import BenchStore
from kiosk.store.proving import prove_store
from kiosk.sync.bundle import take_bundle
from tests.sync.forging import Bench, put
from tests.sync.hostile import KNOWN, MORE, TRICKS, corpus, good_bundle
from tests.sync.rows import relinked

ROOT = Path(__file__).resolve().parents[2]
MOST_KIB = 64 * 1024
"""What memory may grow by (design: 64 MiB)."""


def reading(*words: object) -> dict[str, Any]:
    environment = {**os.environ, "PYTHONPATH": str(ROOT)}
    done = subprocess.run(
        [sys.executable, "-m", "tests.sync.reading", *map(str, words)],
        check=False, cwd=ROOT, env=environment, capture_output=True, text=True, timeout=110,
    )  # fmt: skip
    assert done.returncode == 0, done.stderr
    told: dict[str, Any] = json.loads(done.stdout)
    return told


@pytest.fixture
def b2() -> Bench:
    return Bench()


@pytest.fixture
def here(tmp_path: Path, b2: Bench) -> Path:
    """Decontam's store, which knows B2, its key and its first events."""
    store = BenchStore(tmp_path / "here", "D1")
    log = b2.log(KNOWN)
    store.heard.take(b2.origin, log, public_key=b2.public)
    store.close()
    return tmp_path / "here"


@dataclass(frozen=True)
class Run:
    """One run over the whole corpus, in a process of its own."""

    b2: Bench
    here: Path
    stick: Path
    files: list[Path]
    said: dict[str, str]
    grown_kib: int


@pytest.fixture(scope="module")
def run(tmp_path_factory: pytest.TempPathFactory) -> Run:
    folder, b2 = tmp_path_factory.mktemp("hostile"), Bench()
    here, stick = folder / "here", folder / "stick"
    stick.mkdir()
    store = BenchStore(here, "D1")
    store.heard.take(b2.origin, b2.log(KNOWN), public_key=b2.public)
    origin = store.store.origin
    store.close()
    files = corpus(stick, b2, origin)
    told = reading(here, stick)
    return Run(b2=b2, here=here, stick=stick, files=files, said=told["said"], grown_kib=told["grown_kib"])


@pytest.mark.slow
def test_nothing_of_hundreds_of_hostile_files_is_taken_in(run: Run) -> None:
    assert len(run.files) >= 200
    assert set(run.said) == {file.name for file in run.files}
    assert [name for name, what in run.said.items() if what in {"taken", "something was kept"}] == []
    assert {path.name for path in run.stick.iterdir()} == {file.name for file in run.files} - {"gone.bundle"}
    assert prove_store(run.here).faults == []


@pytest.mark.slow
def test_the_station_that_refused_them_all_takes_the_good_one(run: Run, tmp_path: Path) -> None:
    store = BenchStore(run.here)
    assert take_bundle(put(tmp_path / "good", good_bundle(run.b2)), store.heard).new in {MORE, 0}
    assert store.heard.heads() == {run.b2.origin: KNOWN + MORE}
    store.close()


@pytest.mark.slow
def test_memory_stays_small(run: Run) -> None:
    assert run.grown_kib < MOST_KIB


@pytest.mark.slow
def test_the_measure_of_memory_sees_a_bomb_that_is_unpacked_at_once(run: Run) -> None:
    assert reading("naive", run.stick / "bomb-that-says-little.bundle")["grown_kib"] > MOST_KIB


@pytest.mark.parametrize(
    ("name", "key"),
    [
        ("cut-0", "bundle_not_one"),
        ("thief-under-its-own-key", "other_key"),
        ("thief-under-our-key", "bundle_not_signed"),
        ("stranger", "bundle_unknown_key"),
        ("says-it-is-this-station", "other_key"),
        ("practice", "practice"),
        ("a-gap", "bundle_gap"),
        ("another-branch", "other_log"),
        ("another-branch-short", "forked"),
        ("begins-elsewhere", "other_beginning"),
        ("format-2", "bundle_newer"),
        ("bomb-beyond-the-caps", "bundle_large"),
        ("bomb-of-empty-rows", "bundle_not_one"),
        ("larger-than-any", "bundle_large"),
        ("link", "bundle_not_plain"),
        ("link-to-device", "bundle_not_plain"),
        ("pipe", "bundle_not_plain"),
        ("folder", "bundle_not_plain"),
        ("gone", "bundle_not_read"),
        ("row-ver-0", "bundle_not_one"),
        ("last-of-many-rows", "bundle_not_one"),
    ],
)
@pytest.mark.slow
def test_each_kind_is_refused_for_what_it_is(run: Run, name: str, key: str) -> None:
    assert run.said[f"{name}.bundle"] == key


def test_what_stands_in_an_event_is_never_a_path(here: Path, stick: Path, tmp_path: Path, b2: Bench) -> None:
    """A station that is trusted and says odd things: they are kept as it said them, and no file comes of them."""
    log = b2.log(KNOWN)
    at, rows = log[-1][15], []
    for n, trick in enumerate(TRICKS):
        row = b2.log(KNOWN + n + 1)[-1]
        row = relinked(b2.origin, row, at, who=trick, trip=trick, typ=trick, cls=trick)
        rows.append(row)
        at = row[15]
    file = put(stick / "x.bundle", b2.bundle(rows, before=log[-1][15]))
    before = sorted(path for path in tmp_path.rglob("*") if path.suffix != ".db-shm")
    store = BenchStore(here)
    assert take_bundle(file, store.heard).new == len(TRICKS)
    there = store.store.db.conn.execute("SELECT who FROM remote_event WHERE seq > ?", (KNOWN,)).fetchall()
    store.close()
    assert [who for (who,) in there] == list(TRICKS)
    assert sorted(path for path in tmp_path.rglob("*") if path.suffix != ".db-shm") == before
