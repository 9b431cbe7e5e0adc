"""What a carrier brings: a stretch of one log, and what is needed to hold it against the log's key."""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any


@dataclass(frozen=True, slots=True, kw_only=True)
class SignedHead:
    """A log's last event at a moment, signed with the log's own key (Ed25519)."""

    seq: int
    h: bytes
    hlc: int
    at_ms: int
    sig: bytes


@dataclass(frozen=True, slots=True, kw_only=True)
class Segment:
    """Rows of one log, one after the other. `was`: origin, number and hash that the log's first event is linked to."""

    origin: str
    bench: str
    public_key: bytes
    was: tuple[str, int, bytes] | None
    rows: Sequence[Sequence[Any]]  # columns in the order of chain.COLUMNS
    head: SignedHead | None
