"""The rules of people: who is known here, badges, PINs, competency, and the signature beside a trainee."""

from dataclasses import replace
from datetime import timedelta

from kiosk.core import events as e
from kiosk.core.catalogue import Person
from kiosk.core.commands import ForgiveTries, KeepPerson, LendBadge, Page, SetPin, SignBeside, SignCompetency, Turn
from kiosk.core.competency import MONTH_MS, answered_by_trainees, wants_cosign
from kiosk.core.decide.pen import Pen, Refused
from kiosk.core.pins import PIN_FORM, PIN_LEAST
from kiosk.core.stamp import local_time
from kiosk.core.together.changed_people import changes_of
from kiosk.core.together.seen import known
from kiosk.core.together.stations import every_bench, stations
from kiosk.core.tries import wrong
from kiosk.core.vocabulary import Role


def for_supervisors(pen: Pen) -> Person:
    """The supervisor signed in. Refuses everybody else."""
    person = pen.desk.catalogue.people.get(pen.bench.who or "")
    if person is None or person.role is not Role.SUPERVISOR:
        raise Refused("refused.supervisor_only")
    return person


def _somebody(pen: Pen, person: str) -> Person:
    known = pen.desk.catalogue.people.get(person)
    if known is None:
        raise Refused("refused.unknown_person")
    return known


def keep_person(pen: Pen, command: KeepPerson) -> None:
    """Add a person, or change one thing of somebody. Nobody takes the desk away from themselves."""
    name, badge = " ".join(command.name.split()).title(), command.badge.strip()
    if command.role and command.role not in set(Role):
        raise Refused("refused.not_asked")
    if not command.person:
        if not name:
            raise Refused("refused.name_first")
        person = Person(id=new_id(pen), name=name, role=Role.TRAINEE)
    else:
        person = _somebody(pen, command.person)
        if person.id == pen.bench.who and (command.role or command.may):
            raise Refused("refused.own_record")
    if badge:
        _free(pen, badge, person.id)
    changed = replace(
        person,
        name=name or person.name,
        role=Role(command.role) if command.role else person.role,
        badge=badge or person.badge,
        disabled=command.may == "no" if command.may else person.disabled,
    )
    over = known(changes_of(person.id, (one.staff for one in stations(pen.bench, pen.desk).values())))
    pen.write(e.PersonKept(person=replace(changed, pin_hash="", day_badge=""), over=over), off_trip=True)
    pen.turn = Turn(page=Page.PERSON, subject=person.id)


def new_id(pen: Pen) -> str:
    """A number that no other station gives: the station stands in it."""
    start = f"P{'D' if pen.desk.side == 'decontam' else ''}{pen.desk.bench_number}-"
    n = 1
    while {f"{start}{n}"} & {*pen.desk.catalogue.people, *pen.bench.staff.people}:  # nobody's again, counted or not
        n += 1
    return f"{start}{n}"


def _free(pen: Pen, badge: str, person: str) -> None:
    """One badge, one person."""
    owner = next((p for p in pen.desk.catalogue.people.values() if badge in {p.badge, p.day_badge, p.id}), None)
    if owner is not None and owner.id != person:
        raise Refused("refused.badge_taken", name=owner.name)


def lend_badge(pen: Pen, command: LendBadge) -> None:
    """A day badge, until midnight where the bench stands."""
    person, badge = _somebody(pen, command.person), command.badge.strip()
    if not badge:
        raise Refused("refused.badge_first")
    _free(pen, badge, person.id)
    now = local_time(pen.now.at_ms, pen.now.offset_min)
    midnight = now.replace(hour=0, minute=0, second=0, microsecond=0) + timedelta(days=1)
    until = pen.now.at_ms + int((midnight - now).total_seconds() * 1000)
    pen.write(e.DayBadgeLent(person=person.id, badge=badge, until_ms=until), off_trip=True)
    pen.turn = Turn(page=Page.PERSON, subject=person.id)
    pen.say("notice.badge_lent", name=person.name)


def set_pin(pen: Pen, command: SetPin) -> None:
    """A new PIN, typed twice by the person: one's own, or with the supervisor at the desk."""
    person = _somebody(pen, command.person)
    if person.id != pen.bench.who:
        for_supervisors(pen)
    pen.write(new_pin(pen, person, command.pin, command.salt), off_trip=True)
    own = person.id == pen.bench.who
    pen.turn = Turn(page=Page.SETTINGS) if own else Turn(page=Page.PERSON, subject=person.id)
    pen.say("notice.pin_set", name=person.name)


def new_pin(pen: Pen, person: Person, pin: str, salt: str) -> e.PinSet:
    """What is kept of a PIN that is as long as policy asks for, and never shorter than four digits."""
    least = max(PIN_LEAST, pen.desk.policy.pin_least)
    if not PIN_FORM.fullmatch(pin) or len(pin) < least:
        raise Refused("refused.pin_short", least=least)
    over = known(one for bench in every_bench(pen.bench, pen.desk) for one in bench.staff.pins.get(person.id, ()))
    return e.PinSet(person=person.id, pin_hash=pen.desk.pins.hash(pin, bytes.fromhex(salt)), over=over)


def forgive_tries(pen: Pen, command: ForgiveTries) -> None:
    """Somebody may try their number again at once. A supervisor does it for another, never for an own badge."""
    person = _somebody(pen, command.person)
    if person.id == pen.bench.who:
        raise Refused("refused.own_record")
    if not wrong(pen.bench, pen.desk.others.values(), person.id):
        raise Refused("refused.not_asked")
    pen.write(e.TriesForgiven(person=person.id), off_trip=True)
    pen.turn = Turn(page=Page.PERSON, subject=person.id)
    pen.say("notice.tries_forgiven", name=person.name)


def sign_competency(pen: Pen, command: SignCompetency) -> None:
    """An educator's signature for one method, on the educator's own badge and never for oneself."""
    by, person = _somebody(pen, command.by), _somebody(pen, command.person)
    if by.id == person.id or command.method not in pen.desk.policy.competency_methods:
        raise Refused("refused.not_asked")
    until = pen.now.at_ms + pen.desk.policy.competency_months * MONTH_MS
    signed = e.CompetencySigned(person=person.id, method=command.method, by=by.id, until_ms=until)
    pen.write(signed, who=by.id, off_trip=True)
    pen.turn = Turn(page=Page.COMPETENCY, subject=person.id)


def cosign(pen: Pen, command: SignBeside) -> None:
    """Somebody beside the trainee signs for the tray, on another badge."""
    by = _somebody(pen, command.by)
    if not wants_cosign(pen.trip, pen.desk):
        raise Refused("refused.not_asked")
    answers, trainees = answered_by_trainees(pen.trip, pen.desk.catalogue.people)
    if by.id in trainees:
        raise Refused("refused.cosigner", name=by.name)
    pen.write(e.TrayCoSigned(by=by.id, answers=answers), who=by.id)
