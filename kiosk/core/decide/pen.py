"""Writing events while deciding: each is folded at once, so that the next rule sees what the last one wrote."""

from dataclasses import dataclass, field
from typing import Any

from kiosk.core.commands import Turn
from kiosk.core.desk import Desk, Now
from kiosk.core.events import Event, HoldPlaced, HoldReleased
from kiosk.core.evolve import evolve
from kiosk.core.exposure import ExposureNote, NoteEntry
from kiosk.core.stamp import Kept, Stamp
from kiosk.core.state.bench import Bench
from kiosk.core.state.trip import Trip
from kiosk.core.vocabulary import Role


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
    entries: tuple[NoteEntry, ...] = ()  # of the exposure note: kept apart from the events, before them
    opens: int = 0  # the exposure note that is to be read
    refused: bool = False  # nothing but the refused try is kept, and the page stays


@dataclass(slots=True)
class Pen:
    """The bench as it becomes, and the events written so far. `note` is the exposure note that lies open."""

    bench: Bench
    desk: Desk
    now: Now
    note: ExposureNote | None = None
    entries: list[NoteEntry] = field(default_factory=list)
    opens: int = 0
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

    def hold(self, code: str, *waits_for: str, trip: str | None = None) -> None:
        """Hold the tray on the bench (or `trip`): why, and what it waits for."""
        number = f"{self.desk.bench_number}-H{self.bench.holds_placed + 1}"
        self.write(HoldPlaced(hold=number, code=code, waits_for=waits_for), trip=trip)

    def let_go(self, waited_for: str, why: str, *, trip: str | None = None, who: str | None = None) -> None:
        """Release every hold of the tray on the bench (or `trip`) that waits for this."""
        held = self.bench.trips[trip or self.bench.current or ""].holds
        holds = tuple(hold.id for hold in held if waited_for in hold.waits_for)
        if holds:
            self.write(HoldReleased(holds=holds, why=why), trip=trip, who=who)

    def sign_ruling(self, by: str) -> None:
        """Take a supervisor's ruling, never on own work unless policy says so.

        To have signed in and taken the tray from its shelf is no work on it.
        """
        trip = self.bench.trip
        if trip is not None and by in trip.worked_on_by() and not self.desk.policy.self_override:
            raise Refused("refused.own_work")

    def supervisor(self, by: str | None) -> None:
        """Refuses whoever is no supervisor."""
        person = self.desk.catalogue.people.get(by or "")
        if person is None or person.role is not Role.SUPERVISOR:
            raise Refused("refused.not_supervisor", name=person.name if person else by or "")

    @property
    def trip(self) -> Trip:
        """The trip on the bench. Refuses when there is none."""
        trip = self.bench.trip
        if trip is None:
            raise Refused("refused.no_tray")
        return trip

    def decision(self) -> Decision:
        """What was written, as a decision."""
        return Decision(
            kept=tuple(self.kept), turn=self.turn, notice=self.notice, entries=tuple(self.entries), opens=self.opens
        )
