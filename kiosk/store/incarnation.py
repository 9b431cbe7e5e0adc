"""Under which origin a log goes on. One that was copied, restored or rolled back never goes on under its old one.

    first     a new store; or one of before there were keys, which is given its key at its next start
    copied    its key does not lie here: the folder was copied, or the disk's contents moved to another machine
    restored  it was put back from a backup, or it ends before the newest head that its key has signed
    fork      another log says otherwise under the same origin

Nothing that was kept is taken away: the log goes on under a new origin from where it ends, and says so to people. After
a fork from where the two branches part: what was kept since is told again under the new origin, as the same events.
"""

import time
import uuid
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime

from sqlite_utils.utils import sqlite3

from kiosk.core.events import IncarnationBegan
from kiosk.core.stamp import Kept, Stamp
from kiosk.store.chain import COLUMNS, FIRST, Span, Walk, link
from kiosk.store.keys import Keys
from kiosk.store.outage import Outage
from kiosk.store.rows import head_of, put

RESTORED = "restored"
"""The mark in `meta` of a store that was put back and has not been opened since."""

_COLUMNS = "after_seq, origin, was_origin, was_h, at_ms, why, public_key"
_INSERT = f"INSERT INTO incarnation ({_COLUMNS}) VALUES (?, ?, ?, ?, ?, ?, ?)"  # noqa: S608
_SELECT = f"SELECT {_COLUMNS} FROM incarnation ORDER BY n"  # noqa: S608
_THERE = "SELECT 1 FROM sqlite_schema WHERE type = 'table' AND name = 'incarnation'"
_HASH = "SELECT h FROM own_event WHERE seq = ?"
_TOLD_AGAIN = "SELECT max(seq) FROM relinked"
_AFTER = f"SELECT {', '.join(COLUMNS)} FROM event WHERE seq > ? ORDER BY seq"  # noqa: S608
_VIEW = "SELECT name FROM sqlite_schema WHERE name = 'own_event'"
_VERSIONS = "SELECT policy, record FROM event ORDER BY seq DESC LIMIT 1"


@dataclass(frozen=True, slots=True)
class Incarnation:
    """From the number after `after_seq` on the log is written by `origin`. db/sqlite/0007_origins.sql says the rest."""

    after_seq: int
    origin: str
    was_origin: str | None
    was_h: bytes
    at_ms: int
    why: str
    public_key: bytes

    @property
    def span(self) -> Span:
        """Where it begins in the chain."""
        return Span(self.after_seq, self.origin, self.was_h)


def incarnations(connection: sqlite3.Connection) -> tuple[Incarnation, ...]:
    """Every incarnation of the log, the first one first; none in a file of before there were any."""
    if not connection.execute(_THERE).fetchone():
        return ()
    return tuple(Incarnation(*row) for row in connection.execute(_SELECT))


def told_by(connection: sqlite3.Connection) -> str:
    """What the log is read from as it is told: `own_event`, or `event` in a store that an older program left."""
    return "own_event" if connection.execute(_VIEW).fetchone() else "event"


def spans(known: Sequence[Incarnation], origin: str) -> tuple[Span, ...]:
    """Who wrote the log from where on; `origin` is the one that it says it is written by now.

    Where these two say different things, somebody changed the file: nobody wrote what is there, and no link holds.
    """
    if not known:
        return (Span(0, origin),)
    last = known[-1].span
    return (*(one.span for one in known[:-1]), last if last.origin == origin else last._replace(origin=""))


def settle(connection: sqlite3.Connection, keys: Keys, origin: str, bench: str) -> str:
    """Which origin the log goes on under; a new one is begun if it must be. Inside the caller's transaction."""
    known = incarnations(connection)
    if not known:
        public = keys.public(origin) or keys.make(origin)
        connection.execute(_INSERT, (0, origin, None, FIRST, _now_ms(), "first", public))
        return origin
    if known[-1].origin != origin:
        return origin  # somebody changed the file; the chain does not hold, and says so
    why = _why(connection, keys, known[-1])
    return begin(connection, keys, bench, why) if why else origin


def begin(connection: sqlite3.Connection, keys: Keys, bench: str, why: str, alike: int | None = None) -> str:
    """Begin a new origin where the log ends, inside the caller's transaction, with an event that says so.

    `alike`: the last number that is here and elsewhere under the old origin. What stands after it is told again, but
    for what was told again once before: that is of the origin before.
    """
    origin, last, now = str(uuid.uuid4()), incarnations(connection)[-1], _now_ms()
    head = head_of(connection)
    after, was_h = head.seq, head.h
    if alike is not None and alike < after:
        after = min(after, max(alike, last.after_seq, connection.execute(_TOLD_AGAIN).fetchone()[0] or 0))
        was_h = connection.execute(_HASH, (after,)).fetchone()[0] if after else FIRST
    _tell_again(connection, origin, Span(after, last.origin, was_h))
    public = keys.make(origin)
    connection.execute(_INSERT, (after, origin, last.origin, was_h, now, why, public))
    connection.execute("UPDATE meta SET v = ? WHERE k = 'origin'", (origin,))
    connection.execute("UPDATE bookmark SET origin = ? WHERE origin = ?", (origin, last.origin))
    connection.execute("DELETE FROM meta WHERE k = ?", (RESTORED,))
    event = IncarnationBegan(origin=origin, was=last.origin, after=after, why=why, key=public.hex())
    put(connection, origin, bench, [Kept(event=event, stamp=_stamp(connection, now))])
    return origin


def _tell_again(connection: sqlite3.Connection, origin: str, was: Span) -> None:
    """Link what was kept since under the new origin. What does not hold under the one before is not told again."""
    links, before = [], was.was_h
    walk = Walk((was,), seq=was.after_seq, before=was.was_h)
    for row in connection.execute(_AFTER, (was.after_seq,)):
        if not walk.step(row):
            raise Outage("damaged_from", seq=row[0])
        before = link(before, origin, row)
        links.append((row[0], origin, before))
    connection.executemany("INSERT INTO relinked VALUES (?, ?, ?)", links)


def _why(connection: sqlite3.Connection, keys: Keys, last: Incarnation) -> str:
    """Why the log may not go on under the origin that it has; "" where it may."""
    if connection.execute("SELECT 1 FROM meta WHERE k = ?", (RESTORED,)).fetchone():
        return "restored"
    if keys.public(last.origin) != last.public_key:
        return "copied"
    head = keys.noted(last.origin)
    if head is None:
        return ""
    there = connection.execute("SELECT h FROM event WHERE seq = ?", (head.seq,)).fetchone()
    return "" if there == (head.h,) else "restored"


def _stamp(connection: sqlite3.Connection, at_ms: int) -> Stamp:
    policy, record = connection.execute(_VERSIONS).fetchone() or (1, 1)
    offset = datetime.now().astimezone().utcoffset()
    minutes = int(offset.total_seconds() // 60) if offset is not None else 0
    return Stamp(
        at_ms=at_ms, offset_min=minutes, trusted=True, who=None, trip=None, policy=policy, record=record
    )  # fmt: skip


def _now_ms() -> int:
    return time.time_ns() // 1_000_000
