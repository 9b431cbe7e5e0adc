"""A backup is whole or it is not there; a restore brings all or changes nothing, whenever it is cut off."""

import os
import shutil
import signal
import sys
import threading
from pathlib import Path
from typing import Any

import pytest
from sqlite_utils.utils import sqlite3

from kiosk.core import events as e
from kiosk.store import backup as backup_module
from kiosk.store.backup import Backup, backup_name, backups, rotate, write_backup
from kiosk.store.bench_store import BenchStore
from kiosk.store.database import FILE, RESTORING, Store
from kiosk.store.log import Log
from kiosk.store.outage import Outage
from kiosk.store.proving import prove_file, prove_store
from kiosk.store.restore import restore
from tests.store.shift import yes

NAME = backup_name("B1", "20310304-070000")


def worked(folder: Path, numbers: range) -> None:
    with Store(folder) as store:
        Log(store).append([yes(n) for n in numbers])


def checks(folder: Path) -> list[int]:
    """The numbers of the checks that the store holds."""
    with Store(folder) as store:
        log = Log(store)
        assert log.verify() is None
        return [
            (kept.event.took_ms or 0) - 900 for kept in log.read() if isinstance(kept.event, e.CheckYes)
        ]  # fmt: skip


@pytest.fixture
def made(folder: Path, tmp_path: Path) -> Backup:
    """The backup of a store with three checks and a picture."""
    worked(folder, range(1, 4))
    (folder / "pictures").mkdir()
    (folder / "pictures" / "one.png").write_bytes(b"a picture")
    return write_backup(folder, tmp_path / "backups" / NAME)


def test_a_backup_holds_what_the_store_holds_and_its_pictures(made: Backup, folder: Path) -> None:
    assert made.seq == 3
    assert prove_file(made.file).faults == []
    assert prove_file(made.file).head == prove_store(folder).head
    assert (made.file.parent / "pictures" / "one.png").read_bytes() == b"a picture"
    assert made.file.stat().st_mode & 0o777 == 0o600
    assert sorted(path.name for path in made.file.parent.iterdir()) == ["pictures", NAME]


def test_a_backup_has_no_private_key_in_it(made: Backup, folder: Path) -> None:
    (key,) = folder.with_name("store.keys").glob("*.key")
    assert key.read_bytes() not in made.file.read_bytes()


def test_a_backup_is_written_while_the_bench_works_and_each_one_is_a_moment_of_its_log(
    folder: Path, tmp_path: Path
) -> None:
    done = threading.Event()
    seqs: list[int] = []

    def write() -> None:
        try:
            seqs.extend(write_backup(folder, tmp_path / "b" / f"{n}.backup").seq for n in range(8))
        finally:
            done.set()

    with Store(folder) as store:
        log, told = Log(store), 0
        log.append([yes(1), yes(2)])
        thread = threading.Thread(target=write)
        thread.start()
        while not done.is_set():
            told = log.append([yes(1), yes(2)])[-1].seq
        thread.join()
        assert log.verify() is None
    assert len(seqs) == 8
    assert seqs == sorted(seqs)
    assert seqs[-1] > seqs[0]
    assert seqs[-1] <= told
    assert all(seq % 2 == 0 for seq in seqs), "a command of two events is in a backup whole"
    for n, seq in enumerate(seqs):
        proof = prove_file(tmp_path / "b" / f"{n}.backup")
        assert (proof.faults, proof.events) == ([], seq)


def test_a_store_that_does_not_hold_leaves_no_backup_and_the_last_one_stays(made: Backup, folder: Path) -> None:
    before = made.file.read_bytes()
    with Store(folder) as store:
        store.db.conn.execute("DROP TRIGGER event_never_changes")
        store.db.conn.execute("UPDATE event SET who = 'P-9' WHERE seq = 2")
    with pytest.raises(Outage, match=r"not whole, and was taken away again\. The log of B1 does not hold from event 2"):
        write_backup(folder, made.file)
    assert made.file.read_bytes() == before
    assert sorted(path.name for path in made.file.parent.iterdir()) == ["pictures", NAME]


def test_a_backup_that_a_full_disk_cut_off_is_not_there(made: Backup, folder: Path, monkeypatch: Any) -> None:
    def full(source: Path, part: Path) -> None:
        part.write_bytes(b"half")
        fault = sqlite3.OperationalError("database or disk is full")
        fault.sqlite_errorcode = sqlite3.SQLITE_FULL
        raise fault

    monkeypatch.setattr(backup_module, "_copy", full)
    with pytest.raises(Outage, match="The disk is full"):
        write_backup(folder, made.file.with_name("other.backup"))
    assert sorted(path.name for path in made.file.parent.iterdir()) == ["pictures", NAME]


def test_the_oldest_backups_of_a_bench_go_and_no_other_file(tmp_path: Path) -> None:
    names = [backup_name("B1", f"2031030{day}-070000") for day in range(1, 6)]
    others = [backup_name("B2", "20310301-070000"), "throughlight-B1-notes.backup", "mine.txt"]
    for name in (*names, *others):
        (tmp_path / name).write_bytes(b"x")
    assert [file.name for file in backups(tmp_path, "B1")] == names[::-1]
    assert [file.name for file in rotate(tmp_path, "B1", keep=2)] == [names[2], names[1], names[0]]
    assert sorted(file.name for file in tmp_path.iterdir()) == sorted([*names[3:], *others])
    assert len(rotate(tmp_path, "B1", keep=0)) == 1, "one is always kept"


