"""One bench's store as the kiosk uses it: the log, the bench folded from it, catalogue, policy, pictures."""

from collections.abc import Iterator, Mapping, Sequence
from pathlib import Path
from typing import Any

from sqlite_utils.utils import sqlite3

from kiosk import resources
from kiosk.core.catalogue import Catalogue
from kiosk.core.evolve import evolve
from kiosk.core.policy import Policy
from kiosk.core.stamp import Kept
from kiosk.core.state.bench import Bench
from kiosk.store.catalogue_store import catalogue_kept_ms, keep_catalogue, keep_policy, latest_catalogue, latest_policy
from kiosk.store.codec import CodecFault, from_bytes, to_bytes
from kiosk.store.database import FILE, Store
from kiosk.store.fetched import Fetched
from kiosk.store.heads import Heads
from kiosk.store.heard import Heard
from kiosk.store.keys import SignedHead
from kiosk.store.log import Log
from kiosk.store.notes import StoreNotes
from kiosk.store.outage import Outage, outages
from kiosk.store.pictures import keep_picture, picture_path
from kiosk.store.projections import FOLDED_BY, seal
from kiosk.store.records import StoreRecords

__all__ = ["BenchStore", "Outage"]

NEWEST = 1000
"""Links of the chain that a start looks at; `throughlight verify` looks at all of them."""

_NOTED = "SELECT s.seq, s.body, s.seal, e.h FROM snapshot s JOIN event e ON e.seq = s.seq WHERE s.fold = ?"


class BenchStore:
    """An open store folder. Every method raises Outage when the disk does not do its part."""

    def __init__(self, folder: Path, bench: str = "") -> None:
        self.store = Store(folder, bench)
        self.log = Log(self.store)
        self.heard = Heard(self.store)
        self.heads = Heads(self.store)
        self.notes = StoreNotes(self.store)
        self.records = StoreRecords(self.store)
        self.fetched = Fetched(self.store.folder)

    def keep(self, kepts: Sequence[Kept]) -> None:
        """Keep the events of one command, all or none, durably."""
        self.log.append(kepts)

    def begin_again(self, why: str, alike: int | None = None) -> list[Kept]:
        """Go on under a new origin (`Store.begin_again`); the events that say so."""
        last = self.log.head().seq
        self.store.begin_again(why, alike)
        return list(self.log.read(last))

    def read(self) -> Iterator[Kept]:
        """Every event, oldest first."""
        return self.log.read()

    def sign_head(self, at_ms: int) -> SignedHead | None:
        """Sign where the log ends now, and keep that here and beside the key; None where nothing came since."""
        return self.heads.sign(at_ms)

    def bench(self) -> Bench:
        """The bench folded from its log: from the last snapshot that this program understands, else from the start."""
        bench, seq = self._snapshot()
        for kept in self.log.read(seq):
            bench = evolve(bench, kept)
        return bench

    def snapshot(self, bench: Bench) -> None:
        """Note the fold up to now, to start faster next time. The note is bound to the log's head by a hash."""
        body = to_bytes(bench)
        with self.store.transaction() as connection:
            head = self.log.head()
            row = (1, head.seq, FOLDED_BY, body, seal(head.h, body))
            connection.execute("INSERT OR REPLACE INTO snapshot VALUES (?, ?, ?, ?, ?)", row)
        self.records.note(bench, head.seq)

    def _snapshot(self) -> tuple[Bench, int]:
        with outages():
            row = self.store.db.conn.execute(_NOTED, (FOLDED_BY,)).fetchone()
        if row is None or row[2] != seal(row[3], row[1]):
            return Bench(), 0
        try:
            return from_bytes(Bench, row[1]), row[0]
        except CodecFault:
            return Bench(), 0

    def check(self) -> None:
        """The check of a start: the tables and the newest links. Raises Outage naming the first bad event."""
        self.store.check_schema()
        bad = self.log.verify(NEWEST)
        if bad is not None:
            raise Outage("damaged_from", seq=bad)

    def check_file(self) -> str:
        """SQLite's own check of the whole file, on a connection of its own that only reads: "ok", or what is wrong.

        May run on another thread while the bench works. Raises Outage.
        """
        with outages():
            reader = sqlite3.connect(f"file:{self.store.folder / FILE}?mode=ro", uri=True)
            try:
                reader.execute("PRAGMA wal_autocheckpoint = 0")
                said: str = reader.execute("PRAGMA quick_check(1)").fetchone()[0]
            finally:
                reader.close()
        return said

    def recover(self) -> Bench:
        """After an outage in doubt: open the file anew, check it, fold again what was really kept."""
        self.log.reopen()
        return self.bench()

    def alive(self, at_ms: int) -> None:
        """Note that the bench is up."""
        self.log.alive(at_ms)

    def last_alive(self) -> int | None:
        """When the bench was last alive, if it stopped without `rest`."""
        return self.log.last_alive()

    def rest(self) -> None:
        """Note that the bench stops on purpose."""
        self.log.rest()

    def keep_picture(self, name: str, data: bytes) -> str:
        """Keep a picture durably; its SHA-256."""
        return keep_picture(self.store.folder, name, data)

    def picture(self, name: str) -> Path:
        """Where a kept picture lies."""
        return picture_path(self.store.folder, name)

    def catalogue(self) -> Catalogue | None:
        """The newest catalogue."""
        return latest_catalogue(self.store)

    def keep_catalogue(self, catalogue: Catalogue, *, at_ms: int, who: str | None = None) -> int:
        """Keep the next version of the catalogue."""
        return keep_catalogue(self.store, catalogue, at_ms=at_ms, who=who)

    def policy(self) -> tuple[int, dict[str, Any]] | None:
        """The newest policy: version and the department's own values."""
        return latest_policy(self.store)

    def catalogue_kept_ms(self) -> int:
        """When the newest catalogue was loaded, in Unix ms."""
        return catalogue_kept_ms(self.store)

    def catalogue_or_empty(self) -> Catalogue:
        """The newest catalogue, or an empty one where none was loaded."""
        return self.catalogue() or Catalogue()

    def policy_now(self) -> Policy:
        """The newest policy that was loaded, or the delivered one; what was signed since then stands in the log."""
        version, own = self.policy() or (1, {})
        return resources.policy(own, version=version)

    def keep_policy(self, own: Mapping[str, Any], *, at_ms: int, who: str | None = None) -> int:
        """Keep the next version of the policy."""
        return keep_policy(self.store, own, at_ms=at_ms, who=who)

    def close(self) -> None:
        """Close the file and let another process have it."""
        self.records.close()
        self.store.close()
