"""The signed heads of a store: its own, and those heard from others."""

from kiosk.store.database import Store
from kiosk.store.keys import SignedHead
from kiosk.store.outage import outages
from kiosk.store.rows import head_of

_COLUMNS = "origin, seq, hlc, h, at_ms, sig"
_NEWEST = f"SELECT {_COLUMNS} FROM signed_head WHERE origin = ? ORDER BY seq DESC LIMIT 1"  # noqa: S608
_INSERT = f"INSERT INTO signed_head ({_COLUMNS}) VALUES (?, ?, ?, ?, ?, ?)"  # noqa: S608


class Heads:
    """The signed heads of one store. Every method raises Outage when the disk does not do its part."""

    def __init__(self, store: Store) -> None:
        self._store = store

    def newest(self, origin: str = "") -> SignedHead | None:
        """The newest signed head of an origin, this store's own where none is named."""
        with outages():
            row = self._store.db.conn.execute(_NEWEST, (origin or self._store.origin,)).fetchone()
        if row is None:
            return None
        name, seq, hlc, h, at_ms, sig = row
        return SignedHead(origin=name, seq=seq, hlc=hlc, h=h, at_ms=at_ms, sig=sig)

    def sign(self, at_ms: int) -> SignedHead | None:
        """Sign where the log ends, and keep that here and then beside the key; None where nothing came since."""
        origin, newest = self._store.origin, self.newest()
        with outages():
            head = head_of(self._store.db.conn)
        if head.seq == (newest.seq if newest else 0):
            return None
        signed = self._store.keys.sign(origin, head.seq, head.hlc, head.h, at_ms)
        if signed is not None:
            with self._store.transaction() as connection:
                connection.execute(_INSERT, (origin, signed.seq, signed.hlc, signed.h, at_ms, signed.sig))
            self._store.keys.note(signed)
        return signed
