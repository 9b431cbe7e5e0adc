"""What the machine underneath does to a store: a sentence for the screen. Anything else that goes wrong is a bug."""

import errno
from collections.abc import Iterator
from contextlib import contextmanager
from typing import Any

from sqlite_utils.utils import sqlite3

from kiosk.resources import words

_OF_SQLITE = {
    5: "busy",
    6: "busy",
    8: "read_only",
    10: "disk",
    11: "damaged",
    13: "disk_full",
    14: "disk",
    26: "damaged",
}
_OF_SYSTEM = {
    errno.ENOSPC: "disk_full", errno.EDQUOT: "disk_full", errno.EROFS: "read_only", errno.EACCES: "read_only",
    errno.EPERM: "read_only", errno.EIO: "disk", errno.EFBIG: "disk",
}  # fmt: skip

_CHANGED = ("Could not decode to UTF-8", "no such column", "no such table", "no such view")
"""How SQLite speaks of text on the disk that is none, and of a name in the file that a flipped bit made another."""


class Outage(Exception):
    """The disk, or who else holds it, does not let the work be kept. `str()` is the sentence in English.

    `key` and `names` look it up in another language (`outage.<key>`). In `doubt` the last commit may or may not be on
    the disk: call `Log.reopen` and fold the log anew before anything else.
    """

    def __init__(self, key: str, *, doubt: bool = False, **names: Any) -> None:
        super().__init__(key)
        self.key = key
        self.doubt = doubt
        self.names = names

    def __str__(self) -> str:
        return words().say(f"outage.{self.key}", **self.names)


@contextmanager
def outages() -> Iterator[None]:
    """Turn what SQLite and the system say of disk and locks into Outage; let everything else through as it is."""
    try:
        yield
    except sqlite3.Error as fault:
        key = _OF_SQLITE.get((getattr(fault, "sqlite_errorcode", None) or 0) & 0xFF)
        if key is None and str(fault).startswith(_CHANGED):
            key = "damaged"
        if key is None:
            raise
        # A write that SQLite could not finish may still have reached the disk (sqlite.org/c3ref/c_ioerr).
        raise Outage(key, doubt=key == "disk") from fault
    except UnicodeDecodeError as fault:  # the same, where not even the message can be made
        raise Outage("damaged") from fault
    except OSError as fault:
        key = _OF_SYSTEM.get(fault.errno or 0)
        if key is None:
            raise
        raise Outage(key) from fault
