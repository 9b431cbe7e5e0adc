"""The rules of the reading practice: blind, apart from every tray, and nobody's answers under their name."""

import re
from collections.abc import Callable
from typing import Any

from kiosk.core import commands as c
from kiosk.core import events as e
from kiosk.core.decide.desk_papers import at_the_desk
from kiosk.core.decide.pen import Pen, Refused
from kiosk.core.readings import HASH, MOST_PICTURES, SAYS, ReadingSet, mark_of, still_to_read
from kiosk.core.together import kept_readings as kept

NAME = re.compile(r"[\w .-]{1,24}")
NUMBER = re.compile(r"[0-9a-f]{32}")


def make_set(pen: Pen, command: c.MakeReadingSet) -> None:
    """A set of at least two pictures, none of them twice, under a name that no other set has."""
    name, files = command.name.strip(), [one.sha256 for one in command.pictures]
    if not NAME.fullmatch(name) or not NUMBER.fullmatch(command.set):
        raise Refused("readings.refused.name")
    if any(name == one.name or command.set == one.id for one in kept.every_set(pen.bench, pen.desk)):
        raise Refused("readings.refused.known", name=name)
    if not 2 <= len(files) <= MOST_PICTURES or not all(HASH.fullmatch(one) for one in files):
        raise Refused("readings.refused.many", most=MOST_PICTURES)
    if len(set(files)) < len(files) or len({one.name for one in command.pictures}) < len(files):
        raise Refused("readings.refused.twice")
    pen.write(e.ReadingSetMade(set=command.set, name=name, pictures=command.pictures), off_trip=True)


def begin(pen: Pen, command: c.BeginReading) -> None:
    """Begin, or go on. The order's seed is kept at the beginning, so that a loss of power changes nothing."""
    found = _open_set(pen, command.set)
    mark = mark_of(found.id, pen.bench.who or "")
    if kept.own_reading(pen.bench, pen.desk, found) is None:
        seed = int(mark, 16) ^ pen.now.at_ms  # no two readers have one order, also where they begin together
        pen.write(e.ReadingBegun(set=found.id, reader=mark, seed=seed), private=True)
    pen.turn = c.Turn(page=c.Page.READING, subject=found.id)


def read(pen: Pen, command: c.ReadPicture) -> None:
    """An answer to the picture that is asked now. It stands, and nobody is told what others said or what is right."""
    found = _open_set(pen, command.set)
    reader = kept.own_reading(pen.bench, pen.desk, found)
    left = still_to_read(found, reader) if reader else ()
    if command.says not in SAYS or not left or left[0].name != command.picture:
        raise Refused("refused.not_asked")
    mark = mark_of(found.id, pen.bench.who or "")
    pen.write(e.PictureRead(set=found.id, reader=mark, picture=command.picture, says=command.says), private=True)
    pen.turn = c.Turn(page=c.Page.READING, subject=found.id)


def _open_set(pen: Pen, set_id: str) -> ReadingSet:
    """The set, where it may be read now. Refuses while a tray is open at the bench: no practice in the work."""
    found = kept.set_called(pen.bench, pen.desk, set_id)
    if found is None:
        raise Refused("refused.not_asked")
    if pen.bench.trip is not None and not pen.bench.trip.ended:
        raise Refused("readings.refused.tray")
    if found.ended_ms is not None:
        raise Refused("readings.refused.ended")
    return found


def end_set(pen: Pen, command: c.EndReadingSet) -> None:
    """Who works at the desk ends a set: nobody reads it any more, and its figure is shown."""
    at_the_desk(pen)
    found = kept.set_called(pen.bench, pen.desk, command.set)
    if found is None or found.ended_ms is not None:
        raise Refused("refused.not_asked")
    pen.write(e.ReadingSetEnded(set=found.id), off_trip=True)
    pen.turn = c.Turn(page=c.Page.READING_SET, subject=found.id)


RULES: dict[type, Callable[[Pen, Any], None]] = {
    c.MakeReadingSet: make_set,
    c.BeginReading: begin,
    c.ReadPicture: read,
    c.EndReadingSet: end_set,
}
BY_NOBODY: tuple[type, ...] = (c.MakeReadingSet,)
"""Commands that need nobody signed in: a set is made at the machine, where its pictures lie."""


def settle(pen: Pen) -> None:
    """Nothing follows by itself."""
