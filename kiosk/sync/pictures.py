"""Pictures to the hub and back, after everything else: of findings, references, known looks and reading sets.

The log names a picture with its SHA-256. The hub is asked which it lacks; a picture goes in parts, and where the line
broke it goes on. What comes is held against its SHA-256 before it is kept.
"""

import hashlib
import json
import logging
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import islice
from pathlib import Path
from typing import Any, Protocol

from kiosk.store.fetched import HASH, Fetched, keep_fetched
from kiosk.store.pictures import picture_path

log = logging.getLogger(__name__)

PART = 64 << 10
"""Bytes of a part; db/postgres 0003 holds to the same."""
LARGEST = 32 << 20
"""Bytes of a picture that is carried; a larger one stays at its station."""
ASKED = 1000
"""Pictures asked for at once."""
PARTS_A_ROUND = 32
"""Parts carried before the events are asked for again: 2 MiB (a choice)."""
AGAIN_S = 60.0
"""How long a picture that the hub does not have is not asked for again, nor any after a line that broke (a choice)."""

NAMING = ("photo_taken", "still_kept", "reference_offered", "look_accepted", "reading_set_made")
"""Names of the events that name pictures which others may need; of stills those of findings."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Wanted:
    """A picture that this station shows and may not have: its name and its SHA-256 in hexadecimal, as the log says."""

    file: str
    sha256: str


class PictureDoor(Protocol):
    """What carrying pictures needs of a hub; `kiosk.sync.hub.Hub` is one. Every method raises Outage."""

    def pictures_lacking(self, hashes: Sequence[bytes]) -> set[bytes]: ...
    def push_picture(self, sha256: bytes, size: int, n: int, body: bytes) -> tuple[str, int]: ...
    def pull_picture(self, sha256: bytes, n: int) -> tuple[int, bytes] | None: ...


def named(bodies: Sequence[tuple[str, bytes]]) -> Iterator[Wanted]:
    """The pictures that these events (name, body) name for others; what can not be read names none."""
    for typ, body in bodies:
        try:
            told: Any = json.loads(body)
            each = told["pictures"] if typ == "reading_set_made" else [told]
            if typ != "still_kept" or told.get("finding"):
                yield from (Wanted(file=str(one["file"]), sha256=str(one["sha256"])) for one in each)
        except (ValueError, TypeError, KeyError, AttributeError):
            continue


class PictureCarrier:
    """One station's pictures on their way to and from one hub; for the courier's thread.

    What was once settled is remembered only as long as the line stands: a hub that was set back is asked anew.
    """

    def __init__(self, store: Path, hub: PictureDoor) -> None:
        self._store, self._hub = store, hub
        self._fetched = Fetched(store)
        self._named: dict[str, Wanted] = {}
        self._settled: set[str] = set()
        self._sending: list[Wanted] = []
        self._at, self._data = 0, b""  # the part that is sent next of the first of those, and its bytes
        self._coming: tuple[Wanted, list[bytes]] | None = None
        self._not_there: dict[str, float] = {}
        self.got = 0
        """How many came since the start."""

    def forget(self) -> None:
        """The line is a new one: what the hub has is not known any more."""
        self._settled.clear()
        self._not_there.clear()
        self._sending, self._at, self._data, self._coming = [], 0, b"", None

    def take(self, bodies: Sequence[tuple[str, bytes]]) -> None:
        """Take in what events of any log here name."""
        self._named |= {one.sha256: one for one in named(bodies) if HASH.fullmatch(one.sha256)}

    def carry(self, wanted: Sequence[Wanted], now_s: float) -> bool:
        """Carry a few parts: what is wanted here first, then what the hub lacks. Is there more to carry at once?

        `now_s`: a steady clock's seconds. Raises Outage.
        """
        left = PARTS_A_ROUND
        while left and self._fetch_one(wanted, now_s):
            left -= 1
        if not left:
            return True
        if not self._sending:
            self._sending = list(self._lacking())
        while left and self._sending:
            self._send_one()
            left -= 1
        return bool(self._sending)

    def _lacking(self) -> Iterator[Wanted]:
        """Pictures of this station's own folder that the hub does not have."""
        fresh = [one for sha256, one in self._named.items() if sha256 not in self._settled]
        self._settled |= {one.sha256 for one in fresh if self._own(one.file) is None}
        here = (one for one in fresh if one.sha256 not in self._settled)
        while batch := list(islice(here, ASKED)):
            lacking = self._hub.pictures_lacking([bytes.fromhex(one.sha256) for one in batch])
            self._settled |= {one.sha256 for one in batch if bytes.fromhex(one.sha256) not in lacking}
            yield from (one for one in batch if bytes.fromhex(one.sha256) in lacking)

    def _own(self, name: str) -> Path | None:
        path = picture_path(self._store, name)
        return path if path.is_file() and 0 < path.stat().st_size <= LARGEST else None

    def _send_one(self) -> None:
        """Send the next part of the first picture; a file that is not what the log says is never sent."""
        one = self._sending[0]
        self._data = self._data or self._read(one)
        if not self._data:
            self._done(one)
            return
        body = self._data[self._at * PART : (self._at + 1) * PART]
        code, after = self._hub.push_picture(bytes.fromhex(one.sha256), len(self._data), self._at, body)
        if code in {"more", "gap"}:
            self._at = after
        else:  # kept; or garbled on the way, then it is asked for again on the next line
            self._done(one)

    def _read(self, one: Wanted) -> bytes:
        """The bytes of a picture; none where they are gone, or are not what the log says."""
        path = self._own(one.file)
        try:
            data = path.read_bytes() if path is not None else b""
        except OSError:
            data = b""
        if hashlib.sha256(data).hexdigest() == one.sha256:
            return data
        log.warning("picture %s is not what was kept: it is not sent", one.file)
        return b""

    def _done(self, one: Wanted) -> None:
        self._settled.add(one.sha256)
        self._sending, self._at, self._data = self._sending[1:], 0, b""

    def _fetch_one(self, wanted: Sequence[Wanted], now_s: float) -> bool:
        """Fetch one part of what is wanted here; False where nothing is, or the hub has none of it."""
        if self._coming is None:
            one = next((one for one in wanted if self._misses(one, now_s)), None)
            if one is None:
                return False
            self._coming = one, []
        one, parts = self._coming
        found = self._hub.pull_picture(bytes.fromhex(one.sha256), len(parts))
        if found is None or found[0] > LARGEST or len(found[1]) > PART or not found[1]:
            self._not_there[one.sha256], self._coming = now_s + AGAIN_S, None
            return True
        parts.append(found[1])
        if sum(map(len, parts)) >= found[0]:
            self._coming = None
            self._keep(one, b"".join(parts), now_s)
        return True

    def _misses(self, one: Wanted, now_s: float) -> bool:
        if not HASH.fullmatch(one.sha256) or self._not_there.get(one.sha256, now_s) > now_s:
            return False
        return self._own(one.file) is None and self._fetched.find(one.file) is None

    def _keep(self, one: Wanted, data: bytes, now_s: float) -> None:
        try:
            keep_fetched(self._store, one.file, one.sha256, data)
            self.got += 1
        except ValueError as fault:
            log.warning("a picture that came is not kept: %s", fault)
            self._not_there[one.sha256] = now_s + AGAIN_S
