"""The catalogue and the department's own policy values in the store: every version whole, the newest in use."""

import hashlib
from collections.abc import Mapping
from dataclasses import replace
from decimal import Decimal
from typing import Any, Literal

from kiosk.core.catalogue import Catalogue
from kiosk.store.catalogue_load import uncollected
from kiosk.store.codec import Tree, canonical, from_bytes, parse, to_bytes
from kiosk.store.database import Store
from kiosk.store.outage import Outage, outages


@uncollected()
def keep_catalogue(store: Store, catalogue: Catalogue, *, at_ms: int, who: str | None = None) -> int:
    """Keep the catalogue as the next version and return its number; it is the record's own `version`. Raises Outage."""
    with store.transaction():
        version = _next(store, "catalogue")
        _insert(store, "catalogue", version, at_ms, who, to_bytes(replace(catalogue, version=version)))
    return version


@uncollected()
def latest_catalogue(store: Store) -> Catalogue | None:
    """The newest catalogue, or None where none was loaded yet. Raises Outage."""
    newest = _newest(store, "catalogue")
    return from_bytes(Catalogue, newest[1]) if newest else None


def catalogue_kept_ms(store: Store) -> int:
    """When the newest catalogue was loaded (Unix ms); 0 where there is none. Raises Outage."""
    with outages():
        row = store.db.conn.execute("SELECT at_ms FROM catalogue ORDER BY version DESC LIMIT 1").fetchone()
    return int(row[0]) if row else 0


def keep_policy(store: Store, own: Mapping[str, Any], *, at_ms: int, who: str | None = None) -> int:
    """Keep the department's own policy values (as read from YAML) as the next version; returns it. Raises Outage."""
    body = canonical(_without_floats(own))
    with store.transaction():
        version = _next(store, "policy")
        _insert(store, "policy", version, at_ms, who, body)
    return version


def latest_policy(store: Store) -> tuple[int, dict[str, Any]] | None:
    """The newest (version, own values), for `kiosk.resources.policy`; None where the default holds. Raises Outage."""
    newest = _newest(store, "policy")
    return (newest[0], parse(newest[1])) if newest else None


_Table = Literal["catalogue", "policy"]


def _next(store: Store, table: _Table) -> int:
    newest: int = store.db.conn.execute(f"SELECT coalesce(max(version), 0) FROM {table}").fetchone()[0]  # noqa: S608
    return newest + 1


def _insert(store: Store, table: _Table, version: int, at_ms: int, who: str | None, body: bytes) -> None:
    store.db.conn.execute(f"INSERT INTO {table} VALUES (?, ?, ?, ?, ?)", (version, at_ms, who, body, _hash(body)))  # noqa: S608


def _newest(store: Store, table: _Table) -> tuple[int, bytes] | None:
    sql = f"SELECT version, body, h FROM {table} ORDER BY version DESC LIMIT 1"  # noqa: S608
    with outages():
        row = store.db.conn.execute(sql).fetchone()
    if row is None:
        return None
    version, body, h = row
    if not isinstance(body, bytes) or _hash(body) != h:
        raise Outage("damaged")
    return version, body


def _hash(body: bytes) -> bytes:
    return hashlib.sha256(body).digest()


def _without_floats(value: Any) -> Tree:
    """Numbers with a point become text, which the policy reads as well: 0.9 stays 0.9."""
    if isinstance(value, Mapping):
        return {str(key): _without_floats(each) for key, each in value.items()}
    if isinstance(value, list | tuple):
        return [_without_floats(each) for each in value]
    return str(value) if isinstance(value, float | Decimal) else value
