"""How a hub stands, for its administrator: how far each log is, what wants a person, whether it may be relied on."""

from datetime import datetime
from typing import TYPE_CHECKING, Any, NamedTuple

if TYPE_CHECKING:
    from psycopg import Connection

_LOGS = (
    "SELECT o.dept, b.bench, o.origin::text, o.state, d.seq, d.recv, d.behind_ms, "
    "(SELECT count(*) FROM sync.fork f WHERE f.origin = o.origin) "
    "FROM sync.origin o JOIN sync.bench b USING (login) JOIN sync.head d USING (origin) ORDER BY 1, 2, o.enrolled"
)
_COUNTS = (
    "SELECT d.origin::text, d.seq - o.after_seq, (SELECT count(*) FROM sync.event e WHERE e.origin = d.origin) "
    "FROM sync.head d JOIN sync.origin o USING (origin)"
)
_MONTHS = (
    "SELECT count(*) FROM pg_class WHERE relnamespace = 'sync'::regnamespace AND relispartition AND relkind = 'r' "
    "AND relname > 'event_' || to_char(now() AT TIME ZONE 'UTC', 'YYYY_MM')"
)


class LogStanding(NamedTuple):
    """One log at the hub. `forks`: events of another branch that are kept aside."""

    department: str
    bench: str
    origin: str
    state: str
    seq: int
    last: datetime | None
    behind_ms: int | None
    forks: int


class HubStanding(NamedTuple):
    """The hub: schema version, every log, open conflicts, months made ahead, logs whose count is not their number."""

    version: int
    logs: tuple[LogStanding, ...]
    conflicts: int
    months_ahead: int
    uneven: tuple[str, ...]


def standing(connection: "Connection[tuple[Any, ...]]") -> HubStanding:
    """Ask the hub, as its administrator."""

    def one(sql: str) -> int:
        row = connection.execute(sql.encode()).fetchone()
        assert row is not None
        return int(row[0])

    return HubStanding(
        version=one("SELECT coalesce(max(number), 0) FROM sync.laid"),
        logs=tuple(LogStanding(*row) for row in connection.execute(_LOGS.encode()).fetchall()),
        conflicts=one("SELECT count(*) FROM sync.conflict WHERE closed_by_event IS NULL"),
        months_ahead=one(_MONTHS),
        uneven=tuple(origin for origin, seq, n in connection.execute(_COUNTS.encode()).fetchall() if seq != n),
    )
