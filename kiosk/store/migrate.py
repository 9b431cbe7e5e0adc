"""Numbered migrations: db/sqlite/NNNN_words.sql, each in one transaction, a shipped file never edited."""

from pathlib import Path

from sqlite_utils.utils import sqlite3

from kiosk.places import DB


def migrations(folder: Path = DB / "sqlite") -> list[Path]:
    """The files in order, numbered from 1 without a gap. Raises ValueError where one is missing or doubled."""
    files = sorted(folder.glob("[0-9][0-9][0-9][0-9]_*.sql"))
    if [int(path.name[:4]) for path in files] != list(range(1, len(files) + 1)):
        raise ValueError(f"migrations are not numbered from 1 without a gap: {[path.name for path in files]}")
    return files


def migrate(connection: sqlite3.Connection, files: list[Path]) -> None:
    """Apply the files that the store (its `user_version`) has not seen; one that breaks leaves no trace."""
    have: int = connection.execute("PRAGMA user_version").fetchone()[0]
    for number, path in enumerate(files[have:], have + 1):
        sql = path.read_text("utf-8")
        try:
            connection.executescript(f"BEGIN IMMEDIATE;\n{sql}\nPRAGMA user_version = {number};\nCOMMIT;")
        except sqlite3.Error:
            if connection.in_transaction:
                connection.execute("ROLLBACK")
            raise
