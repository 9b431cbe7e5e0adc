"""What a backup can not tell of itself, as `docs/security.md` says it: each is made in a real file, and taken back."""

from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
from sqlite_utils.utils import sqlite3

from kiosk.core import events as e
from kiosk.core.exposure import NoteEntry
from kiosk.store.backup import backup_name, write_backup
from kiosk.store.bench_store import BenchStore
from kiosk.store.database import FILE, Store
from kiosk.store.keys import Keys
from kiosk.store.log import Log
from kiosk.store.notes import StoreNotes
from kiosk.store.proving import prove_file
from kiosk.store.restore import restore
from tests.store.shift import yes


def cut_off(backup: Any, origin: str, apart: Path) -> None:
    """The end of the log goes, and the signed head with it."""
    backup.execute("DELETE FROM event WHERE seq > 2")
    backup.execute("DELETE FROM signed_head")


def write_anew(backup: Any, origin: str, apart: Path) -> None:
    """Another log under the same name, linked anew and signed with a key of one's own, which stands in the file."""
    with Store(apart) as forged:
        forged.origin = origin
        Log(forged).append([yes(7), yes(8)])
    keys = Keys(apart)
    public = keys.make(origin)
    backup.execute("ATTACH ? AS forged", (str(apart / FILE),))
    backup.execute("DELETE FROM event")
    backup.execute("INSERT INTO event SELECT * FROM forged.event")
    seq, hlc, h = backup.execute("SELECT seq, hlc, h FROM event ORDER BY seq DESC").fetchone()
    head = keys.sign(origin, seq, hlc, h, 1)
    assert head is not None
    backup.execute("UPDATE incarnation SET public_key = ?", (public,))
    backup.execute("DELETE FROM signed_head")
    backup.execute("INSERT INTO signed_head VALUES (?, ?, ?, ?, 1, ?)", (origin, seq, hlc, h, head.sig))


def change_a_note(backup: Any, origin: str, apart: Path) -> None:
    """A note of an exposure says something else: no hash is over it."""
    backup.execute("UPDATE exposure_entry SET value = 'nothing'")


@pytest.mark.parametrize(
    ("do", "checks", "note"),
    [(cut_off, [1, 2], "a splash"), (write_anew, [7, 8], "a splash"), (change_a_note, [1, 2, 3], "nothing")],
)
def test_what_a_backup_can_not_tell_of_itself(
    folder: Path, tmp_path: Path, do: Callable[[Any, str, Path], None], checks: list[int], note: str
) -> None:
    bench = BenchStore(folder)
    origin = bench.store.origin
    bench.keep([yes(n) for n in (1, 2, 3)])
    told = NoteEntry(note=1, field="happened", value="a splash", by="P-014", at_ms=1, offset_min=0)
    StoreNotes(bench.store).write([told])
    assert bench.sign_head(at_ms=1)
    bench.close()
    made = write_backup(folder, tmp_path / "backups" / backup_name("B1", "20310304-070000"))
    backup = sqlite3.connect(str(made.file), isolation_level=None)
    for (name,) in backup.execute("SELECT name FROM sqlite_schema WHERE type = 'trigger'").fetchall():
        backup.execute(f"DROP TRIGGER {name}")
    do(backup, origin, tmp_path / "apart")
    backup.close()

    assert not prove_file(made.file).faults
    restore(made.file, back := tmp_path / "back")
    with Store(back) as store:
        events = [kept.event for kept in Log(store).read()]
    assert [(event.took_ms or 0) - 900 for event in events if isinstance(event, e.CheckYes)] == checks
    restored = sqlite3.connect(str(back / FILE))
    assert restored.execute("SELECT value FROM exposure_entry").fetchall() == [(note,)]
    restored.close()
