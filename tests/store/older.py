"""A store as a program before the keys left it, and a store folder moved about as people do."""

import shutil
import uuid
from collections.abc import Sequence
from pathlib import Path

from sqlite_utils.utils import sqlite3

from kiosk.core.stamp import Kept
from kiosk.store.chain import COLUMNS, link
from kiosk.store.database import FILE, Store
from kiosk.store.identity import new_id
from kiosk.store.migrate import migrate, migrations
from kiosk.store.rows import head_of, put

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
    connection.execute("CREATE TEMP VIEW IF NOT EXISTS own_event AS SELECT * FROM event")  # what `put` reads today
    put(connection, origin, "B1", kepts)
    connection.close()
    return origin


def keep_newer(
    store: Store, typ: str, cls: str, *, trip: str | None, ver: int = 1, body: bytes = b'{"smell":3}',
    at_ms: int | None = None, offset_min: int = 0,
) -> None:  # fmt: skip
    """Keep an event as a program of a later year would, with a name, a version or a body that this one never saw."""
    with store.transaction() as connection:
        head = head_of(connection)
        hlc = head.hlc + 1
        row = (
            head.seq + 1,
            hlc,
            ver,
            hlc >> 16 if at_ms is None else at_ms,
            offset_min,
            1,
            1,
            1,
            new_id(hlc),
            cls,
            typ,
            store.bench,
            "P-014",
            trip,
            body,
        )
        sql = f"INSERT INTO event ({', '.join(COLUMNS)}) VALUES ({', '.join('?' * len(COLUMNS))})"
        connection.execute(sql, (*row, link(head.h, store.origin, row)))


def copied(folder: Path, to: Path) -> Path:
    """The store's folder copied elsewhere, as a whole: its keys lie beside it and stay behind."""
    shutil.copytree(folder, to)
    return to