def test_a_backup_comes_back_into_an_empty_place_and_goes_on_under_a_new_origin(made: Backup, tmp_path: Path) -> None:
    there = tmp_path / "there"
    done = restore(made.file, there)
    assert (done.events, done.bench, done.aside) == (3, "B1", None)
    assert checks(there) == [1, 2, 3]
    worked(there, range(4, 6))
    assert checks(there) == [1, 2, 3, 4, 5]
    assert [one["why"] for one in prove_store(there).origins] == ["first", "restored"]
    assert prove_store(there).faults == []
    assert (there / "pictures" / "one.png").read_bytes() == b"a picture"


def test_what_lay_there_before_is_put_aside_whole_and_can_be_opened(made: Backup, folder: Path) -> None:
    worked(folder, range(4, 8))
    done = restore(made.file, folder)
    assert done.aside is not None
    assert checks(folder) == [1, 2, 3]
    assert checks(done.aside) == [1, 2, 3, 4, 5, 6, 7]


def test_a_store_whose_power_was_cut_is_put_aside_with_what_stands_in_its_second_file(
    made: Backup, folder: Path, tmp_path: Path
) -> None:
    pid = os.fork()
    if pid == 0:
        store = Store(folder)
        Log(store).append([yes(n) for n in range(4, 8)])
        os.kill(os.getpid(), signal.SIGKILL)
    os.waitpid(pid, 0)
    assert (folder / f"{FILE}-wal").stat().st_size > 0
    done = restore(made.file, folder)
    assert done.aside is not None
    assert not (folder / f"{FILE}-wal").exists()
    assert checks(folder) == [1, 2, 3]
    assert checks(done.aside) == [1, 2, 3, 4, 5, 6, 7]


def _contents(folder: Path) -> dict[str, bytes]:
    return {str(file.relative_to(folder)): file.read_bytes() for file in folder.rglob("*") if file.is_file()}


@pytest.mark.parametrize("place", [0.0, 0.2, 0.5, 0.8])
def test_a_backup_with_a_page_that_is_not_as_it_was_changes_nothing(made: Backup, folder: Path, place: float) -> None:
    worked(folder, range(4, 60))
    made = write_backup(folder, made.file)
    before = _contents(folder)
    data = bytearray(made.file.read_bytes())
    at = int(len(data) * place) // 4096 * 4096
    data[at : at + 4096] = bytes(4096)
    made.file.write_bytes(data)
    with pytest.raises(Outage):
        restore(made.file, folder)
    assert _contents(folder) == before


@pytest.mark.parametrize("keep", [0, 100, 4096, 20_000])
def test_a_backup_that_was_cut_short_changes_nothing(made: Backup, folder: Path, keep: int) -> None:
    before = _contents(folder)
    made.file.write_bytes(made.file.read_bytes()[:keep])
    with pytest.raises(Outage):
        restore(made.file, folder)
    assert _contents(folder) == before


def test_a_file_that_is_not_there_is_said(folder: Path, tmp_path: Path) -> None:
    with pytest.raises(Outage, match="there is no backup here"):
        restore(tmp_path / "gone.backup", folder)
    assert not folder.exists()


def test_a_bench_that_works_is_not_taken_from_under_somebodys_hands(made: Backup, folder: Path) -> None:
    with Store(folder), pytest.raises(Outage, match="is open already"):
        restore(made.file, folder)
    assert checks(folder) == [1, 2, 3]


def _restore_and_die(file: Path, folder: Path, at: int) -> bool:
    """Restore in a process of its own that is killed at its n-th touch of a file; whether it came to its end."""
    pid = os.fork()
    if pid == 0:
        left = at

        def count(event: str, _: object) -> None:
            nonlocal left
            if event in {"open", "os.rename", "os.remove", "os.mkdir", "sqlite3.connect"}:
                left -= 1
                if left < 0:
                    os.kill(os.getpid(), signal.SIGKILL)

        sys.addaudithook(count)
        restore(file, folder)
        os._exit(0)
    return os.WIFEXITED(os.waitpid(pid, 0)[1])


def test_a_restore_that_is_cut_off_at_any_touch_of_a_file_is_done_once_more_and_nothing_is_lost(
    made: Backup, folder: Path, tmp_path: Path
) -> None:
    """Whenever it is cut off: the old log, or a plain word that it was, or the new log. Never an empty one."""
    worked(folder, range(4, 8))
    seen: set[str] = set()
    for at in range(200):
        place = tmp_path / f"t{at}" / "store"
        shutil.copytree(folder.with_name("store.keys"), place.with_name("store.keys"))
        shutil.copytree(folder, place)
        ended = _restore_and_die(made.file, place, at)
        if (place / RESTORING).exists():
            with pytest.raises(Outage, match="was cut off"):
                Store(place)
            seen.add("said")
            restore(made.file, place)
            assert checks(place) == [1, 2, 3]
        there = checks(place)
        seen.add("new" if there == [1, 2, 3] else "old")
        assert there in ([1, 2, 3], [1, 2, 3, 4, 5, 6, 7])
        aside = [checks(path) for path in place.glob("put-aside-*") if (path / FILE).exists()]
        assert there != [1, 2, 3] or [1, 2, 3, 4, 5, 6, 7] in aside
        assert not (place / RESTORING).exists()
        if ended:
            break
    else:
        pytest.fail("the restore never came to its end")
    assert seen == {"old", "said", "new"}


def test_the_bench_store_of_a_restored_folder_stands_as_the_backup_did(made: Backup, tmp_path: Path) -> None:
    restore(made.file, tmp_path / "there")
    bench = BenchStore(tmp_path / "there")
    assert [began.why for began in bench.bench().keeping.began] == ["restored"]
    bench.check()
    bench.close()
