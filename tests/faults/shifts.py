"""A shift played on a real store: the small department's bench, with hands by chance, resumed from what is kept."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass, field, replace
from hashlib import sha256
from pathlib import Path
from random import Random

from kiosk import resources
from kiosk.core import commands as c
from kiosk.core import events as e
from kiosk.core.session import Session
from kiosk.core.stamp import Kept
from kiosk.core.state.bench import Bench
from kiosk.store.bench_store import BenchStore
from kiosk.store.codec import encode, to_bytes
from tests.core.by_chance import pick
from tests.core.department import MORNING, Shift

ALIVE_EVERY = 20
"""Taps between two notes that the bench is up."""


def told(kept: Kept) -> bytes:
    """32 bytes that stand for an event as it was handed to the store."""
    return sha256(repr((encode(kept.event), kept.stamp)).encode()).digest()


def stands(bench: Bench) -> bytes:
    """32 bytes that stand for everything the bench knows."""
    return sha256(to_bytes(bench)).digest()


@dataclass(slots=True)
class StoreShift(Shift):
    """The bench of `folder` as the program starts it. `before` and `after` see what is handed to the store."""

    folder: Path = Path()
    seed: int = 0
    before: Callable[[Sequence[Kept]], None] | None = None
    after: Callable[[], None] | None = None
    store: BenchStore = field(init=False)
    rng: Random = field(init=False)
    taps: int = 0

    def __post_init__(self) -> None:
        self.rng = Random(self.seed)
        self.store = BenchStore(self.folder, "B1")
        self.store.check()
        self.at_ms = self.begins_ms()
        self.desk = replace(self.desk, records=self.store.records)
        self.session = Session(
            bench=self.store.bench(), desk=self.desk, words=resources.words(), clock=self.now, keep=self._keep
        )
        self.session.after.append(self._note)

    def begins_ms(self) -> int:
        """Wall time when the program starts."""
        return max(MORNING, self.store.last_alive() or 0)

    def _keep(self, kepts: Sequence[Kept]) -> None:
        if self.before:
            self.before(kepts)
        self.store.keep(kepts)
        if self.after:
            self.after()

    def _note(self, kepts: Sequence[Kept]) -> None:
        """As the bench does: where the work ends, the fold is noted."""
        if any(isinstance(kept.event, e.SignedOut | e.Packed | e.TrayBack) for kept in kepts):
            self.store.snapshot(self.session.bench)

    def begin(self) -> None:
        """The program is up, and says so."""
        self.send(c.Started(last_alive_ms=self.store.last_alive()))
        self.store.alive(self.at_ms)

    def tap(self) -> None:
        """Somebody does what the screen offers, or now and then what no screen would send; the screen follows."""
        self.send(pick(self, self.session.view(), self.rng.randrange(1 << 20)))
        self.session.view()
        self.taps += 1
        if self.taps % ALIVE_EVERY == 0:
            self.beat()

    def beat(self) -> None:
        """The bench is up, and notes it."""
        self.store.alive(self.at_ms)
