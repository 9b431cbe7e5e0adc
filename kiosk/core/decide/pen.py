"""Writing events while deciding: each is folded at once, so that the next rule sees what the last one wrote."""

from dataclasses import dataclass, field
from typing import Any

from kiosk.core.bench import Bench, Trip
from kiosk.core.commands import Turn
from kiosk.core.desk import Desk, Now
from kiosk.core.events import Event
from kiosk.core.evolve import evolve
from kiosk.core.stamp import Kept, Stamp


class Refused(Exception):
    """The command cannot be followed now. `key` and `names` give the sentence."""

    def __init__(self, key: str, **names: Any) -> None:
        super().__init__(key)
        self.key = key
        self.names = names


@dataclass(frozen=True, slots=True, kw_only=True)
class Decision:
    """What a command led to: the events to keep, the page to turn to, a quiet sentence about it."""

    kept: tuple[Kept, ...] = ()
    turn: Turn | None = None
    notice: tuple[str, dict[str, Any]] | None = None


@dataclass(slots=True)
class Pen:
    """The bench as it becomes, and the events written so far."""

    bench: Bench
    desk: Desk
    now: Now
    kept: list[Kept] = field(default_factory=list)
    turn: Turn | None = None
    notice: tuple[str, dict[str, Any]] | None = None

    def write(
        self,
        event: Event,
        *,
        trip: str | None = None,
        who: str | None = None,
        private: bool = False,
        off_trip: bool = False,
    ) -> None:
        """Write `event` for the trip on the bench (or `trip`), by the person signed in (or `who`).

        `private`: neither person nor trip is written down. `off_trip`: it belongs to no trip.
        """
        at = None if private or off_trip else trip or self.bench.current
        opened = self.bench.trips.get(at) if at else None
        stamp = Stamp(
            at_ms=self.now.at_ms,
            offset_min=self.now.offset_min,
            trusted=self.now.trusted,
            who=None if private else who or self.bench.who,
            trip=at,
            policy=opened.policy if opened else self.desk.policy.version,
            record=opened.record if opened else self.desk.catalogue.version,
        )
        kept = Kept(event=event, stamp=stamp)
        self.bench = evolve(self.bench, kept)
        self.kept.append(kept)

    def say(self, key: str, **names: Any) -> None:
        """Leave a quiet sentence for the next screen."""
        self.notice = (key, names)

    @property
    def trip(self) -> Trip:
        """The trip on the bench. Refuses when there is none."""
        trip = self.bench.trip
        if trip is None:
            raise Refused("refused.no_tray")
        return trip

    def decision(self) -> Decision:
        """What was written, as a decision."""
        return Decision(kept=tuple(self.kept), turn=self.turn, notice=self.notice)
