"""Stations of the small department that may be apart: each with its log, hearing the others only when they meet."""

from dataclasses import dataclass, field, replace
from typing import Any

from kiosk.core import commands as c
from kiosk.core import events as e
from kiosk.core.catalogue import Person
from kiosk.core.state.ruled import Noted
from kiosk.core.together.conflicts import open_conflicts
from kiosk.core.vocabulary import Role
from tests.core.department import PIN, Shift, desk, people


@dataclass(slots=True)
class Stations:
    """Benches B1, B2 and decontam's D1, D2. What one kept, the others hear when they `meet`; the clock is one."""

    each: dict[str, Shift]
    heard: dict[tuple[str, str], int] = field(default_factory=dict)

    def __getitem__(self, name: str) -> Shift:
        return self.each[name]

    def meet(self, *names: str) -> None:
        """These (or all) take in what the others of them kept, until nobody has anything new."""
        for _ in range(3):
            now = max(shift.at_ms for shift in self.each.values())
            for here in names or tuple(self.each):
                self[here].at_ms = now
                for there in names or tuple(self.each):
                    if here != there:
                        self._hear(here, there)
                self[here].session.send(c.Heard())

    def hear(self, here: str, there: str) -> None:
        """One way only: `here` takes in what `there` kept, whose own line is down."""
        self[here].at_ms = max(self[here].at_ms, self[there].at_ms)
        self._hear(here, there)
        self[here].session.send(c.Heard())

    def _hear(self, here: str, there: str) -> None:
        log, known = self[there].log, self.heard.get((here, there), 0)
        self.heard[here, there] = len(log)
        self[here].session.hear(there, log[known:])

    def conflicts(self, name: str) -> list[Noted]:
        """What waits for a ruling between two records, as this station knows it."""
        return open_conflicts(self[name].bench, self[name].session.desk)

    def conflict(self) -> str:
        """The one conflict, which all stations know by the same name."""
        (one,) = {each.conflict for name in self.each for each in self.conflicts(name)}
        assert all(len(self.conflicts(name)) == 1 for name in self.each)
        return one

    def rule(self, name: str, ruling: str, *, by: str = "S1") -> list[e.Event]:
        """The supervisor rules at this station, and signs out."""
        shift = self[name]
        if shift.bench.who:
            shift.must(c.SignOut())
        shift.must(c.EnterPin(person=by, pin=PIN))
        (one,) = self.conflicts(name)
        events = shift.must(c.RuleConflict(conflict=one.conflict, ruling=ruling))
        shift.must(c.SignOut())
        return events

    def told(self, name: str, *kinds: type) -> list[e.Event]:
        """What this station kept of these kinds."""
        return [kept.event for kept in self[name].log if isinstance(kept.event, kinds)]


def stations(*names: str, **policy: Any) -> Stations:
    """Nobody is signed in, and nobody has heard of anybody."""
    preventer = Person(
        id="I1", name="Person I1", role=Role.INFECTION_PREVENTION, badge="I1", pin_hash=people()["T1"].pin_hash
    )
    second = replace(people()["S1"], id="S2", name="Person S2", badge="S2")
    known = {**people(), "I1": preventer, "S2": second}
    out = {}
    for name in names:
        side, number = "decontam" if name[0] == "D" else "clean", int(name[1:])
        here = desk(**policy)
        here = replace(here, catalogue=replace(here.catalogue, people=known), side=side, bench_number=number)
        out[name] = Shift(desk=replace(here, bench=f"{'Decontam' if side == 'decontam' else 'Bench'} {number}"))
    return Stations(each=out)
