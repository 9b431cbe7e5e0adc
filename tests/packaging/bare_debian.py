"""A bare Debian in a folder: made by debootstrap from this machine's own mirror, entered by chroot in a namespace.

Every mount lies in the namespace of the program that runs inside, so that none is left when it ends, however it ends.
"""

import os
import re
import shutil
import subprocess
import sys
from pathlib import Path

_ENTER = """
mount -t proc proc "$1/proc"
mount --rbind /dev "$1/dev"
mount -t tmpfs -o mode=1777 tmpfs "$1/dev/shm"
mount --bind "$1/run.test" "$1/run"
root=$1; shift
exec chroot "$root" env -i PATH=/usr/sbin:/usr/bin:/sbin:/bin HOME=/root LANG=C.UTF-8 \\
  DEBIAN_FRONTEND=noninteractive "$@"
"""


def why_not() -> str:
    """Why no bare Debian can be made here; empty where it can."""
    if not os.environ.get("THROUGHLIGHT_INSTALL"):
        return "takes some ten minutes and Debian's mirror: THROUGHLIGHT_INSTALL=1 runs it"
    if sys.platform != "linux" or os.geteuid() != 0:
        return "needs root, to make a Debian in a folder"
    absent = [
        name for name in ("debootstrap", "setpriv", "unshare", "chroot", "dpkg-deb") if shutil.which(name) is None
    ]
    return f"needs {', '.join(absent)}: apt install debootstrap" if absent else _mirror()[1]


def _mirror() -> tuple[str, str]:
    """The first Debian mirror of this machine, and why there is none."""
    files = [Path("/etc/apt/sources.list"), *Path("/etc/apt/sources.list.d").glob("*")]
    for file in files:
        if file.is_file() and (
            found := re.search(r"^(?:URIs:|deb) *(\S+://\S+/debian)\b", file.read_text(), re.MULTILINE)
        ):
            return found[1], ""
    return "", "this machine's apt names no mirror of Debian"


class BareDebian:
    """The root of a minimal Debian of this machine's release."""

    def __init__(self, root: Path) -> None:
        self.root = root
        release = re.search(r"^VERSION_CODENAME=(\S+)", Path("/etc/os-release").read_text(), re.MULTILINE)
        assert release
        make = ["debootstrap", "--variant=minbase", "--include=ca-certificates", release[1], str(root), _mirror()[0]]
        done = subprocess.run(make, capture_output=True, text=True, check=False, timeout=900)
        assert done.returncode == 0, done.stdout[-2000:]
        (root / "run.test").mkdir()
        no_services = root / "usr/sbin/policy-rc.d"
        no_services.write_text("#!/bin/sh\nexit 101\n")
        no_services.chmod(0o755)
        self.run("apt-get", "-q", "update")

    def command(self, *words: str) -> list[str]:
        """The command that runs `words` inside. All that it starts ends with it, and it ends with this process."""
        return [
            "setpriv",
            "--pdeathsig",
            "KILL",
            "unshare",
            "--mount",
            "--pid",
            "--fork",
            "--kill-child",
            "sh",
            "-ec",
            _ENTER,
            "_",
            str(self.root),
            *words,
        ]

    def run(self, *words: str, status: int = 0) -> str:
        """What a command inside says. It must end with that status."""
        done = subprocess.run(
            self.command(*words), capture_output=True, text=True, check=False, timeout=900, stdin=subprocess.DEVNULL
        )
        said = done.stdout + done.stderr
        assert done.returncode == status, said[-4000:]
        return said

    def start(self, log: Path, *words: str) -> subprocess.Popen[bytes]:
        """Start a program inside; it and all below it end with the process that is returned."""
        with log.open("wb") as out:
            return subprocess.Popen(self.command(*words), stdin=subprocess.DEVNULL, stdout=out, stderr=out)

    def install(self, *names: str) -> str:
        """Install packages by apt: names, or files that lie in the root."""
        return self.run("apt-get", "-q", "-y", "--no-install-recommends", "install", *names)

    def take(self, package: Path) -> str:
        """Copy a package in; its path there, as apt wants it."""
        shutil.copy(package, self.root / "tmp" / package.name)
        return f"/tmp/{package.name}"  # noqa: S108 - of the root
