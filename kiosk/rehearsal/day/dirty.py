"""Decontam's side of the day: what comes on a ticket is taken in by its scan, looked at, answered, and sent on."""

from collections.abc import Sequence
from random import Random

from kiosk.core import commands as c
from kiosk.core.meaning import Kind, Meaning
from kiosk.core.together.answers import CLEANED, NOTHING
from kiosk.core.together.returns import OpenReturn, open_returns
from kiosk.rehearsal.day.station import Station
from kiosk.rehearsal.hands import StoryFault
from kiosk.rehearsal.month import PIN, Month, Watch

ON_THE_WAY_MS = 1_500_000
LOOKED_AT_MS = 1_800_000
"""How long a return is on its way, and how long the work on it takes (invented)."""

CARTS_MS = 7_200_000
"""The last hours of a shift, in which the carts come down and nobody takes a return in (invented)."""

SAYS = (CLEANED, CLEANED, NOTHING)
"""The answers, in turn."""


class DirtySide:
    """Who stands in decontam through the day."""

    def __init__(self, station: Station, month: Month, watches: Sequence[Watch]) -> None:
        self.station, self.clock, self.watches = station, station.clock, tuple(watches)
        self.rng = Random(f"{month.seed}/{station.name}")
        self.answers = 0

    def turn(self) -> None:
        """Do the next thing, or let five minutes pass."""
        self.station.listen()
        now, session = self.clock.at_ms, self.station.session
        watch = next((w for w in self.watches if now < w.closes_ms), self.watches[-1])
        coming = open_returns(session.bench, session.desk)
        new = next((each for each in coming if not each.received and now - each.at_ms > ON_THE_WAY_MS), None)
        if watch.closes_ms - now < CARTS_MS:
            new = None
        done = next((each for each in coming if _looked_at(each, now)), None)
        if new is not None:
            self._send(c.Scanned(meaning=Meaning(kind=Kind.TICKET, text=new.number)), after_s=30)
        elif done is not None:
            self._sign_in(watch.who)
            self._send(c.AnswerTicket(ticket=done.number, says=SAYS[self.answers % len(SAYS)]), after_s=20)
            self.answers += 1
        else:
            if session.bench.who is not None:
                self._send(c.SignOut(), after_s=5)
            self.clock.advance(300_000)

    def _sign_in(self, who: str) -> None:
        if self.station.session.bench.who == who:
            return
        if self.station.session.bench.who is not None:
            self._send(c.SignOut(), after_s=5)
        self._send(c.Scanned(meaning=Meaning(kind=Kind.PERSON, text=who)), after_s=10)
        self._send(c.EnterPin(person=who, pin=PIN), after_s=6)

    def _send(self, command: c.Command, *, after_s: float) -> None:
        self.clock.advance(int(after_s * 1000))
        self.station.session.send(command)
        notice = self.station.session.notice
        if notice and notice[0].startswith("refused."):
            raise StoryFault(f"{notice[0]}: {command}")


def _looked_at(each: OpenReturn, now: int) -> bool:
    back = each.back
    return back.received_ms is not None and not back.says and now - back.received_ms > LOOKED_AT_MS
