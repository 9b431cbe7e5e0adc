"""Proves a store's file: that it is whole, that every chain in it holds, that every head was signed by its own key.

It only reads, on a connection of its own, and may be asked while the bench works: what is appended meanwhile is not
looked at. What does not hold is a `Fault`, which says in words what and where.
"""

import hashlib
from collections.abc import Iterator
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any, NamedTuple

from sqlite_utils.utils import sqlite3

from kiosk.resources import words
from kiosk.store.chain import COLUMNS, FIRST, Span, Walk
from kiosk.store.codec import CodecFault, decode
from kiosk.store.database import APPLICATION_ID, FILE
from kiosk.store.facts import FACTS, unlike_facts
from kiosk.store.incarnation import Incarnation, incarnations, spans, told_by
from kiosk.store.keys import Keys, SignedHead, proven
from kiosk.store.migrate import migrations
from kiosk.store.outage import Outage, outages
from kiosk.store.projections import Whole, unlike

_BATCH = 1000
_ROW = ", ".join(COLUMNS)
_OWN = f"SELECT {_ROW} FROM {{}} WHERE seq > ? AND seq <= ? ORDER BY seq LIMIT ?"  # noqa: S608
_AS_KEPT = _OWN.format("event")
_TOLD_AGAIN = "SELECT origin, max(seq) FROM relinked GROUP BY origin"
_OTHER = f"SELECT {_ROW} FROM remote_event WHERE origin = ? AND seq > ? AND seq <= ? ORDER BY seq LIMIT ?"  # noqa: S608
_STATIONS = "SELECT origin, max(seq), max(bench) FROM remote_event GROUP BY origin ORDER BY origin"
_BEGINS = "SELECT origin, was_origin, was_seq, was_h, public_key FROM remote_origin"
_HEADS = "SELECT origin, seq, hlc, h, at_ms, sig FROM signed_head ORDER BY origin, seq"
_AT = "SELECT h, hlc FROM every_event WHERE origin = ? AND seq = ?"


class Fault(NamedTuple):
    """One thing that does not hold. `str()` is its sentence."""

    key: str
    names: dict[str, Any]

    def __str__(self) -> str:
        return words().say(f"verify.{self.key}", **self.names)


@dataclass(slots=True)
class Proof:
    """What was found. `first_bad`: the first number of this bench's own log that does not hold."""

    bench: str = ""
    events: int = 0
    head: bytes = FIRST
    first_bad: int | None = None
    origins: list[dict[str, Any]] = field(default_factory=list)
    signed: int = 0
    projections: int = 0
    faults: list[Fault] = field(default_factory=list)

    def bad(self, key: str, **names: Any) -> None:
        """Note what does not hold."""
        self.faults.append(Fault(key, names))


def prove_store(folder: Path) -> Proof:
    """Prove the store in a folder, with the newest head beside its key. Raises Outage where there is none at all."""
    return _prove(f"{(folder / FILE).resolve().as_uri()}?mode=ro", Keys(folder))


def prove_file(path: Path) -> Proof:
    """Prove a backup: a file that nobody writes. Raises Outage where it is no store at all.

    The noted benches are not asked: they are disposable, and are made anew where they are not believed.
    """
    return _prove(f"{path.resolve().as_uri()}?mode=ro&immutable=1", None, folds=False)


def bench_of(folder: Path) -> str:
    """The name of the bench whose store lies in a folder. Raises Outage."""
    with outages():
        connection = sqlite3.connect(f"{(folder / FILE).resolve().as_uri()}?mode=ro", uri=True, isolation_level=None)
        try:
            _belongs_here(connection)
            return str(connection.execute("SELECT v FROM meta WHERE k = 'bench'").fetchone()[0])
        finally:
            connection.close()


def _prove(uri: str, keys: Keys | None, *, folds: bool = True) -> Proof:
    with outages():
        connection = sqlite3.connect(uri, uri=True, isolation_level=None)
        try:
            connection.execute("PRAGMA query_only = ON")
            connection.execute("PRAGMA wal_autocheckpoint = 0")
            connection.execute("PRAGMA trusted_schema = OFF")
            connection.execute("PRAGMA cell_size_check = ON")
            _belongs_here(connection)
            return _Prover(connection, keys, folds).prove()
        finally:
            connection.close()


