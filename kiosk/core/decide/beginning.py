"""The first supervisor of a store in which nobody is known: name, badge, PIN. There is no other way in."""

from kiosk.core import events as e
from kiosk.core.catalogue import Person
from kiosk.core.commands import BeginDepartment, Page, Turn
from kiosk.core.decide.pen import Pen, Refused
from kiosk.core.decide.roster import new_id, new_pin
from kiosk.core.together.seen import known
from kiosk.core.vocabulary import Role


def begin(pen: Pen, command: BeginDepartment) -> None:
    """A field after the other; with the last one the person is kept and signed in."""
    if pen.desk.catalogue.people or pen.bench.first_aid_ms is not None:
        raise Refused("refused.not_asked")
    name, badge = " ".join(command.name.split()).title(), command.badge.strip()
    if not name:
        raise Refused("refused.name_first")
    if not badge or not command.pin:
        pen.turn = Turn(page=Page.BEGIN, subject=f"{name}/{badge}" if badge else name)
        return
    person = Person(id=new_id(pen), name=name, role=Role.SUPERVISOR, badge=badge)
    pin_set = new_pin(pen, person, command.pin, command.salt)
    pen.write(e.PersonKept(person=person, why=e.BEGUN, over=known(())), who=person.id, off_trip=True)
    pen.write(pin_set, who=person.id, off_trip=True)
    pen.write(e.SignedIn(person=person.id), who=person.id, off_trip=True)
    pen.say("notice.begun")
