"""Over an upgrade the new program proves a backup of the store; where it does not hold, the old one goes on."""

import os
import pwd
import subprocess
import sys
from pathlib import Path

import pytest

from kiosk.store.bench_store import BenchStore

ROOT = Path(__file__).resolve().parents[2]
SCRIPT = ROOT / "packaging" / "debian" / "upgrade"
OURS = f'#!/bin/sh\nPYTHONPATH="{ROOT}" exec "{sys.executable}" -m kiosk "$@"\n'
DOUBLE = """#!/bin/sh
# Stands for the program where only the script is looked at: backup --store DIR FILE, restore FILE --store DIR, verify.
case $1 in
  backup) grep -q -v "^no store" "$3/throughlight.db" && cp "$3/throughlight.db" "$4" ;;
  restore) cp "$2" "$4/throughlight.db" ;;
esac
"""
BAD = "#!/bin/sh\necho 'event 1 does not hold'\nexit 1\n"

pytestmark = [
    pytest.mark.slow,
    pytest.mark.skipif(sys.platform != "linux", reason="the package is for Debian"),
]


def _program(folder: Path, text: str) -> None:
    folder.mkdir(exist_ok=True)
    program = folder / "throughlight"
    program.unlink(missing_ok=True)  # dpkg puts a new file in the old one's place, and so does this
    program.write_text(text)
    program.chmod(0o755)


@pytest.fixture
def bench(tmp_path: Path) -> Path:
    """A machine with a program in force and a store: folders `program` and `data`."""
    program = tmp_path / "program"
    program.mkdir()
    _program(program / "program", OURS)
    (program / "current").symlink_to("program")
    data = tmp_path / "data"
    (data / "bench").mkdir(parents=True)
    BenchStore(data / "bench", "B1").close()
    return tmp_path


def _upgrade(bench: Path, what: str) -> subprocess.CompletedProcess[str]:
    own = {
        "THROUGHLIGHT_PROGRAM": str(bench / "program"),
        "THROUGHLIGHT_DATA": str(bench / "data"),
        "THROUGHLIGHT_USER": pwd.getpwuid(os.geteuid()).pw_name,
    }
    return subprocess.run(
        ["sh", SCRIPT, what], capture_output=True, text=True, check=False, timeout=120, env={**os.environ, **own}
    )


def _in_force(bench: Path) -> str:
    return str((bench / "program" / "current").readlink())


def test_a_new_program_that_holds_the_store_is_put_in_force(bench: Path) -> None:
    assert _upgrade(bench, "before").returncode == 0
    assert _in_force(bench) == "before"  # nothing new runs until it has proven the store
    _program(bench / "program" / "program", OURS + "# newer\n")
    done = _upgrade(bench, "after")
    assert (done.returncode, _in_force(bench)) == (0, "program"), done.stderr
    assert (bench / "program" / "before" / "throughlight").read_text() == OURS
    assert (bench / "data" / "before-upgrade" / "bench.db").is_file()
    assert not list((bench / "data" / "before-upgrade").glob("trial*"))


def test_a_new_program_that_does_not_hold_gives_way_and_the_store_is_untouched(bench: Path) -> None:
    assert _upgrade(bench, "before").returncode == 0
    _program(bench / "program" / "program", BAD)
    was = (bench / "data" / "bench" / "throughlight.db").read_bytes()
    done = _upgrade(bench, "after")
    assert (done.returncode, _in_force(bench)) == (0, "before")
    assert "event 1 does not hold" in done.stderr
    assert "the one before goes on" in (bench / "data" / "upgrade.log").read_text()
    assert (bench / "data" / "bench" / "throughlight.db").read_bytes() == was
    assert (bench / "program" / "not-in-force").read_text().strip()


@pytest.fixture
def plain(bench: Path) -> Path:
    """The same machine, with a double for the program."""
    _program(bench / "program" / "program", DOUBLE)
    return bench


def test_a_program_kept_after_a_roll_back_is_the_one_that_ran(plain: Path) -> None:
    _upgrade(plain, "before")
    _program(plain / "program" / "program", BAD)
    _upgrade(plain, "after")
    assert _upgrade(plain, "before").returncode == 0
    assert (plain / "program" / "before" / "throughlight").read_text() == DOUBLE
    assert not (plain / "program" / "not-in-force").exists()
    _program(plain / "program" / "program", DOUBLE)
    _upgrade(plain, "after")
    assert _in_force(plain) == "program"
    assert not (plain / "program" / "not-in-force").exists()


def test_without_a_backup_there_is_no_upgrade(plain: Path) -> None:
    (plain / "data" / "bench" / "throughlight.db").write_bytes(b"no store")
    done = _upgrade(plain, "before")
    assert (done.returncode, _in_force(plain)) == (1, "program")
    assert "nothing was changed" in done.stderr


def test_going_back_by_hand_needs_a_kept_program(plain: Path) -> None:
    assert _upgrade(plain, "back").returncode == 1
    _upgrade(plain, "before")
    _upgrade(plain, "after")
    assert _in_force(plain) == "program"
    assert _upgrade(plain, "back").returncode == 0
    assert _in_force(plain) == "before"
