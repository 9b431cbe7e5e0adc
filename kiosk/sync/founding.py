"""Lays a hub: roles, schema, rights; lets benches and readers in. What an administrator does, never a bench."""

import secrets
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import TYPE_CHECKING, Any, NamedTuple

from kiosk.places import DB
from kiosk.store.migrate import migrations
from kiosk.store.outage import Outage
from kiosk.sync.address import conninfo

if TYPE_CHECKING:
    from psycopg import Connection

OWNER, BENCH, READER = "throughlight_owner", "throughlight_bench", "throughlight_reader"
MONTHS_AHEAD = 3
LEAST_SERVER = 15_00_00

_LIMITS = {  # of every login that is let in
    "statement_timeout": "10s",
    "lock_timeout": "5s",
    "idle_in_transaction_session_timeout": "10s",
    "idle_session_timeout": "60s",  # a bench that went away leaves no session behind
    "tcp_keepalives_idle": "10",
    "tcp_keepalives_interval": "5",
    "tcp_keepalives_count": "3",
}
_SAFE = {"fsync": "on", "full_page_writes": "on", "synchronous_commit": "on"}
_VERSION = "SELECT coalesce(max(number), 0) FROM sync.laid"


class Incarnation(NamedTuple):
    """Where a log begins that follows another: the number, the other's origin, the hash of that event."""

    after_seq: int
    was_origin: str
    was_h: bytes


@contextmanager
def administrator(url: str, *, plain: bool = False, ca: str = "") -> "Iterator[Connection[tuple[Any, ...]]]":
    """A connection in one transaction, as the administrator named by the URL. Raises Outage."""
    from psycopg import Error, connect

    from kiosk.sync.hub import outage_of

    try:
        with connect(**conninfo(url, plain=plain, sslrootcert=ca)) as connection:
            connection.execute("SET TIME ZONE 'UTC'")
            yield connection
    except Error as fault:
        raise outage_of(fault) from fault


def lay(connection: "Connection[tuple[Any, ...]]", folder: Path = DB / "postgres") -> tuple[int, int]:
    """Lay what is not there yet: roles, schema, migrations, months ahead. Returns the version before and after.

    Doing it again changes nothing. Raises Outage for a newer program's hub, an old server, unsafe settings.
    """
    execute = connection.execute
    _look(connection)
    execute("SELECT pg_advisory_xact_lock(hashtext('throughlight hub'))")
    for role in (OWNER, BENCH, READER):
        execute(
            f"DO $$ BEGIN CREATE ROLE {role} NOLOGIN NOSUPERUSER NOCREATEDB NOCREATEROLE NOINHERIT; "
            "EXCEPTION WHEN duplicate_object THEN NULL; END $$"
        )
    for schema in ("sync", "sync_api"):
        execute(f"CREATE SCHEMA IF NOT EXISTS {schema} AUTHORIZATION {OWNER}")
    execute(
        "CREATE TABLE IF NOT EXISTS sync.laid (number integer PRIMARY KEY, name text NOT NULL, "
        "at timestamptz NOT NULL DEFAULT clock_timestamp())"
    )
    files = migrations(folder)
    (before,) = _one(connection, _VERSION)
    if before > len(files):
        raise Outage("hub_newer", version=before, known=len(files))
    for number, path in enumerate(files[before:], before + 1):
        execute(f"SET LOCAL ROLE {OWNER}")
        execute(path.read_bytes())
        execute("RESET ROLE")
        execute("INSERT INTO sync.laid (number, name) VALUES (%s, %s)", (number, path.stem))
    _rights(connection)
    execute("SELECT sync.make_partitions(now(), %s)", (MONTHS_AHEAD,))
    return before, len(files)


