"""Ballast: room put by while there is plenty, and let go of when the disk is full, so that a tray can be ended."""

import os
from pathlib import Path

from kiosk.store.durable import sync_folder

NAME = "ballast"
SIZE = 64 << 20
PLENTY = 16
"""Only where so many times its size is free: on a small disk it would itself be the trouble (a choice)."""


def put_by(folder: Path, size: int = SIZE) -> bool:
    """See that the ballast lies in the store's folder, as real blocks. False where it does not."""
    path = folder / NAME
    try:
        if path.exists() and path.stat().st_size >= size:
            return True
        if free(folder) < PLENTY * size:
            return False
        with path.open("wb") as file:
            os.posix_fallocate(file.fileno(), 0, size)
            os.fsync(file.fileno())
        sync_folder(folder)
    except OSError:
        let_go(folder)
        return False
    return True


def let_go(folder: Path) -> bool:
    """Give the ballast's room back. Was there any?"""
    try:
        (folder / NAME).unlink()
    except OSError:
        return False
    return True


def free(folder: Path) -> int:
    """Bytes that may still be written there."""
    disk = os.statvfs(folder)
    return disk.f_bavail * disk.f_frsize
