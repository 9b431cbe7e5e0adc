"""Backups: a whole copy of the store's file, written while the bench works, believed only after it was looked at.

A backup is one SQLite file in a folder, with the pictures beside it in `pictures`. The bench's own file is only read:
`VACUUM INTO` on a connection that never writes and never checkpoints (sqlite.org/lang_vacuum.html#vacuuminto).
"""

import os
import re
from collections.abc import Iterable
from dataclasses import dataclass
from pathlib import Path

from sqlite_utils.utils import sqlite3

from kiosk.store.database import FILE
from kiosk.store.durable import sync_folder, write_durably
from kiosk.store.outage import Outage, outages
from kiosk.store.proving import Proof, prove_file

SUFFIX = ".backup"
_NAME = re.compile(r"throughlight-\w+-\d{8}-\d{6}\.backup", re.ASCII)


@dataclass(frozen=True, slots=True, kw_only=True)
class Backup:
    """A backup that was written and holds, up to event `seq`."""

    file: Path
    seq: int


def backup_name(bench: str, at: str) -> str:
    """The file's name: the bench, and the local time as `20310304-070000`. Names sort by time."""
    return f"throughlight-{bench}-{at}{SUFFIX}"


def write_backup(store: Path, to: Path) -> Backup:
    """Write the store in a folder to the file `to`, whole and durably, or not at all; with its pictures beside it.

    Raises Outage, also where what was written does not hold; a file that is there already is replaced at the end only.
    """
    part = to.with_name(f".{to.name}.part")
    with outages():
        to.parent.mkdir(parents=True, exist_ok=True)
        part.unlink(missing_ok=True)
        try:
            _copy(store / FILE, part)
            proof = prove_file(part)
            if proof.faults:
                raise Outage("backup_not_whole", why=" ".join(map(str, proof.faults)))
            part.replace(to)
        finally:
            part.unlink(missing_ok=True)
        sync_folder(to.parent)
        carry_pictures(store / "pictures", to.parent / "pictures")
    return Backup(file=to, seq=proof.events)


def _copy(source: Path, part: Path) -> None:
    connection = sqlite3.connect(f"{source.resolve().as_uri()}?mode=ro", uri=True, isolation_level=None)
    try:
        connection.execute("PRAGMA wal_autocheckpoint = 0")
        connection.execute("VACUUM INTO ?", (str(part),))
    finally:
        connection.close()
    part.chmod(0o600)
    sync_files([part])


def carry_pictures(source: Path, to: Path) -> int:
    """Carry the pictures that are not there yet, each whole and durably; how many. None is ever changed."""
    new = [file for file in source.iterdir() if file.is_file()] if source.is_dir() else []
    new = [file for file in new if not (to / file.name).exists()]
    if new:
        to.mkdir(parents=True, exist_ok=True)
    for file in new:
        write_durably(to / file.name, file.read_bytes(), mode=0o600)
    return len(new)


def backups(folder: Path, bench: str) -> list[Path]:
    """The backups of a bench in a folder, the newest first."""
    found = folder.glob(f"throughlight-{bench}-*{SUFFIX}") if folder.is_dir() else ()
    return sorted((file for file in found if _NAME.fullmatch(file.name)), reverse=True)


def rotate(folder: Path, bench: str, keep: int) -> list[Path]:
    """Take away all but the newest `keep` backups of a bench; those taken away. Pictures stay."""
    old = backups(folder, bench)[max(1, keep) :]
    with outages():
        for file in old:
            file.unlink()
    return old


def proven_backup(file: Path) -> Proof:
    """What a backup holds. Raises Outage with a sentence where it is none, or does not hold."""
    if not file.is_file():
        raise Outage("no_backup", file=str(file))
    proof = prove_file(file)
    if proof.faults:
        raise Outage("backup_not_taken", file=file.name, why=" ".join(map(str, proof.faults)))
    return proof


def sync_files(files: Iterable[Path]) -> None:
    """Make the contents of files durable."""
    for file in files:
        handle = os.open(file, os.O_RDONLY)
        try:
            os.fsync(handle)
        finally:
            os.close(handle)
