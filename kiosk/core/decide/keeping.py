"""What is kept about the log itself."""

from collections.abc import Callable
from typing import Any

from kiosk.core import commands as c
from kiosk.core import events as e
from kiosk.core.decide.desk_papers import at_the_desk
from kiosk.core.decide.pen import Pen, Refused
from kiosk.core.decide.people import sign_out


def see_incarnation(pen: Pen, command: c.SeeIncarnation) -> None:
    """A supervisor has read it: it asks no more."""
    at_the_desk(pen)
    if all(began.origin != command.origin for began in pen.bench.keeping.began):
        raise Refused("refused.not_asked")
    pen.write(e.IncarnationSeen(origin=command.origin), off_trip=True)
    pen.say("keeping.seen")
    pen.turn = c.Turn(page=c.Page.NEEDS)


def tell_backup(pen: Pen, command: c.TellBackup) -> None:
    """A backup was written; whoever stands at the bench has nothing to do with it."""
    pen.write(e.BackedUp(file=command.file, seq=command.seq), private=True)


def leave_station(pen: Pen, command: c.LeaveStation) -> None:
    """A supervisor leaves the bench: an open tray is set aside where it stands, and who leaves is signed out."""
    at_the_desk(pen)
    if command.to not in LEAVES_TO:
        raise Refused("refused.not_asked")
    pen.write(e.StationLeft(to=command.to), off_trip=True)
    sign_out(pen, c.SignOut())


LEAVES_TO = ("close", "set_up")

RULES: dict[type, Callable[[Pen, Any], None]] = {
    c.SeeIncarnation: see_incarnation,
    c.TellBackup: tell_backup,
    c.LeaveStation: leave_station,
}
BY_NOBODY: tuple[type, ...] = (c.TellBackup,)
"""Commands that need nobody signed in."""


def settle(pen: Pen) -> None:
    """Nothing follows by itself."""
