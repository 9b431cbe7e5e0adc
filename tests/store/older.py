"""A store as a program before the keys left it, and a store folder moved about as people do."""

import shutil
import uuid
from collections.abc import Sequence
from pathlib import Path

from sqlite_utils.utils import sqlite3

from kiosk.core.stamp import Kept
from kiosk.store.database import FILE
from kiosk.store.migrate import migrate, migrations
from kiosk.store.rows import put

BEFORE_KEYS = 6
"""The last migration of the programs that signed nothing."""


def older_store(folder: Path, kepts: Sequence[Kept], version: int = BEFORE_KEYS) -> str:
    """Leave a store of that version, with these events; its origin."""
    folder.mkdir(parents=True)
    origin = str(uuid.uuid4())
    connection = sqlite3.connect(str(folder / FILE), isolation_level=None)
    connection.execute("PRAGMA journal_mode = WAL")
    migrate(connection, migrations()[:version])
    connection.executemany("INSERT INTO meta VALUES (?, ?)", [("origin", origin), ("bench", "B1")])
    put(connection, origin, "B1", kepts)
    connection.close()
    return origin


def copied(folder: Path, to: Path) -> Path:
    """The store's folder copied elsewhere, as a whole: its keys lie beside it and stay behind."""
    shutil.copytree(folder, to)
    return to
