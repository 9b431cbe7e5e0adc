"""Tells the system's service manager that the kiosk is up, and from its event loop that it is not hung.

The protocol is that of sd_notify(3): lines of text in one datagram to the socket that NOTIFY_SOCKET names. Without such
a socket nothing is sent and nothing is missed.
"""

import logging
import os
import socket
from collections.abc import Mapping

from PySide6.QtCore import QObject, QTimer

log = logging.getLogger(__name__)


class Watchdog(QObject):
    """From `start` to `stop` the service manager hears WATCHDOG=1 as long as Qt's event loop turns."""

    def __init__(self, environment: Mapping[str, str] = os.environ, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._to = environment.get("NOTIFY_SOCKET", "")
        self._timer = QTimer(self)
        self._timer.timeout.connect(self._ping)
        self._every_ms = every_ms(environment)

    def start(self) -> None:
        """Say that the first screen is up, and ping from now on where it is asked for."""
        self._say("READY=1")
        if self._to and self._every_ms:
            self._ping()
            self._timer.start(self._every_ms)

    def stop(self) -> None:
        """Say that the kiosk ends by its own will."""
        self._timer.stop()
        self._say("STOPPING=1")

    def _ping(self) -> None:
        self._say("WATCHDOG=1")

    def _say(self, text: str) -> None:
        if not self._to:
            return
        address = f"\0{self._to[1:]}" if self._to.startswith("@") else self._to
        try:
            with socket.socket(socket.AF_UNIX, socket.SOCK_DGRAM | socket.SOCK_CLOEXEC) as link:
                link.setblocking(False)
                link.sendto(text.encode(), address)
        except OSError as fault:
            log.info("the service manager was not told %s: %s", text, fault)


def every_ms(environment: Mapping[str, str]) -> int:
    """Milliseconds between two pings: half of WATCHDOG_USEC, as sd_watchdog_enabled(3) advises; 0 for none.

    WATCHDOG_PID is not looked at: it names the session's script, and this program runs inside of it.
    """
    given = environment.get("WATCHDOG_USEC", "")
    return max(int(given) // 2000, 1) if given.isascii() and given.isdigit() and int(given) else 0
