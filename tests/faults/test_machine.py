"""The disk full or read-only, the store in other hands: said on the screen, nothing half kept, and work goes on after.

The other side of the same, on the log alone, is tests/store/test_crash.py.
"""

import shutil
import subprocess
import sys
from pathlib import Path

import pytest

from kiosk.resources import words
from kiosk.store.ballast import NAME, SIZE, let_go, put_by
from kiosk.store.bench_store import BenchStore
from tests.faults.running import ROOT, run, run_behind
from tests.store.shift import yes


def not_saved(outage: str) -> list[str]:
    """The sentence on the screen, in each language: the hands may have chosen either."""
    tongues = [words(code) for code in ("en", "es")]
    return [each.say("refused.not_saved", why=each.say(f"outage.{outage}")) for each in tongues]


@pytest.mark.slow
@pytest.mark.timeout(1000)
def test_a_full_disk_is_said_on_the_screen_and_the_ballast_lets_the_work_go_on_before(tmp_path: Path) -> None:
    disk = tmp_path / "disk"
    told = run_behind(f"mkdir {disk} && mount -t tmpfs -o size=24m none {disk}", "trouble", disk / "store", "full")
    print(told)  # noqa: T201
    assert told["ballast"] is True
    assert told["taps"][1] > 0, "taps kept on the ballast's room"
    assert told["said"] in not_saved("disk_full")
    assert told["again"] == told["said"]
    assert told["rail"] in {words(code).say("rail.disk_low") for code in ("en", "es")}
    assert (told["none_more"], told["after"], told["same"], told["stands"]) == (True, "", True, True)


@pytest.mark.slow
@pytest.mark.timeout(1000)
def test_a_store_that_another_program_writes_to_is_said_after_five_seconds_and_taps_go_on_after(quick: Path) -> None:
    told = run("trouble", quick / "store", "busy")
    print(told)  # noqa: T201
    assert told["timeout"] == 5000
    assert told["said"] in not_saved("busy")
    assert (told["none_more"], told["after"], told["same"], told["stands"]) == (True, "", True, True)


@pytest.mark.slow
@pytest.mark.timeout(1000)
def test_a_reader_that_does_not_let_go_stops_no_tap_and_the_growing_log_is_said(quick: Path) -> None:
    told = run("trouble", quick / "store", "reader")
    print(told)  # noqa: T201
    before, during, after = told["rails"]
    assert (before, after) == ("", "")
    assert during in {words(code).say("rail.store_held") for code in ("en", "es")}
    assert (told["said"], told["snapshot"], told["same"], told["stands"]) == ("", True, True, True)
    assert told["wal"][1] < told["wal"][0]


@pytest.mark.slow
@pytest.mark.timeout(1000)
def test_a_read_only_disk_is_said_by_the_program_itself_and_harms_nothing(tmp_path: Path) -> None:
    folder = tmp_path / "store"
    store = BenchStore(folder, "B1")
    store.keep([yes(1)])
    store.close()
    before = {path.name: path.read_bytes() for path in folder.iterdir()}
    if not shutil.which("unshare") or subprocess.run(["unshare", "-m", "true"], check=False).returncode:
        pytest.skip("mounting needs root")
    mount = f'mount --bind {folder} {folder} && mount -o remount,ro,bind {folder} && exec "$@"'
    line = [sys.executable, "-m", "kiosk", "--store", str(folder), "--window", "1280x800"]
    ended = subprocess.run(
        ["unshare", "-m", "sh", "-c", mount, "sh", *line],
        check=False, cwd=ROOT, capture_output=True, text=True, timeout=60,
    )  # fmt: skip
    assert (ended.returncode, ended.stdout) == (2, "")
    assert "The disk lets nothing be written." in ended.stderr
    assert "Traceback" not in ended.stderr
    assert {path.name: path.read_bytes() for path in folder.iterdir()} == before


def test_ballast_is_put_by_once_as_real_blocks_and_let_go_of_once(tmp_path: Path) -> None:
    assert put_by(tmp_path, 100_000)
    assert (tmp_path / NAME).stat().st_blocks * 512 >= 100_000
    at = (tmp_path / NAME).stat().st_mtime_ns
    assert put_by(tmp_path, 100_000)
    assert (tmp_path / NAME).stat().st_mtime_ns == at
    assert let_go(tmp_path)
    assert not let_go(tmp_path)


def test_no_ballast_is_put_by_where_it_would_be_the_trouble_itself(tmp_path: Path) -> None:
    assert SIZE == 64 * 1024 * 1024
    assert not put_by(tmp_path, 1 << 50)
    assert not put_by(tmp_path / "nowhere")
    assert list(tmp_path.iterdir()) == []
