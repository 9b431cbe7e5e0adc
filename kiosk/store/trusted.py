"""The last time of day that was beyond doubt: what a clock is held against at the next start."""

from kiosk.store.database import Store
from kiosk.store.outage import outages

_LAST = "SELECT at_ms FROM event WHERE trusted = 1 OR typ = 'clock_right' ORDER BY seq DESC LIMIT 1"


def last_trusted_ms(store: Store) -> int | None:
    """When the newest event was kept whose clock was trusted, or was said to be right. Raises Outage."""
    with outages():
        found = store.db.conn.execute(_LAST).fetchone()
    return int(found[0]) if found else None
