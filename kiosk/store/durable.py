"""Files that are there after a power cut."""

import os
from pathlib import Path


def sync_folder(folder: Path) -> None:
    """Make the folder's list of names durable."""
    handle = os.open(folder, os.O_RDONLY | os.O_DIRECTORY)
    try:
        os.fsync(handle)
    finally:
        os.close(handle)


def write_durably(path: Path, data: bytes, *, mode: int = 0o666) -> None:
    """Write `data` to `path` whole or not at all, durably: a file beside it, synced, renamed, the folder synced.

    `mode`: who may read it, before the process's own mask.
    """
    part = path.with_name(f".{path.name}.part")
    try:
        with os.fdopen(os.open(part, os.O_WRONLY | os.O_CREAT | os.O_TRUNC, mode), "wb") as file:
            file.write(data)
            file.flush()
            os.fsync(file.fileno())
        part.replace(path)
    finally:
        part.unlink(missing_ok=True)
    sync_folder(path.parent)
