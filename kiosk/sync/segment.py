"""What a carrier brings: a stretch of one log, and what is needed to hold it against the log's key."""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

from kiosk.store.heard import Was
from kiosk.store.keys import SignedHead


@dataclass(frozen=True, slots=True, kw_only=True)
class Segment:
    """Rows of one log, one after the other. `was`: origin, number and hash that the log's first event is linked to.

    `last`: how far the hub has it.
    """

    origin: str
    bench: str
    public_key: bytes
    was: Was | None
    rows: Sequence[Sequence[Any]]  # columns in the order of chain.COLUMNS
    head: SignedHead | None
    last: int = 0
