"""What is not this bench's store, or is in other hands, is refused in a sentence and stays as it is, to the byte."""

import os
import shutil
import signal
import subprocess
import sys
from collections.abc import Callable, Iterator
from pathlib import Path

import pytest
from sqlite_utils.utils import sqlite3

from kiosk.store.bench_store import BenchStore
from kiosk.store.database import FILE, LOCK
from tests.faults.running import ROOT
from tests.store.shift import yes

Files = dict[str, bytes]
NOT_OURS = (LOCK, f"{FILE}-shm")
"""Not part of what is kept: the lock has no content, and SQLite makes the index of the write-ahead log anew."""


def files(folder: Path) -> Files:
    return {path.name: path.read_bytes() for path in sorted(folder.iterdir()) if path.name not in NOT_OURS}


def start(folder: Path, *more: str) -> subprocess.CompletedProcess[str]:
    """The program itself, as somebody starts it."""
    line = [sys.executable, "-m", "kiosk", "--store", str(folder), "--window", "1280x800", *more]
    return subprocess.run(line, check=False, cwd=ROOT, capture_output=True, text=True, timeout=60)


def one_bench(folder: Path) -> None:
    store = BenchStore(folder, "B1")
    store.keep([yes(1), yes(2)])
    store.close()


def newer(folder: Path) -> None:
    one_bench(folder)
    with sqlite3.connect(str(folder / FILE)) as connection:
        connection.execute("PRAGMA user_version = 99")
    connection.close()


def newer_killed(folder: Path) -> None:
    """A newer program wrote it and was killed: what says so stands in the write-ahead log alone."""
    aside = folder.with_name("aside")
    one_bench(aside)
    connection = sqlite3.connect(str(aside / FILE))
    connection.execute("PRAGMA user_version = 99")
    folder.mkdir()
    for name in (FILE, f"{FILE}-wal"):
        shutil.copyfile(aside / name, folder / name)
    connection.close()


def foreign_killed(folder: Path) -> None:
    """The database of another program, killed: its last rows stand in the write-ahead log alone."""
    aside = folder.with_name("aside")
    aside.mkdir()
    connection = sqlite3.connect(str(aside / FILE), isolation_level=None)
    connection.execute("PRAGMA journal_mode = WAL").fetchone()
    connection.execute("CREATE TABLE notes (text TEXT)")
    connection.execute("INSERT INTO notes VALUES ('not a tray')")
    folder.mkdir()
    for name in (FILE, f"{FILE}-wal"):
        shutil.copyfile(aside / name, folder / name)
    connection.close()


def foreign(folder: Path) -> None:
    folder.mkdir()
    with sqlite3.connect(str(folder / FILE)) as connection:
        connection.execute("CREATE TABLE notes (text TEXT)")
    connection.close()


def no_database(folder: Path) -> None:
    folder.mkdir()
    (folder / FILE).write_text("tray list\n" * 200)


def folder_in_its_place(folder: Path) -> None:
    (folder / FILE).mkdir(parents=True)
    (folder / FILE / "kept.txt").write_text("somebody's")


@pytest.mark.slow
@pytest.mark.parametrize(
    ("make", "sentence"),
    [
        (newer, "A newer program wrote this store (99, this one knows"),
        (newer_killed, "A newer program wrote this store (99, this one knows"),
        (foreign, f"{FILE} is not a store of this program. Choose another folder."),
        (foreign_killed, f"{FILE} is not a store of this program. Choose another folder."),
        (no_database, "The store is damaged. Tell your lead."),
    ],
)
def test_what_is_not_this_programs_store_is_refused_and_unharmed(
    make: Callable[[Path], None], sentence: str, tmp_path: Path
) -> None:
    folder = tmp_path / "store"
    make(folder)
    before = files(folder)
    ended = start(folder)
    assert (ended.returncode, ended.stdout) == (2, "")
    assert sentence in ended.stderr
    assert "Traceback" not in ended.stderr
    assert files(folder) == before


@pytest.mark.slow
def test_a_folder_in_the_files_place_is_refused(tmp_path: Path) -> None:
    folder_in_its_place(tmp_path / "store")
    ended = start(tmp_path / "store")
    assert ended.returncode == 2
    assert "Traceback" not in ended.stderr
    assert (tmp_path / "store" / FILE / "kept.txt").read_text() == "somebody's"


@pytest.mark.slow
def test_the_store_of_another_bench_is_refused_and_unharmed(tmp_path: Path) -> None:
    one_bench(tmp_path / "store")
    before = files(tmp_path / "store")
    ended = start(tmp_path / "store", "--bench", "2")
    assert ended.returncode == 2
    assert "This store belongs to bench B1." in ended.stderr
    assert files(tmp_path / "store") == before


HOLDS = """
import sys, time
from pathlib import Path
from kiosk.store.bench_store import BenchStore
from tests.store.shift import yes
store = BenchStore(Path(sys.argv[1]), "B1")
store.keep([yes(1)])
print("open", flush=True)
time.sleep(60)
"""


@pytest.fixture
def holder(tmp_path: Path) -> Iterator[subprocess.Popen[str]]:
    """Another program has the store open, and has just kept something."""
    line = [sys.executable, "-c", HOLDS, str(tmp_path / "store")]
    with subprocess.Popen(line, cwd=ROOT, stdout=subprocess.PIPE, text=True) as other:
        assert other.stdout is not None
        assert other.stdout.readline() == "open\n"
        yield other
        other.kill()


@pytest.mark.slow
def test_two_programs_on_one_store_the_second_is_refused_and_the_first_works_on(
    holder: subprocess.Popen[str], tmp_path: Path
) -> None:
    folder = tmp_path / "store"
    before = files(folder)
    ended = start(folder)
    assert ended.returncode == 2
    assert ended.stderr.strip().endswith("The store store is open already. Close the other program first.")
    assert files(folder) == before
    os.kill(holder.pid, signal.SIGKILL)
    holder.wait()
    store = BenchStore(folder, "B1")  # a killed program holds no lock
    try:
        assert list(store.read()) == [yes(1)]
    finally:
        store.close()


@pytest.mark.slow
def test_ten_programs_at_once_on_a_new_store_one_opens_it(tmp_path: Path) -> None:
    line = [sys.executable, "-c", HOLDS.replace("time.sleep(60)", "sys.stdin.read()"), str(tmp_path / "store")]
    pipe = subprocess.PIPE
    others = [subprocess.Popen(line, cwd=ROOT, stdin=pipe, stdout=pipe, stderr=pipe, text=True) for _ in range(10)]
    winners = 0
    waiting = list(others)
    for other in waiting:
        assert other.stdout is not None
        winners += other.stdout.readline() == "open\n"  # a refused one ends, and so does its output
    said = [other.communicate() for other in others]
    assert winners == 1
    assert sum("is open already" in complained for _, complained in said) == 9
    store = BenchStore(tmp_path / "store", "B1")
    assert list(store.read()) == [yes(1)]
    store.close()
