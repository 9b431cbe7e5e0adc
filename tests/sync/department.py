"""A department's hub in a database of its own on the tests' server, with the benches that were let in."""

import uuid
from dataclasses import dataclass, field
from itertools import count
from typing import Any

import psycopg
from cryptography.hazmat.primitives.asymmetric.ed25519 import Ed25519PrivateKey

from kiosk.store.keys import SignedHead
from kiosk.sync.founding import Incarnation, administrator, enroll, lay
from kiosk.sync.hub import Hub
from tests.sync.rows import Row
from tests.sync.server import Server

_numbers = count(1)


@dataclass
class Let:
    """A bench that was let in: its login, its password, its log's origin and key."""

    name: str
    login: str
    password: str
    origin: str
    key: Ed25519PrivateKey

    def signed(self, row: Row) -> SignedHead:
        """The head at this row, signed with the bench's key over bytes as the plan of the log writes them down."""
        seq, hlc, h = row[0], row[1], row[15]
        said = b"spl-head1" + self.origin.encode() + seq.to_bytes(8, "big") + hlc.to_bytes(8, "big") + h
        return SignedHead(origin=self.origin, seq=seq, h=h, hlc=hlc, at_ms=row[3], sig=self.key.sign(said))


@dataclass
class Department:
    """One database laid as a hub. `dept` is unlike any other test's: logins belong to the whole server."""

    server: Server
    name: str
    dept: str
    open: list[Hub] = field(default_factory=list)

    def let_in(
        self,
        bench: str,
        *,
        dept: str = "",
        origin: str = "",
        known: Let | None = None,
        follows: Incarnation | None = None,
    ) -> Let:
        """Let a bench in with a new log; `known`: the same bench with a further log."""
        key, origin = Ed25519PrivateKey.generate(), origin or str(uuid.uuid4())
        with administrator(self.server.socket_url(self.name)) as connection:
            login, password = enroll(
                connection,
                department=dept or self.dept,
                bench=bench,
                origin=origin,
                public_key=key.public_key().public_bytes_raw(),
                follows=follows,
            )
        return Let(bench, login, password or (known.password if known else ""), origin, key)

    def hub(self, let: Let, *, port: int = 0, **more: Any) -> Hub:
        """The hub as this bench reaches it, by loopback; closed at the end of the test."""
        hub = Hub(self.server.url(self.name, port), plain=True, user=let.login, password=let.password, **more)
        self.open.append(hub)
        return hub

    def root(self) -> "psycopg.Connection[tuple[Any, ...]]":
        """The superuser's connection, each statement by itself; the caller closes it."""
        return psycopg.connect(self.server.socket_url(self.name), autocommit=True)

    def ask(self, sql: str, *values: object) -> list[tuple[Any, ...]]:
        """What the superuser reads."""
        with self.root() as connection:
            return connection.execute(sql.encode(), values).fetchall()

    def stored(self, origin: str) -> list[Row]:
        """What the hub holds of a log, whatever its partition, in the order of the columns of the chain."""
        columns = "seq, hlc, ver, at_ms, offset_min, trusted, policy, record, id, cls, typ, bench, who, trip, body, h"
        return self.ask(f"SELECT {columns} FROM sync.event WHERE origin = %s ORDER BY seq, recv", origin)

    def server_copy(self, name: str) -> None:
        """A backup of the whole hub, as it is now."""
        self._hang_up()
        with psycopg.connect(self.server.socket_url(), autocommit=True) as connection:
            connection.execute(f"CREATE DATABASE {self.name}_{name} TEMPLATE {self.name}".encode())

    def set_back(self, name: str) -> None:
        """The hub as it was when that backup was made, with its rights laid anew."""
        self._hang_up()
        with psycopg.connect(self.server.socket_url(), autocommit=True) as connection:
            connection.execute(f"DROP DATABASE {self.name} WITH (FORCE)".encode())
            connection.execute(f"ALTER DATABASE {self.name}_{name} RENAME TO {self.name}".encode())
        with administrator(self.server.socket_url(self.name)) as laying:
            lay(laying)

    def _hang_up(self) -> None:
        """Nobody is connected: the server copies no database that is in use."""
        with psycopg.connect(self.server.socket_url(), autocommit=True) as connection:
            connection.execute(
                "SELECT pg_terminate_backend(pid, 5000) FROM pg_stat_activity WHERE datname = %s", (self.name,)
            )
        for hub in self.open:
            hub.hang_up()

    def close(self) -> None:
        """Let go, and take the database away."""
        for hub in self.open:
            hub.close()
        with psycopg.connect(self.server.socket_url(), autocommit=True) as connection:
            connection.execute(f"DROP DATABASE {self.name} WITH (FORCE)".encode())


_TEMPLATE = "hub_laid"


def new_department(server: Server) -> Department:
    """A new database on the server, laid: copied from one that was, and its rights given anew."""
    name = f"hub_{next(_numbers)}"
    with psycopg.connect(server.socket_url(), autocommit=True) as connection:
        there = connection.execute("SELECT FROM pg_database WHERE datname = %s", (_TEMPLATE,)).fetchone()
        if there is None:
            connection.execute(f"CREATE DATABASE {_TEMPLATE}".encode())
            with administrator(server.socket_url(_TEMPLATE)) as laying:
                lay(laying)
        connection.execute(f"CREATE DATABASE {name} TEMPLATE {_TEMPLATE}".encode())
    with administrator(server.socket_url(name)) as connection:
        assert lay(connection)[0] > 0
    return Department(server, name, f"day{name}")
