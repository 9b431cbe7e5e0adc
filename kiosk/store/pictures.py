"""Pictures of findings, kept durably in the store's folder `pictures`."""

import hashlib
from pathlib import Path

from kiosk.store.durable import sync_folder, write_durably
from kiosk.store.outage import outages

NOTHING = ".none"
MOST_NAME = 255
"""Bytes of a file's name that file systems take (NAME_MAX of POSIX hosts, as Linux has it)."""


def picture_path(store: Path, name: str) -> Path:
    """Where a kept picture of this name lies in a store's folder. A name is often heard from another station: one
    that is not a plain file name leads nowhere, to a hidden name that nothing is ever kept under."""
    return store / "pictures" / (name if is_plain(name) else NOTHING)


def is_plain(name: str) -> bool:
    """Is it the name of a file and no path: not hidden, no folder of any system in it?"""
    if not name or name.startswith(".") or Path(name).name != name or "\\" in name or "\0" in name:
        return False
    return len(name.encode("utf-8", "surrogatepass")) <= MOST_NAME


def keep_picture(store: Path, name: str, data: bytes) -> str:
    """Keep the bytes as STORE/pictures/`name`; returns their SHA-256 in hexadecimal once they are on the disk.

    The same bytes again change nothing. Raises ValueError for a name that is not a plain file name or is taken by
    another picture, Outage when the disk does not take it.
    """
    if not is_plain(name):
        raise ValueError(f"not a plain file name: {name!r}")
    path = picture_path(store, name)
    folder = path.parent
    with outages():
        if not folder.is_dir():
            folder.mkdir(parents=True)
            sync_folder(store)
        if path.exists():
            if path.read_bytes() != data:
                raise ValueError(f"another picture is kept as {name}")
        else:
            write_durably(path, data)
    return hashlib.sha256(data).hexdigest()
