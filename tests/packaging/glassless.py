"""A screen without glass for an installed kiosk: an X server without a monitor, with a touch screen and a scanner.

The kiosk session runs on it as a bare X session does. cage is not tried here: the one of Debian 12 ends no frame of
touches, which the session finds out by itself, and a headless one has no touch screen.
"""

import shutil
import subprocess
import time
from pathlib import Path

from tests.packaging.bare_debian import BareDebian
from tests.packaging.finger import Finger, Wedge

SETTINGS = """
Section "ServerFlags"
  Option "AutoAddDevices" "false"
  Option "AutoAddGPU" "false"
EndSection
Section "Device"
  Identifier "none"
  Driver "dummy"
  VideoRam 65536
EndSection
Section "Monitor"
  Identifier "none"
  HorizSync 5-1000
  VertRefresh 5-200
  Modeline "1920x1080" 148.50 1920 2008 2052 2200 1080 1084 1089 1125
EndSection
Section "Screen"
  Identifier "screen"
  Device "none"
  Monitor "none"
  DefaultDepth 24
  SubSection "Display"
    Modes "1920x1080"
    Virtual 1920 1080
  EndSubSection
EndSection
Section "InputDevice"
  Identifier "finger"
  Driver "inputtest"
  Option "SocketPath" "/tmp/finger"
  Option "DeviceType" "Touch"
  Option "TouchCount" "5"
EndSection
Section "InputDevice"
  Identifier "scanner"
  Driver "inputtest"
  Option "SocketPath" "/tmp/scanner"
  Option "DeviceType" "Keyboard"
EndSection
Section "ServerLayout"
  Identifier "bench"
  Screen "screen"
  InputDevice "finger" "SendCoreEvents"
  InputDevice "scanner" "CoreKeyboard"
EndSection
"""
SESSION = """
install -d -o throughlight -m 700 /run/user/bench /run/throughlight
exec runuser -u throughlight -- env HOME=/var/lib/throughlight XDG_DATA_HOME=/var/lib XDG_RUNTIME_DIR=/run/user/bench \
  RUNTIME_DIRECTORY=/run/throughlight "$@" /usr/lib/throughlight/session
"""
SERVER = """#!/bin/sh
# Stands for X, which would take the machine's own screen: a server runs already. Its number is told as X tells it.
echo {display} >&3
exec sleep infinity
"""
PACKAGES = ("xserver-xorg-video-dummy", "xdotool", "x11-apps", "netpbm")


class Glassless:
    """The screen, the finger and the scanner; `session` starts the kiosk session on it."""

    def __init__(self, debian: BareDebian, log: Path) -> None:
        self.debian, self._log = debian, log
        taken = {path.name for path in Path("/tmp/.X11-unix").glob("X*")}  # noqa: S108 - where X servers stand
        taken |= {path.name[1:].removesuffix("-lock") for path in (debian.root / "tmp").glob(".X*-lock")}  # one before
        for left in ("finger", "scanner"):
            (debian.root / "tmp" / left).unlink(missing_ok=True)
        self.display = next(f":{n}" for n in range(90, 120) if f"X{n}" not in taken)
        (debian.root / "tmp/bench.conf").write_text(SETTINGS)
        options = ("-noreset", "-sharevts", "-novtswitch", "-nolisten", "tcp", "-ac", "vt63")
        self._running = [
            debian.start(log / "x.log", "Xorg", self.display, "-config", "/tmp/bench.conf", *options)  # noqa: S108
        ]
        self.wait_for(
            lambda: (debian.root / "tmp/finger").is_socket() and self.asked("getdisplaygeometry"), "the screen"
        )
        self.finger, self.wedge = Finger(debian.root / "tmp/finger"), Wedge(debian.root / "tmp/scanner")

    def session(self, *settings: str) -> None:
        """Start the kiosk session with settings NAME=value."""
        bench = self.debian.root / "tmp/bench"
        bench.mkdir(exist_ok=True)
        (bench / "X").write_text(SERVER.format(display=self.display.lstrip(":")))
        (bench / "X").chmod(0o755)
        own = ("PATH=/tmp/bench:/usr/bin:/bin", "DISPLAY_SERVER=x")
        self._running.append(self.debian.start(self._log / "session.log", "sh", "-c", SESSION, "_", *own, *settings))

    def asked(self, *words: str) -> str:
        """What xdotool says of the screen; empty where it says nothing or does not reach it."""
        command = ["env", f"DISPLAY={self.display}", "xdotool", *words]
        done = subprocess.run(self.debian.command(*command), capture_output=True, text=True, check=False, timeout=30)
        return done.stdout if done.returncode == 0 else ""

    def picture(self, to: Path) -> None:
        """What the screen shows, as PNG."""
        shot = f"xwd -root -silent -display {self.display} | xwdtopnm 2>/dev/null | pnmtopng >/tmp/shot.png 2>/dev/null"
        self.debian.run("sh", "-c", shot)
        shutil.copy(self.debian.root / "tmp/shot.png", to)

    def wait_for(self, what: object, name: str, *, at_most_s: float = 60) -> str:
        """Wait until `what()` is something; it."""
        end = time.monotonic() + at_most_s
        assert callable(what)
        while time.monotonic() < end:
            if found := what():
                return str(found)
            assert all(one.poll() is None for one in self._running), f"it ended while waiting for {name}: {self.told()}"
            time.sleep(0.05)
        raise AssertionError(f"{name} did not come: {self.told()}")

    def told(self) -> str:
        """What the session said on its error stream."""
        log = self._log / "session.log"
        return log.read_text(errors="replace")[-3000:] if log.exists() else (self._log / "x.log").read_text()[-3000:]

    def close(self) -> None:
        """End the session as a pulled plug does, then the screen."""
        self.finger.close()
        self.wedge.close()
        for one in reversed(self._running):
            one.kill()
            one.wait(20)
