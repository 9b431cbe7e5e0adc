"""What is kept about the log itself."""

from collections.abc import Callable
from typing import Any

from kiosk.core import commands as c
from kiosk.core import events as e
from kiosk.core.decide.desk_papers import at_the_desk
from kiosk.core.decide.pen import Pen, Refused
from kiosk.core.decide.people import sign_out
from kiosk.core.together.kept_pictures import DAYS, ROOM, at_hand


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


def drop_pictures(pen: Pen, command: c.DropPictures) -> None:
    """Stills whose days are over, or that make room, are dropped: those that nothing at hand needs by now.

    Never by a clock in doubt, and not while nobody has read that the log goes on under a new origin: then the log may
    not have heard yet what keeps them.
    """
    if not pen.now.trusted or pen.bench.keeping.began or command.why not in (DAYS, ROOM):
        return  # nobody asked for it: whoever stands here is told of nothing
    needed = at_hand(pen.bench, pen.desk)
    files = tuple(file for file in dict.fromkeys(command.files) if file not in needed)
    if files:
        pen.write(e.PicturesDropped(files=files, why=command.why), private=True)


RULES: dict[type, Callable[[Pen, Any], None]] = {
    c.SeeIncarnation: see_incarnation,
    c.TellBackup: tell_backup,
    c.LeaveStation: leave_station,
    c.DropPictures: drop_pictures,
}
BY_NOBODY: tuple[type, ...] = (c.TellBackup, c.DropPictures)
"""Commands that need nobody signed in."""


def settle(pen: Pen) -> None:
    """Nothing follows by itself."""
