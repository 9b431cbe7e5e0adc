"""Pictures that other stations kept and the hub gave: copies in a folder of their own, named by content and name.

They are no records: one that is not needed any more may go, and is fetched again.
"""

import hashlib
import re
from pathlib import Path

from kiosk.store.durable import sync_folder, write_durably
from kiosk.store.outage import outages
from kiosk.store.pictures import MOST_NAME, is_plain

FOLDER = "fetched"
HASH = re.compile(r"[0-9a-f]{64}")
_COPY = re.compile(r"[0-9a-f]{64}_.")


def fetched_as(name: str, sha256: str) -> str:
    """What the copy is called, "" for a name or a hash that is none, or that together are too long for a file."""
    called = f"{sha256}_{name}"
    fits = is_plain(name) and HASH.fullmatch(sha256) and len(called.encode("utf-8", "surrogatepass")) <= MOST_NAME
    return called if fits else ""


def keep_fetched(store: Path, name: str, sha256: str, data: bytes) -> Path:
    """Keep a copy, durably. Raises ValueError for bytes of another hash and for a name that is none; Outage."""
    called = fetched_as(name, sha256)
    if not called:
        raise ValueError(f"not a picture's name: {name!r}")
    if hashlib.sha256(data).hexdigest() != sha256:
        raise ValueError(f"{name}: the bytes are not those that were kept")
    folder = store / FOLDER
    with outages():
        if not folder.is_dir():
            folder.mkdir()
            sync_folder(store)
        if not (folder / called).is_file():
            write_durably(folder / called, data)
    return folder / called


class Fetched:
    """The copies that lie in a store's folder, by the name that the log gives; read anew when the folder changed."""

    def __init__(self, store: Path) -> None:
        self._folder, self._changed_ns = store / FOLDER, -1
        self._names: dict[str, Path] = {}

    def find(self, name: str) -> Path | None:
        """Where the copy of this name lies. Whoever shows it holds it against the hash that the log gives."""
        try:
            changed = self._folder.stat().st_mtime_ns
            if changed != self._changed_ns:
                copies = sorted(file for file in self._folder.iterdir() if _COPY.match(file.name))
                self._names, self._changed_ns = {file.name[65:]: file for file in copies}, changed
        except OSError:
            return None
        return self._names.get(name)