def _belongs_here(connection: sqlite3.Connection) -> None:
    if connection.execute("PRAGMA application_id").fetchone()[0] != APPLICATION_ID:
        raise Outage("foreign", file=FILE)
    version, known = connection.execute("PRAGMA user_version").fetchone()[0], len(migrations())
    if version > known:
        raise Outage("newer", version=version, known=known)


class _Prover:
    def __init__(self, connection: sqlite3.Connection, keys: Keys | None, folds: bool) -> None:
        self._connection, self._keys, self.proof = connection, keys, Proof()
        tables = connection.execute("SELECT name FROM sqlite_schema WHERE type IN ('table', 'view')")
        self._tables = frozenset(row[0] for row in tables)
        self._folds = folds
        self._own: tuple[Incarnation, ...] = ()
        self._origin = ""
        self._public: dict[str, bytes | None] = {}
        self._ends: dict[str, int] = {}
        self._again: dict[str, int] = {}

    def prove(self) -> Proof:
        for part in (
            *(self._file, self._own_chain, self._other_chains, self._heads, self._beside_key),
            *(self._projections, self._versions),
        ):
            try:
                part()
            except (sqlite3.Error, UnicodeDecodeError) as fault:  # a page that can not be read, wherever it lies
                self.proof.bad("unreadable", why=str(fault))
        return self.proof

    def _file(self) -> None:
        said = [row[0] for row in self._connection.execute("PRAGMA integrity_check")]
        for line in said if said != ["ok"] else ():
            self.proof.bad("file", why=line)
        broken = self._connection.execute("PRAGMA foreign_key_check").fetchall()
        if broken:
            self.proof.bad("file", why=f"foreign keys: {len(broken)}")

    def _own_chain(self) -> None:
        meta = dict(self._connection.execute("SELECT k, v FROM meta"))
        self.proof.bench, self._origin = meta.get("bench", ""), meta.get("origin", "")
        self._own = incarnations(self._connection)
        if self._own and self._own[-1].origin != self._origin:
            self.proof.bad("renamed", bench=self.proof.bench)
        last = self._connection.execute("SELECT seq, h FROM event ORDER BY seq DESC LIMIT 1").fetchone() or (0, FIRST)
        self.proof.events, self.proof.head = last
        self._again = dict(self._all("relinked", _TOLD_AGAIN))
        walk = Walk(spans(self._own, self._origin))
        self.proof.first_bad = self._walk(walk, last[0], _OWN.format(told_by(self._connection)))
        if self.proof.first_bad is not None:
            self.proof.bad("chain", bench=self.proof.bench, seq=self.proof.first_bad)
        self._public.update({one.origin: one.public_key for one in self._own})
        if not self._own:
            self._told(self._origin, self.proof.bench, 0, last[0], "first")
            return
        ends = [*(one.after_seq for one in self._own[1:]), last[0]]
        for one, end in zip(self._own, ends, strict=True):
            self._told(one.origin, self.proof.bench, one.after_seq, end, one.why)
            self._as_kept(one)
            self._says_so(one)

    def _as_kept(self, one: Incarnation) -> None:
        """What an origin tells again must hold as the one before has kept it too."""
        if (last := self._again.get(one.origin)) is None or one.was_origin is None:
            return
        walk = Walk((Span(one.after_seq, one.was_origin, one.was_h),), seq=one.after_seq, before=one.was_h)
        bad = self._walk(walk, last, _AS_KEPT)
        if bad is not None:
            self.proof.bad("chain", bench=self.proof.bench, seq=bad)
        self._ends[one.was_origin] = max(last, self._ends.get(one.was_origin, 0))

    def _says_so(self, one: Incarnation) -> None:
        """The first new event of an origin says whose it is and with which key: its key stands under the chain."""
        if one.why == "first":
            return
        first = self._again.get(one.origin, one.after_seq) + 1
        row = self._connection.execute("SELECT typ, ver, body FROM event WHERE seq = ?", (first,)).fetchone()
        try:
            event: Any = decode(*row) if row else None
        except CodecFault:
            event = None
        said = (getattr(event, "origin", ""), getattr(event, "was", ""), getattr(event, "key", ""))
        if said != (one.origin, one.was_origin, one.public_key.hex()):
            self.proof.bad("not_said", origin=one.origin[:8], seq=first)

    def _other_chains(self) -> None:
        begins = {row[0]: row[1:] for row in self._begins()}
        self._public.update({origin: row[3] for origin, row in begins.items() if origin not in self._public})
        for origin, last, station in self._all("remote_event", _STATIONS):
            _, after, h, _ = begins.get(origin, (None, 0, FIRST, None))
            walk = Walk((Span(after, origin, h),), seq=after, before=h)
            bad = self._walk(walk, last, _OTHER, origin)
            if bad is not None:
                self.proof.bad("other_chain", bench=station, origin=origin[:8], seq=bad)
            self._told(origin, station, after, last, "heard")

    def _told(self, origin: str, station: str, after: int, last: int, why: str) -> None:
        self._ends[origin] = max(last, self._ends.get(origin, 0))
        self.proof.origins.append({"origin": origin, "station": station, "from": after + 1, "to": last, "why": why})

    def _walk(self, walk: Walk, last: int, sql: str, *of: str) -> int | None:
        """The first number up to `last` that is missing, changed or unreadable, or None."""
        for batch in (_BATCH, 1):  # where a page can not be read, row by row up to it
            try:
                for row in self._rows(walk, last, batch, sql, *of):
                    if not walk.step(row):
                        return walk.seq + 1
                return walk.seq + 1 if walk.seq < last else None
            except (sqlite3.Error, UnicodeDecodeError):
                continue
        return walk.seq + 1

    def _rows(self, walk: Walk, last: int, batch: int, sql: str, *of: str) -> Iterator[Any]:
        while True:
            rows = self._connection.execute(sql, (*of, walk.seq, last, batch)).fetchall()
            yield from rows
            if len(rows) < batch:
                return

    def _heads(self) -> None:
        for row in self._all("signed_head", _HEADS):
            origin, seq, hlc, h, at_ms, sig = row
            head = SignedHead(origin=origin, seq=seq, hlc=hlc, h=h, at_ms=at_ms, sig=sig)
            key = self._public.get(origin)
            if key is None or not proven(head, key):
                self.proof.bad("head_sig", origin=origin[:8], seq=seq)
            elif seq > self._ends.get(origin, 0):
                if any(one.origin == origin for one in self._own):
                    self.proof.bad("head_beyond", origin=origin[:8], seq=seq)
            elif (h, hlc) not in self._at(origin, seq):
                self.proof.bad("head_differs", origin=origin[:8], seq=seq)
            self.proof.signed += 1

    def _at(self, origin: str, seq: int) -> list[Any]:
        """The hash and clock reading of an event, where it was kept here and where it was heard."""
        own = any(one.origin == origin for one in self._own)
        names = {origin, self._origin} if own else {origin}
        return [row for name in names for row in self._connection.execute(_AT, (name, seq))]

    def _beside_key(self) -> None:
        """The newest head beside the key: the log must still go that far, as it was then."""
        head = self._keys.noted(self._origin) if self._keys else None
        if head is not None and (head.h, head.hlc) not in self._at(self._origin, head.seq):
            self.proof.bad("rolled_back", bench=self.proof.bench, seq=head.seq)

    def _projections(self) -> None:
        """Each bench noted as folded up to an event must be what the fold makes of the log up to there.

        The facts are asked of a log that holds: of another one nobody knows what it should say.
        """
        if not self._folds:
            return
        logs = {self._origin: Whole(self._origin, self.proof.events)}
        own = {one.origin for one in self._own}
        for origin, was, after, _, _ in self._begins():
            logs[origin] = Whole(origin, self._ends.get(origin, 0), self._origin if was in own else was or "", after)
        looked = unlike(self._connection, self._tables, logs, self._origin)
        self.proof.projections = looked.notes
        for kind, origin, seq in looked.wrong:
            self.proof.bad(kind, origin=origin[:8], seq=seq)
        if "fact_trip" in self._tables and not self.proof.faults:
            self.proof.projections += len(FACTS)
            for name, rows in unlike_facts(self._connection).items():
                self.proof.bad("facts", name=name, rows=rows)

    def _versions(self) -> None:
        """Each version of the catalogue and the policy must be as it was kept."""
        for name in ("catalogue", "policy"):
            for version, body, h in self._all(name, f"SELECT version, body, h FROM {name}"):  # noqa: S608
                if hashlib.sha256(body).digest() != h:
                    self.proof.bad("version", name=name, version=version)

    def _begins(self) -> list[Any]:
        return self._all("remote_origin", _BEGINS)

    def _all(self, table: str, sql: str) -> list[Any]:
        """Every row of a table; none where the file is of a program that did not have it."""
        return self._connection.execute(sql).fetchall() if table in self._tables else []
