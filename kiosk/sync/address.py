"""Where a hub is, and how it may be reached: TLS with the server's name proved, a Unix socket, or loopback if asked."""

from ipaddress import ip_address
from typing import Any

from kiosk.store.outage import Outage

CONNECT_S = 2
"""How long a connection may take to come about; the least that libpq knows."""

_MAY_SAY = {"host", "hostaddr", "port", "dbname", "user", "password", "sslrootcert", "sslmode"}


def conninfo(url: str, *, plain: bool = False, **more: Any) -> dict[str, Any]:
    """What libpq is told for this URL. `plain`: to loopback without TLS. `more`: login, password, own CA.

    Raises Outage for a URL that is none, or that would weaken how the server is proved.
    """
    from psycopg import Error
    from psycopg.conninfo import conninfo_to_dict

    try:
        told = conninfo_to_dict(url)
    except Error as fault:
        raise Outage("hub_url") from fault
    if not url.startswith(("postgresql://", "postgres://")) or set(told) - _MAY_SAY or not told.get("dbname"):
        raise Outage("hub_url")
    if told.get("sslmode", "verify-full") != "verify-full":
        raise Outage("hub_not_proved")
    told |= {key: value for key, value in more.items() if value}
    host = str(told.get("host") or told.get("hostaddr") or "")
    if "," in host:
        raise Outage("hub_url")
    common = {"connect_timeout": CONNECT_S, "gssencmode": "disable", "application_name": "throughlight"}
    if _is_socket(host):
        return {**told, **common, "sslmode": "disable"}
    if plain:
        if not _is_loopback(str(told.get("hostaddr") or host)):
            raise Outage("hub_plain")
        return {**told, **common, "sslmode": "disable"}
    told.setdefault("sslrootcert", "system")
    proved = {"sslmode": "verify-full", "ssl_min_protocol_version": "TLSv1.3", "channel_binding": "require"}
    return {**told, **common, **proved}


def _is_socket(host: str) -> bool:
    return host.startswith(("/", "@"))


def _is_loopback(host: str) -> bool:
    try:
        return ip_address(host).is_loopback
    except ValueError:
        return host == "localhost"
