"""What there is around a station that is set up: print queues, cameras, sticks and folders with files to take over."""

import os
import subprocess
from collections.abc import Iterable, Sequence
from pathlib import Path

from kiosk.core.set_up import Source
from kiosk.store.catalogue_columns import TABLES

PATIENCE_S = 3.0
"""So long the print server may take to name its queues."""

MOUNTS = tuple(map(Path, ("/media", "/run/media", "/mnt")))
"""Where sticks are put on Linux: in it, or one folder deeper, a person's."""

BROUGHT = "brought"
"""Folder in the store's own, for files that IT brings without a stick."""

MOST = 12
"""Sources of a kind that are offered."""


def print_queues() -> tuple[str, ...]:
    """The queues of this machine (CUPS: lpstat -e), by name; none where there is no print server."""
    environment = {**os.environ, "LC_ALL": "C", "LANGUAGE": "C"}
    try:
        done = subprocess.run(
            ["lpstat", "-e"], capture_output=True, timeout=PATIENCE_S, check=False, env=environment
        )  # fmt: skip
    except (OSError, subprocess.TimeoutExpired):
        return ()
    names = done.stdout.decode(errors="replace").split("\n") if done.returncode == 0 else ()
    return tuple(sorted({name.strip() for name in names if name.strip() and " " not in name.strip()}))


def cameras() -> tuple[str, ...]:
    """The names of this machine's cameras, the default one first; none where Qt Multimedia is not there."""
    from kiosk.devices.camera import QtPorts

    try:
        found = QtPorts().there()
    except ImportError:
        return ()
    return tuple(dict.fromkeys(name for _, name in found if name))


def places(folder: Path, mounts: Sequence[Path] = MOUNTS) -> tuple[Path, ...]:
    """Folders that something may have been brought in: the store's own, and what is mounted as sticks are."""
    found = [folder / BROUGHT]
    for mount in mounts:
        for one in _folders(mount):
            found += [one, *(inner for inner in _folders(one))]
    return tuple(each for each in found if each.is_dir())


def _folders(path: Path) -> Iterable[Path]:
    try:
        return sorted(each for each in path.iterdir() if each.is_dir() and not each.name.startswith("."))
    except OSError:
        return ()


def _files(path: Path) -> Sequence[Path]:
    try:
        return sorted(each for each in path.iterdir() if each.is_file())
    except OSError:
        return ()


def catalogues(where: Iterable[Path]) -> tuple[Source, ...]:
    """Folders with a table of the catalogue, and XLSX files, in these places."""
    found = []
    for place in where:
        files = _files(place)
        if any(file.suffix.lower() == ".csv" and file.stem in TABLES for file in files):
            found.append(Source(path=str(place), name=place.name, about=str(place.parent)))
        found += [
            Source(path=str(file), name=file.name, about=str(place)) for file in files if file.suffix.lower() == ".xlsx"
        ]
    return tuple(found[:MOST])


def first_aid_files(where: Iterable[Path]) -> tuple[Source, ...]:
    """Files that may hold the facility's first-aid words, in these places."""
    found = [
        Source(path=str(file), name=file.name, about=str(place))
        for place in where
        for file in _files(place)
        if file.name.lower().startswith("first_aid") and file.suffix.lower() in {".yaml", ".yml"}
    ]
    return tuple(found[:MOST])
