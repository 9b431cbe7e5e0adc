"""The hub as a bench sees it: heads, push, pull over one connection that never waits long. Errors are Outages."""

from collections.abc import Iterator, Mapping, Sequence
from contextlib import contextmanager
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any, Self

from kiosk.store.heard import Was
from kiosk.store.keys import SignedHead
from kiosk.store.outage import Outage
from kiosk.sync.address import conninfo
from kiosk.sync.arrays import Blobs, Integers, Texts, blobs, integers, texts
from kiosk.sync.watchdog import Watchdog

if TYPE_CHECKING:
    from psycopg import Connection

BATCH = 500
"""Rows of a push: enough that the way there and back counts little, few enough that a cut repeats little."""

PATIENCE_S = 1.5
"""How long one answer may take before the line is cut."""

_PUSH = (
    f"SELECT * FROM sync_api.push(%b::text::uuid, %b::int8, {', '.join(['%b'] * 15)}, "  # noqa: S608
    "%b::int8, %b::int8, %b::int8, %b::bytea, %b::int8, %b::bytea)"
)
_PULL = "SELECT * FROM sync_api.pull(%b::text::uuid, %b::int8, %b::int4)"
_LACKING = "SELECT * FROM sync_api.pictures_lacking(%b)"
_PUSH_PICTURE = "SELECT * FROM sync_api.push_picture(%b, %b::int8, %b::int4, %b)"
_PULL_PICTURE = "SELECT * FROM sync_api.pull_picture(%b, %b::int4)"
_HEADS = "SELECT * FROM sync_api.heads()"


@dataclass(frozen=True, slots=True, kw_only=True)
class HubHead:
    """How far one log of the department is at the hub, where it begins, and its newest signed head there."""

    origin: str
    bench: str
    own: bool  # is it of the login that asks?
    state: str  # active, forked, retired
    seq: int
    h: bytes
    public_key: bytes
    after_seq: int
    was: Was | None
    signed: SignedHead | None


@dataclass(frozen=True, slots=True, kw_only=True)
class Answer:
    """What came of a push: a code of sync.take (db/postgres), and where the hub's head is; of badhash, the bad row."""

    code: str
    seq: int
    h: bytes