def _look(connection: "Connection[tuple[Any, ...]]") -> None:
    if connection.info.server_version < LEAST_SERVER:
        raise Outage("hub_old_server", version=connection.info.server_version // 10_000)
    settings = {"server_encoding": "UTF8", **_SAFE}
    for name, wanted in settings.items():
        (got,) = _one(connection, f"SHOW {name}")
        if got != wanted:
            raise Outage("hub_setting", name=name, got=got, wanted=wanted)


def _rights(connection: "Connection[tuple[Any, ...]]") -> None:
    """Who may come in at all: only the roles of this hub; nobody makes temporary tables."""
    from psycopg import sql

    name = sql.Identifier(connection.info.dbname)
    for line in (
        "REVOKE ALL ON DATABASE {} FROM PUBLIC",
        f"GRANT CONNECT ON DATABASE {{}} TO {BENCH}, {READER}",
        "REVOKE ALL ON SCHEMA public FROM PUBLIC",
    ):
        connection.execute(sql.SQL(line).format(name) if "{}" in line else line)


def enroll(
    connection: "Connection[tuple[Any, ...]]",
    *,
    department: str,
    bench: str,
    origin: str,
    public_key: bytes,
    follows: Incarnation | None = None,
) -> tuple[str, str | None]:
    """Let a bench in with one log. Returns its login, and its password where the login is new: kept nowhere here.

    A bench that is known already keeps login and password, and is given the further log.
    """
    if len(public_key) != 32:
        raise Outage("hub_key")
    login = login_of("bench", department, bench)
    password = _let_in(connection, login, BENCH, connections=4)
    execute = connection.execute
    execute("INSERT INTO sync.bench VALUES (%s, %s, %s) ON CONFLICT DO NOTHING", (login, department, bench))
    after, was_origin, was_h = follows or (0, None, bytes(32))
    row = (origin, login, department, public_key, after, was_origin, was_h)
    execute(
        "INSERT INTO sync.origin (origin, login, dept, pubkey, after_seq, was_origin, was_h) "
        "VALUES (%s, %s, %s, %s, %s, %s, %s) ON CONFLICT DO NOTHING",
        row,
    )
    found = _one(
        connection,
        "SELECT origin::text, login, dept, pubkey, after_seq, was_origin::text, was_h FROM sync.origin "
        "WHERE origin = %s",
        (origin,),
    )
    if tuple(found) != row:
        raise Outage("hub_taken", origin=origin)
    execute("INSERT INTO sync.head VALUES (%s, %s, %s, %s) ON CONFLICT DO NOTHING", (origin, department, after, was_h))
    return login, password


def enroll_reader(connection: "Connection[tuple[Any, ...]]", *, department: str, name: str) -> tuple[str, str | None]:
    """Let people or reports read one department. Returns login and, where it is new, password."""
    login = login_of("reader", department, name)
    password = _let_in(connection, login, READER, connections=4)
    connection.execute("INSERT INTO sync.reader VALUES (%s, %s) ON CONFLICT DO NOTHING", (login, department))
    return login, password


def login_of(kind: str, department: str, name: str) -> str:
    """The login of a bench or reader: plain letters, figures and underscores, at most 63."""
    words = "_".join(part for part in (kind, department, name) if part)
    plain = "".join(sign if sign.isascii() and sign.isalnum() else "_" for sign in words.lower())
    if len(plain) > 63 or not department or not name:
        raise Outage("hub_name")
    return plain


def _let_in(connection: "Connection[tuple[Any, ...]]", login: str, role: str, *, connections: int) -> str | None:
    """Make the login where it is new, with what binds it. Its password is hashed here: the server never logs it."""
    from psycopg import sql

    name = sql.Identifier(login)
    known = connection.execute("SELECT FROM pg_roles WHERE rolname = %s", (login,)).fetchone()
    password = None
    if known is None:
        password = secrets.token_urlsafe(32)
        hashed = connection.pgconn.encrypt_password(password.encode(), login.encode(), b"scram-sha-256").decode()
        connection.execute(
            sql.SQL(
                "CREATE ROLE {} LOGIN NOSUPERUSER NOCREATEDB NOCREATEROLE INHERIT CONNECTION LIMIT {} PASSWORD {}"
            ).format(name, sql.Literal(connections), sql.Literal(hashed))
        )
        connection.execute(sql.SQL("GRANT {} TO {}").format(sql.Identifier(role), name))
    for setting, value in _LIMITS.items():
        connection.execute(
            sql.SQL("ALTER ROLE {} SET {} = {}").format(name, sql.Identifier(setting), sql.Literal(value))
        )
    return password


def _one(connection: "Connection[tuple[Any, ...]]", query: str, values: tuple[object, ...] = ()) -> Any:
    row = connection.execute(query.encode(), values).fetchone()
    assert row is not None
    return row
