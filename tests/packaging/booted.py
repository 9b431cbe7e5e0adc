"""The bare Debian, booted: systemd is its first process, with a control group, a network and a screen of its own.

It is started by systemd-nspawn, which needs no service manager outside. The first virtual terminals are this machine's
own, so it is only done where no screen hangs on them. The X server that the kiosk's session starts has no monitor; a
touch screen and a scanner hang on it by its own driver for tests (tests/packaging/finger.py).
"""

import os
import shutil
import signal
import subprocess
import time
from collections.abc import Callable
from pathlib import Path

from tests.packaging import bare_debian
from tests.packaging.bare_debian import BareDebian
from tests.packaging.finger import Finger, Wedge
from tests.packaging.glassless import PACKAGES, SETTINGS

UNIT = "throughlight-kiosk.service"
RUN = "/run/throughlight"
TERMINALS = ("/dev/tty0", "/dev/tty1", "/dev/tty2")
WIDE, HIGH = 1920, 1080
_START = """
echo $$ >"$1/cgroup.procs"
shift
exec setpriv --pdeathsig KILL unshare --pid --fork --kill-child --mount-proc "$@"
"""
"""In a control group of its own, so that nothing is left of it; and it ends with this process."""
NEEDED = ("systemd-sysv", "dbus", "libpam-systemd", *PACKAGES)


def why_not() -> str:
    """Why no Debian can be booted here; empty where it can."""
    if reason := bare_debian.why_not():
        return reason
    if shutil.which("systemd-nspawn") is None:
        return "needs systemd-nspawn: apt install systemd-container"
    if any(Path(screen).exists() for screen in ("/dev/dri/card0", "/dev/fb0")):
        return "this machine has a screen of its own, which the kiosk would take"
    if not _groups().is_dir():
        return "this machine has no control groups of version 2"
    return "" if all(Path(name).exists() for name in TERMINALS) else "this machine has no virtual terminals"


def _groups() -> Path:
    """Where control groups of version 2 are mounted; a name of nothing where they are not."""
    mounts = [line.split() for line in Path("/proc/mounts").read_text().splitlines()]
    return Path(next((mount[1] for mount in mounts if mount[2] == "cgroup2"), "/nowhere"))