class Hub:
    """One connection to a hub, for one thread. Opened when it is first needed; closed by whatever goes wrong."""

    def __init__(self, url: str, *, plain: bool = False, patience_s: float = PATIENCE_S, **more: Any) -> None:
        self._told = conninfo(url, plain=plain, **more)
        self._patience_s = patience_s
        self._connection: Connection[tuple[Any, ...]] | None = None
        self._watchdog = Watchdog()

    def __enter__(self) -> Self:
        return self

    def __exit__(self, *_: object) -> None:
        self.close()

    def close(self) -> None:
        """Let go of the connection and of the thread that watches it."""
        self.hang_up()
        self._watchdog.close()

    def hang_up(self) -> None:
        """Let go of the connection; the next question opens a new one."""
        if self._connection is not None:
            self._connection.close()
            self._connection = None

    def heads(self) -> Mapping[str, HubHead]:
        """Every log of the department that the hub knows, by origin."""
        return {head.origin: head for head in map(_head, self._ask(_HEADS, ()))}

    def push(
        self, origin: str, rows: Sequence[Sequence[Any]], *, sent_ms: int, signed: SignedHead | None = None
    ) -> Answer:
        """Send rows of an own log, one after the other (columns in the order of chain.COLUMNS)."""
        columns = list(zip(*rows, strict=True))
        head = (signed.seq, signed.hlc, signed.h, signed.at_ms, signed.sig) if signed else (None,) * 5
        values = (
            origin, rows[0][0],
            *(integers(column) for column in columns[1:8]),
            *(texts(column) for column in columns[8:14]),
            blobs(columns[14]), blobs(columns[15]),
            sent_ms, *head,
        )  # fmt: skip
        code, seq, h = self._ask(_PUSH, values)[0]
        return Answer(code=code, seq=seq, h=h)

    def pull(self, origin: str, after: int, limit: int) -> list[tuple[Any, ...]]:
        """The next rows of one log of the department, at most so many."""
        return self._ask(_PULL, (origin, after, limit))

    def pictures_lacking(self, hashes: Sequence[bytes]) -> set[bytes]:
        """Of these pictures, by SHA-256 (32 bytes each), those that the hub does not have."""
        return {bytes(row[0]) for row in self._ask(_LACKING, (blobs(hashes),))}

    def push_picture(self, sha256: bytes, size: int, n: int, body: bytes) -> tuple[str, int]:
        """Send part `n`, from 0, of a picture of `size` bytes. A code (db/postgres 0003), and the part that is next."""
        code, after = self._ask(_PUSH_PICTURE, (sha256, size, n, body))[0]
        return str(code), int(after)

    def pull_picture(self, sha256: bytes, n: int) -> tuple[int, bytes] | None:
        """Size of the whole picture and its part `n`; None where the hub does not have it."""
        rows = self._ask(_PULL_PICTURE, (sha256, n))
        return (int(rows[0][0]), bytes(rows[0][1])) if rows else None

    def listen(self, channel: str) -> None:
        """Ask to be woken by what others push. Only a hint: nothing rests on it."""
        self._ask(f'LISTEN "{channel}"', ())

    def wakes(self) -> bool:
        """Was this connection woken since? Never waits."""
        if self._connection is None:
            return False
        with self._told_as_outage():
            return any(True for _ in self._connection.notifies(timeout=0))

    def handle(self) -> int | None:
        """The open connection's file handle, to wait on."""
        return None if self._connection is None else self._connection.fileno()

    def _ask(self, sql: str, values: Sequence[object]) -> list[tuple[Any, ...]]:
        with self._told_as_outage():
            connection = self._connection or self._open()
            with self._watchdog.over(connection.fileno(), self._patience_s), connection.cursor(binary=True) as cursor:
                cursor.execute(sql, values, prepare=False)
                return cursor.fetchall() if cursor.description else []

    def _open(self) -> "Connection[tuple[Any, ...]]":
        from psycopg import connect

        connection = connect(**self._told, autocommit=True, prepare_threshold=None)
        for kind, dumper in _dumpers().items():
            connection.adapters.register_dumper(kind, dumper)
        self._connection = connection
        return connection

    @contextmanager
    def _told_as_outage(self) -> Iterator[None]:
        from psycopg import Error

        try:
            yield
        except Error as fault:
            self.hang_up()
            raise outage_of(fault, cut=self._watchdog.cut) from fault
        except OSError as fault:  # the handle went away between two steps
            self.hang_up()
            raise Outage("hub_away") from fault


def outage_of(fault: Any, *, cut: bool = False) -> Outage:
    """The sentence for what psycopg says. States are those of PostgreSQL's appendix A; the classes, its first two."""
    state = str(fault.sqlstate or "")
    if cut:
        return Outage("hub_silent")
    # What goes wrong while a connection comes about has words only, and no state.
    if state.startswith("28") or "password authentication" in str(fault) or "pg_hba.conf" in str(fault):
        return Outage("hub_refused")
    if any(said in str(fault) for said in ("certificate", "does not support SSL", "channel binding")):
        return Outage("hub_not_proved")
    if state == "42501":
        return Outage("hub_not_ours")
    if state[:2] in {"53", "25"}:
        return Outage("hub_full")
    if state in {"57014", "55P03"}:
        return Outage("hub_silent")
    if state[:2] in {"3F", "42"}:
        return Outage("hub_other_version")
    if state and state[:2] not in {"08", "57"}:
        return Outage("hub_said", why=str(fault).splitlines()[0])
    return Outage("hub_away")


def _head(row: tuple[Any, ...]) -> HubHead:
    origin, bench, own, state, seq, h, key, after, was_origin, was_h, s_seq, s_hlc, s_h, s_at, sig = row
    return HubHead(
        origin=str(origin),
        bench=bench,
        own=own,
        state=state,
        seq=seq,
        h=h,
        public_key=key,
        after_seq=after,
        was=Was(str(was_origin), after, was_h) if was_origin else None,
        signed=SignedHead(origin=str(origin), seq=s_seq, h=s_h, hlc=s_hlc, at_ms=s_at, sig=sig) if sig else None,
    )


def _dumpers() -> Mapping[type, Any]:
    """What hands packed arrays to psycopg as they are."""
    from psycopg.adapt import Dumper
    from psycopg.pq import Format

    class _AsItIs(Dumper):
        format = Format.BINARY

        def dump(self, obj: Any) -> bytes:
            return bytes(obj)

    return {kind: type(kind.__name__, (_AsItIs,), {"oid": kind.oid}) for kind in (Integers, Texts, Blobs)}
