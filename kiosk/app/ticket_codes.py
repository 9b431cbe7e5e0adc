"""The data codes of return tickets: sealed with this station's key, held to the keys of the stations known here."""

from kiosk.codes import ticket_code
from kiosk.core.state.tickets import TicketCard
from kiosk.store.bench_store import BenchStore


class TicketCodes:
    """Seals cards, also on a worker: it reads the key's file, and nothing of the store."""

    def __init__(self, store: BenchStore) -> None:
        self._store = store.store

    def seal(self, card: TicketCard) -> str:
        """The text of the card's code; "" where this station's key can not be read now."""
        keys, origin = self._store.keys, self._store.origin
        public = keys.public(origin)
        if public is None:
            return ""

        def sign(said: bytes) -> bytes:
            return keys.sign_as(origin, ticket_code.LABEL, said.removeprefix(ticket_code.LABEL)) or b""

        return ticket_code.write(card, public, sign)
