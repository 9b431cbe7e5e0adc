"""A touch screen and a scanner for an X server without a monitor, by its own driver for tests, `inputtest`.

Protocol: inputtestdrv(4) and xf86-input-inputtest-protocol.h of the X.Org server 21.1. The server takes the touches for
those of a device: they go the whole way through XInput 2.
"""

import socket
import struct
import time
from pathlib import Path

_VERSION, _SYNC, _KEY, _TOUCH = 0, 1, 5, 6
_BEGIN, _END = 18, 20  # XI_TouchBegin, XI_TouchEnd of XI2.h
_WIDE = 0xFFFF  # the driver's axes, from edge to edge
_SHIFT, _ENTER = 50, 36
_ROWS = {10: "1234567890-", 24: "qwertyuiop", 38: "asdfghjkl", 52: "zxcvbnm"}
"""Key codes of X (those of the kernel and 8) of a US keyboard."""
_CODES = {letter: first + at for first, row in _ROWS.items() for at, letter in enumerate(row)}


class _Device:
    """One input device of the server, by the socket that its settings name."""

    def __init__(self, path: Path) -> None:
        self._link = socket.socket(socket.AF_UNIX)
        self._link.settimeout(10)
        self._link.connect(str(path))
        self._say(_VERSION, struct.pack("<HH", 1, 0))
        self._link.recv(64)

    def _say(self, kind: int, body: bytes = b"") -> None:
        self._link.sendall(struct.pack("<II", 8 + len(body), kind) + body)

    def _settle(self) -> None:
        self._say(_SYNC)
        self._link.recv(64)

    def close(self) -> None:
        self._link.close()


class Finger(_Device):
    """A finger on the glass."""

    _contact = 0

    def touch(self, x: float, y: float, *, held_s: float = 0.09) -> None:
        """Down, and up at the same place: shares of the screen's width and height."""
        self._contact += 1
        for kind in (_BEGIN, _END):
            places = [x * _WIDE, y * _WIDE, *[0.0] * 62]
            body = struct.pack("<III8s4x64d64d", self._contact, kind, 0, b"\x03" + bytes(7), *places, *[0.0] * 64)
            self._say(_TOUCH, body)
            self._settle()
            if kind == _BEGIN:
                time.sleep(held_s)


class Wedge(_Device):
    """A scanner that types what it reads, and Enter."""

    def scan(self, text: str) -> None:
        """Letters, figures and hyphens. Capitals are typed with the shift key, as a scanner does."""
        for letter in text:
            keys = [_SHIFT] if letter.isupper() else []
            self._press([*keys, _CODES[letter.lower()]])
        self._press([_ENTER])

    def _press(self, codes: list[int]) -> None:
        for code in codes:
            self._say(_KEY, struct.pack("<iI", code, 1))
        for code in reversed(codes):
            self._say(_KEY, struct.pack("<iI", code, 0))
        self._settle()
