"""A backup comes back: only one that holds, all of it or nothing, and what lay there before is put aside.

From the first move to the last a note stands in the folder, and no start takes the store for whole as long as it does:
a restore that was cut off is simply done once more. The log that comes back is marked, so that its next start begins a
new origin (`kiosk.store.incarnation`).
"""

from dataclasses import dataclass
from datetime import datetime
from pathlib import Path

from sqlite_utils.utils import sqlite3

from kiosk.store.backup import carry_pictures, proven_backup, sync_files
from kiosk.store.database import FILE, RESTORING, lock_folder
from kiosk.store.durable import sync_folder, write_durably
from kiosk.store.incarnation import RESTORED
from kiosk.store.migrate import migrate, migrations
from kiosk.store.outage import Outage, outages
from kiosk.store.proving import prove_file

_OF_THE_STORE = (FILE, f"{FILE}-wal", f"{FILE}-shm")


@dataclass(frozen=True, slots=True, kw_only=True)
class Restored:
    """What came back, and where that was put which lay there before (None: there was nothing)."""

    events: int
    bench: str
    aside: Path | None


def restore(file: Path, folder: Path) -> Restored:
    """Bring the backup `file` back as the store of `folder`. Raises Outage; then nothing was changed, or it says so."""
    proof = proven_backup(file)
    with lock_folder(folder):
        part = folder / f".{FILE}.part"
        with outages():
            try:
                part.write_bytes(file.read_bytes())
                _mark(part)
                if prove_file(part).faults:  # what was copied is what was proven, or it is not taken
                    raise Outage("backup_not_taken", file=file.name, why="")
                sync_files([part])
                write_durably(folder / RESTORING, file.name.encode())
                aside = _put_aside(folder)
                part.rename(folder / FILE)
                sync_folder(folder)
                (folder / RESTORING).unlink()
                sync_folder(folder)
            finally:
                part.unlink(missing_ok=True)
            carry_pictures(file.parent / "pictures", folder / "pictures")
    return Restored(events=proof.events, bench=proof.bench, aside=aside)


def _mark(part: Path) -> None:
    connection = sqlite3.connect(str(part), isolation_level=None)
    try:
        connection.execute("PRAGMA journal_mode = DELETE")
        migrate(connection, migrations())
        connection.execute("INSERT OR REPLACE INTO meta (k, v) VALUES (?, '1')", (RESTORED,))
    finally:
        connection.close()


def _put_aside(folder: Path) -> Path | None:
    """Move the old store's files into a folder of their own, together: its log may stand in the second of them."""
    old = [folder / name for name in _OF_THE_STORE if (folder / name).exists()]
    if not old:
        return None
    aside = folder / f"put-aside-{datetime.now().astimezone():%Y%m%d-%H%M%S}"
    while aside.exists():
        aside = aside.with_name(f"{aside.name}-again")
    aside.mkdir()
    for file in old:
        file.rename(aside / file.name)
    sync_folder(aside)
    sync_folder(folder)
    return aside