class Booted:
    """A Debian that runs, from `start` to `stop`."""

    def __init__(self, debian: BareDebian, log: Path) -> None:
        self.debian, self._log = debian, log
        own = debian.root / "etc/X11/xorg.conf.d/10-bench.conf"
        own.parent.mkdir(parents=True, exist_ok=True)
        own.write_text(SETTINGS.replace('"/tmp/', f'"{RUN}/'))

    def start(self) -> None:
        """Boot, and wait until the system is up."""
        self._own = _groups() / f"bench-{os.getpid()}"
        self._own.mkdir(exist_ok=True)
        command = ["sh", "-ec", _START, "_", str(self._own)]
        command += ["systemd-nspawn", f"--directory={self.debian.root}", "--boot"]
        command += ["--register=no", "--keep-unit", f"--machine=bench{os.getpid()}", "--console=pipe"]
        # What holds the addresses back is a program of the kernel's packet filter: to load one is allowed inside.
        command += ["--private-network", "--capability=all", "--system-call-filter=bpf"]
        command += [f"--bind={name}" for name in TERMINALS]
        own = {**os.environ, "SYSTEMD_NSPAWN_UNIFIED_HIERARCHY": "1"}
        with self._log.open("wb") as out:
            self._outer = subprocess.Popen(command, stdin=subprocess.DEVNULL, stdout=out, stderr=out, env=own)
        self.wait_for(lambda: self._says("systemctl", "is-system-running").strip() in ("running", "degraded"), "Debian")

    def stop(self) -> None:
        """As a pulled plug."""
        (self._own / "cgroup.kill").write_text("1")
        self._outer.wait(20)
        end = time.monotonic() + 20
        while "populated 1" in (self._own / "cgroup.events").read_text() and time.monotonic() < end:
            time.sleep(0.1)
        for group in sorted((each for each in self._own.rglob("*") if each.is_dir()), reverse=True):
            group.rmdir()
        self._own.rmdir()

    def boot_again(self) -> None:
        """Shut the system down in good order, and boot it."""
        os.kill(_child(self._outer.pid), signal.SIGTERM)
        self._outer.wait(60)
        self.start()

    @property
    def first(self) -> int:
        """The number of its first process, as this machine counts."""
        return _child(_child(self._outer.pid))

    def _says(self, *words: str) -> str:
        try:
            done = subprocess.run(self.inside(*words), capture_output=True, text=True, check=False, timeout=60)
        except (IndexError, OSError):  # it is not up yet
            return ""
        return done.stdout

    def inside(self, *words: str) -> list[str]:
        """The command that runs `words` in the running system, as root."""
        own = ("env", "-i", "PATH=/usr/sbin:/usr/bin:/sbin:/bin", "HOME=/root", "LANG=C.UTF-8")
        return ["nsenter", "--all", "--target", str(self.first), *own, "DEBIAN_FRONTEND=noninteractive", *words]

    def run(self, *words: str) -> str:
        """What a command inside says. It must end well."""
        done = subprocess.run(
            self.inside(*words), capture_output=True, text=True, check=False, timeout=600, stdin=subprocess.DEVNULL
        )
        assert done.returncode == 0, (done.stdout + done.stderr)[-4000:]
        return done.stdout

    def told(self, field: str) -> str:
        """One field of `systemctl show` of the kiosk's unit."""
        return self._says("systemctl", "show", UNIT, "--value", "--property", field).strip()

    def journal(self) -> str:
        """What the unit and its programs wrote."""
        return self._says("journalctl", "--no-pager", "--unit", UNIT)

    def path(self, name: str) -> Path:
        """A file of the running system, as this machine reaches it."""
        return Path(f"/proc/{self.first}/root{name}")

    @property
    def group(self) -> Path:
        """The file of the control group in which the unit's programs are counted."""
        return self.path(f"/sys/fs/cgroup/system.slice/{UNIT}/cgroup.procs")

    def process(self, what: str) -> int:
        """The number of the unit's process whose command begins with a file that ends with `what`; 0 for none."""
        try:
            numbers = self.group.read_text().split()
            commands = {int(number): Path(f"/proc/{number}/cmdline").read_bytes().split(b"\0")[0] for number in numbers}
        except OSError:
            return 0
        return next((number for number, command in commands.items() if command.endswith(what.encode())), 0)

    def program(self) -> int:
        """The number of the kiosk's program; 0 where it does not run."""
        return self.process("/current/throughlight")

    def finger(self) -> Finger:
        """The finger on the screen that stands now."""
        return Finger(self.path(f"{RUN}/finger"))

    def wedge(self) -> Wedge:
        """The scanner at the screen that stands now."""
        return Wedge(self.path(f"{RUN}/scanner"))

    def _on_the_screen(self, *words: str) -> bytes:
        server = self.process("/Xorg")
        if not server:
            return b""
        # The screen's socket lies in a /tmp of the unit's own.
        own = ["nsenter", "--target", str(server), "--mount", "--net", "env", "DISPLAY=:0", *words]
        return subprocess.run(own, capture_output=True, check=False, timeout=20).stdout

    def rows(self, first: int, last: int) -> bytes:
        """These rows of the screen, 4 bytes a pixel; empty where there is no screen."""
        shown = self._on_the_screen("xwd", "-root", "-silent")[-WIDE * HIGH * 4 :]
        return shown[first * WIDE * 4 : last * WIDE * 4] if len(shown) == WIDE * HIGH * 4 else b""

    def picture(self, to: Path) -> None:
        """What the screen shows, as PNG."""
        shown = self._on_the_screen("sh", "-c", "xwd -root -silent | xwdtopnm 2>/dev/null | pnmtopng 2>/dev/null")
        to.write_bytes(shown)

    def wait_for(self, what: Callable[[], object], name: str, *, at_most_s: float = 60, every_s: float = 0.02) -> float:
        """Ask every so often until `what()` is something; the seconds it took."""
        begun = time.monotonic()
        while not what():
            assert self._outer.poll() is None, f"Debian ended while {name} was awaited: {self._tail()}"
            assert time.monotonic() < begun + at_most_s, f"{name} did not come: {self._tail()}"
            time.sleep(every_s)
        return time.monotonic() - begun

    def _tail(self) -> str:
        return self._log.read_text(errors="replace")[-1500:] + self.journal()[-3000:]


def _child(number: int) -> int:
    """The first child of a process. IndexError where there is none."""
    return int(Path(f"/proc/{number}/task/{number}/children").read_text().split()[0])
