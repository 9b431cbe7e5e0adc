"""Nothing that was shown as kept is lost, whatever stops the bench; a disk that can not take it says so.

A killed process shows that commits are whole and in order; that they outlive a power cut is SQLite's own promise for
WAL with synchronous FULL (sqlite.org/pragma.html#pragma_synchronous), read back at every start.
"""

import json
import subprocess
import sys
from pathlib import Path
from typing import Any

import pytest

from kiosk.store.database import Store
from kiosk.store.log import Log
from tests.store.shift import yes

ROOT = Path(__file__).resolve().parents[2]

pytestmark = pytest.mark.slow


def _play(name: str, folder: Path, mount: str = "") -> dict[str, Any]:
    """Run a program of tests/store/crash.py, behind a mount of its own where one is asked for."""
    command = [sys.executable, "-m", "tests.store.crash", name, str(folder)]
    if mount:
        if subprocess.run(["unshare", "-m", "true"], check=False, capture_output=True).returncode:
            pytest.skip("mounting needs root")
        command = ["unshare", "-m", "sh", "-c", f'{mount} && exec "$@"', "sh", *command]
    run = subprocess.run(command, check=False, cwd=ROOT, capture_output=True, text=True, timeout=110)
    assert run.returncode == 0, run.stderr
    told: dict[str, Any] = json.loads(run.stdout)
    return told


def test_a_bench_killed_at_a_hundred_random_instants_loses_no_answer_it_showed(folder: Path) -> None:
    told = _play("kills", folder)
    assert told["faults"] == []
    assert told["acked"] >= 50


def test_a_full_disk_refuses_says_so_and_keeps_nothing_half(tmp_path: Path) -> None:
    told = _play(
        "fill", tmp_path / "disk" / "store", f"mkdir {tmp_path}/disk && mount -t tmpfs -o size=4m none {tmp_path}/disk"
    )
    assert told["first"] == told["again"] == "The disk is full."
    assert told["acked"] > 100
    assert told["kept"] == told["acked"]
    assert (told["bad"], told["bodies"], told["integrity"]) == (None, True, "ok")


def test_a_disk_that_refuses_a_write_leaves_a_doubt_that_opening_anew_settles(tmp_path: Path) -> None:
    told = _play("limit", tmp_path / "store")
    assert told["first"] == told["again"] == "The disk did not take it."
    assert told["doubt"] is True
    assert told["acked"] > 100
    assert told["kept"] in (told["acked"], told["acked"] + 2)
    assert (told["bad"], told["bodies"], told["integrity"]) == (None, True, "ok")


def test_a_disk_that_lets_nothing_be_written_is_said_at_the_start(folder: Path) -> None:
    with Store(folder) as store:
        Log(store).append([yes(1)])
    told = _play("read_only", folder, f"mount --bind {folder} {folder} && mount -o remount,ro,bind {folder}")
    assert told == {"said": "The disk lets nothing be written.", "same": True}
