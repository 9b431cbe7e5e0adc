"""What breaks into the work on a tray of the day: somebody is called away, hands over, is hurt; the power goes."""

from collections.abc import Callable
from dataclasses import replace
from typing import TYPE_CHECKING

from kiosk.core import commands as c
from kiosk.core.vocabulary import Role
from kiosk.rehearsal.hands import StoryFault

if TYPE_CHECKING:
    from kiosk.rehearsal.day.bench import DayBench


def paused(hands: "DayBench") -> None:
    """Called away, and back within the limit."""
    _set_aside(hands, minutes=12)


def away(hands: "DayBench") -> None:
    """Away for longer than the policy's minutes."""
    _set_aside(hands, minutes=50)


def _set_aside(hands: "DayBench", *, minutes: int) -> None:
    hands.send(c.StopHere(reason="called_away"))
    if hands.bench.who is not None:
        hands.send(c.SignOut(idle=True), after_s=185)
    hands.clock.advance(minutes * 60_000)


def handed(hands: "DayBench") -> None:
    """The tray goes to somebody else as it stands, who stays for the rest of the shift."""
    to = next(p.id for p in hands.people(Role.TECH) if p.id not in {w.who for w in hands.watches})
    hands.send(c.HandOver(to=to), after_s=10)
    if hands.bench.who is not None:
        hands.send(c.SignOut(), after_s=10)
    hands.watch = replace(hands.watch, who=to)


def power_cut(hands: "DayBench") -> None:
    """The power goes with a tray open; the program comes back on what the disk holds."""
    hands.cut(hands)
    hands.session = hands.station.session
    hands.coming = [row for row in hands.coming if row.tray not in hands.station.trays_opened()]


def dies(hands: "DayBench") -> None:
    """The program dies from one instruction to the next, and is started again after four minutes."""
    before = hands.bench
    hands.station.kill()
    hands.clock.advance(240_000)
    hands.station.start()
    if set(hands.station.session.bench.trips) != set(before.trips):
        raise StoryFault("a tray was lost in the power cut")


def hurt(hands: "DayBench") -> None:
    """Somebody touches "hurt or splashed"."""
    hands.send(c.FirstAid())


INTERRUPTED: dict[str, Callable[["DayBench"], None]] = {
    "paused": paused,
    "away": away,
    "power_cut": power_cut,
    "first_aid": hurt,
    "handed": handed,
}
"""By what befalls the tray."""
