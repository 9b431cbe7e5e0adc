"""A locked-down user, a program folder that nobody may write, and a network that hears of nothing."""

import os
import shutil
import subprocess
import sys
import tempfile
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

import pytest

from tests.app.driven import ROOT, code, prepare, run

USER = "nobody"

GUARD = """
sockets = []
def _heard(event, args):
    if event in ("socket.connect", "socket.sendto", "socket.getaddrinfo", "socket.bind"):
        sockets.append(event + " " + repr(args[1:] if event != "socket.getaddrinfo" else args))
sys.addaudithook(_heard)
def _open_sockets():
    # sockets of the Internet families that this process holds, also those that no Python opened
    held = set()
    for fd in os.listdir("/proc/self/fd"):
        try:
            held.add(os.readlink("/proc/self/fd/" + fd))
        except OSError:
            pass
    for name in ("tcp", "tcp6", "udp", "udp6"):
        try:
            rows = Path("/proc/self/net/" + name).read_text().splitlines()[1:]
        except OSError:
            continue
        for row in rows:
            cells = row.split()
            if "socket:[" + cells[9] + "]" in held:
                sockets.append(name + " to " + cells[2])
def _watch():
    import threading
    def look():
        while True:
            _open_sockets()
            time.sleep(0.01)
    threading.Thread(target=look, daemon=True).start()
_watch()
"""

TELL = "_open_sockets(); tell(sockets=sockets)"

PLAY = """
import os, sys, time
from pathlib import Path
{guard}
import json
from kiosk.cli import main
status = main(["play", "--demo", "--out", sys.argv[1]])
_open_sockets()
print(json.dumps({{"sockets": sockets}}), flush=True)
sys.exit(status)
"""


@contextmanager
def readable_python(ground: Path) -> Iterator[tuple[list[str], dict[str, str]]]:
    """Words before a call that run it as the other user, and its environment. Skips where that can not be done.

    An interpreter in a home of root is put before the other user by a bind mount of the call's own.
    """
    if os.getuid() != 0 or shutil.which("setpriv") is None:
        pytest.skip("only root can run the program as another user (setpriv)")
    packages = next(path for path in sys.path if path.endswith("site-packages"))
    drop = ["setpriv", f"--reuid={USER}", "--regid=nogroup", "--clear-groups", "--no-new-privs"]
    environment = {
        "PYTHONPATH": packages,
        "QT_QPA_PLATFORM": "offscreen",
        "HOME": "/nonexistent",
        "PATH": "/usr/bin:/bin",
    }
    if _runs([*drop, sys.executable], environment):
        yield [*drop, sys.executable], environment
        return
    inside = ground / "python"
    inside.mkdir(mode=0o755)
    mounted = 'mount --bind "$0" "$1" && shift && exec "$@"'
    base = Path(sys.base_prefix).resolve()
    words = ["unshare", "-m", "sh", "-c", mounted, str(base), str(inside), *drop]
    words.append(str(inside / Path(sys.executable).resolve().relative_to(base)))
    environment["PYTHONHOME"] = str(inside)
    if shutil.which("unshare") is None or not _runs(words, environment):
        pytest.skip(f"{USER} can not run this interpreter, and no mount of its own can be made (unshare)")
    yield words, environment


def _runs(words: list[str], environment: dict[str, str]) -> bool:
    try:
        done = subprocess.run(
            [*words, "-c", "import PySide6"], capture_output=True, env=environment, timeout=60, check=False
        )
    except OSError:
        return False
    return done.returncode == 0


@pytest.fixture
def ground() -> Iterator[Path]:
    """A folder that every user may enter; pytest's own is root's alone."""
    made = Path(tempfile.mkdtemp(prefix="throughlight-"))
    made.chmod(0o755)
    yield made
    shutil.rmtree(made)


def _read_only_copy(to: Path) -> None:
    for name in ("kiosk", "db", "resources"):
        shutil.copytree(ROOT / name, to / name, ignore=shutil.ignore_patterns("__pycache__"))
    for path in (to, *to.rglob("*")):
        path.chmod(0o555 if path.is_dir() else 0o444)


def _everything(folder: Path) -> dict[str, int]:
    return {str(path.relative_to(folder)): path.stat().st_mtime_ns for path in folder.rglob("*")}


@pytest.mark.slow
def test_a_locked_down_user_works_from_a_program_folder_that_nobody_may_write(ground: Path) -> None:
    program, home = ground / "program", ground / "home"
    _read_only_copy(program)
    prepare(home / "store")
    for path in (home, *home.rglob("*")):
        shutil.chown(path, USER, "nogroup")
    before = _everything(program)
    with readable_python(ground) as (words, environment):
        environment["PYTHONPATH"] = f"{program}:{environment['PYTHONPATH']}"
        environment["XDG_DATA_HOME"] = str(home)
        where = "import kiosk; tell(program=kiosk.__file__, user=os.getuid())"
        told = run(home / "store", "walk", text=code(after=where), before=words, environment=environment)
    assert told[1]["trip"]
    assert told[-1]["program"].startswith(str(program))
    assert told[-1]["user"] != 0
    assert _everything(program) == before
    assert (home / "store" / "throughlight.db").stat().st_uid != 0


@pytest.mark.slow
def test_the_bench_reaches_for_no_network_that_no_setting_names(tmp_path: Path) -> None:
    prepare(tmp_path / "store")
    told = run(tmp_path / "store", "walk", text=code(guard=GUARD, after=TELL))
    assert told[-1] == {"sockets": []}


@pytest.mark.slow
def test_a_tray_played_through_to_its_papers_reaches_for_no_network(tmp_path: Path) -> None:
    text = PLAY.format(guard=GUARD)
    told = run(tmp_path / "out", "play", text=text)
    assert told[-1] == {"sockets": []}
    assert list((tmp_path / "out").rglob("*.pdf"))


@pytest.mark.slow
def test_the_guard_hears_of_a_connection_that_is_made(tmp_path: Path) -> None:
    """To a port of this machine where nobody listens: both of its ways must tell."""
    text = f"""
import os, sys, time
from pathlib import Path
{GUARD}
import json, socket
listening = socket.socket(); listening.bind(("127.0.0.1", 0)); listening.listen()
other = socket.create_connection(listening.getsockname())
_open_sockets()
print(json.dumps({{"sockets": sockets}}), flush=True)
"""
    (told,) = run(tmp_path, "none", text=text)
    assert any(each.startswith("socket.connect") for each in told["sockets"])
    assert any(each.startswith("tcp to ") for each in told["sockets"])
