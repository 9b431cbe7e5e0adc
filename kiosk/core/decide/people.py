"""Signing in and out, the start of the bench, first aid."""

from kiosk.core import events as e
from kiosk.core.agenda import next_step, to_clear
from kiosk.core.catalogue import Person
from kiosk.core.commands import (
    AnswerStartup,
    EnterPin,
    FirstAid,
    FirstAidDone,
    Page,
    ScopeBack,
    SignOut,
    StartAgain,
    Started,
    Turn,
)
from kiosk.core.decide.overrides import second_refused
from kiosk.core.decide.pen import Pen, Refused
from kiosk.core.decide.ruling_book import signs_policy
from kiosk.core.decide.staff import keep_language
from kiosk.core.pins import mark_of
from kiosk.core.tries import TRIES, stopped, wait_ms
from kiosk.core.vocabulary import Role


def started(pen: Pen, command: Started) -> None:
    """The program is up: say whether it went down under somebody's hands."""
    if command.last_alive_ms is not None and pen.bench.who is not None:
        pen.write(e.PowerLost(at_ms=command.last_alive_ms))
        pen.write(e.PowerRestored())
    elif pen.bench.who is not None:
        sign_out(pen, SignOut())
    for job in pen.bench.jobs:
        if not job.settled and not job.why:
            pen.write(e.PrinterLost(doc=job.doc, number=job.number, why="stopped"), off_trip=True)
    for trip in pen.bench.trips.values():
        for job in trip.jobs:
            if not job.settled and not job.why:  # nobody will ever say what came of it
                pen.write(e.PrinterLost(doc=job.doc, number=job.number, why="stopped"), trip=trip.id)


def enter_pin(pen: Pen, command: EnterPin) -> None:
    """Badge and PIN: sign in, or sign a supervisor in for one ruling."""
    person = pen.desk.catalogue.people.get(command.person)
    if person is None:
        raise Refused("refused.unknown_person")
    if person.disabled:
        raise Refused("refused.disabled", name=person.name)
    tries = pen.bench.refused.get(person.id, 0)
    if stopped(pen.bench, pen.desk.others.values(), person.id):
        raise Refused("refused.badge_stopped", name=person.name)
    wait = wait_ms(pen.bench, person.id, pen.now.at_ms)
    if wait > 0:
        raise Refused("refused.too_many_tries", name=person.name, seconds=-(-wait // 1000))
    if not pen.desk.pins.matches(command.pin, person.pin_hash):
        pen.write(e.SignInRefused(person=person.id, tries=tries + 1), who=person.id)
        aim = "ruling:" if command.ruling else f"second:{command.second}:" if command.second else ""
        pen.turn = Turn(page=Page.PIN, subject=f"{aim}{person.id}")
        pen.say("notice.pin_wrong", left=max(0, TRIES - tries - 1))
        return
    _hash_anew(pen, command, person)
    if command.ruling or command.second:
        _for_one_act(pen, command, person)
        return
    _set_aside_for(pen, person.id)
    pen.write(e.SignedIn(person=person.id), who=person.id)
    keep_language(pen, command.language)


def _hash_anew(pen: Pen, command: EnterPin, person: Person) -> None:
    """A right PIN whose hash is an old one is hashed as it is done today."""
    if command.salt and pen.desk.pins.old(person.pin_hash):
        anew = pen.desk.pins.hash(command.pin, bytes.fromhex(command.salt))
        was = mark_of(person.pin_hash)
        pen.write(e.PinHashedAnew(person=person.id, pin_hash=anew, was=was), who=person.id, off_trip=True)


def _for_one_act(pen: Pen, command: EnterPin, person: Person) -> None:
    """Somebody signs in for one ruling or one answer only. A try that is not taken is kept as well."""
    why = ""
    if command.ruling and (person.role not in pen.desk.policy.override_roles or person.role is not Role.SUPERVISOR):
        why = "not_supervisor"
    elif command.second and (second_refused(pen, command.second, person.id) or person.id == pen.bench.who):
        why = "same_person"
    elif command.second and not signs_policy(pen.desk, command.second, person.id):
        why = "policy_infection"
        pen.turn = Turn(page=Page.NAMES, subject=f"second:{command.second}:")
    purpose = command.second or "ruling"
    pen.write(e.PinTaken(person=person.id, purpose=purpose, refused=why), who=person.id, off_trip=True)
    if why:
        pen.say(f"refused.{why}", name=person.name)
    elif command.ruling:
        pen.turn = Turn(page=Page.RULING, subject=person.id)
    else:
        pen.turn = Turn(page=Page.SECOND, subject=f"{command.second}:{person.id}")


def _set_aside_for(pen: Pen, person: str) -> None:
    """A tray left open by somebody else, or for too long, is set aside: it is never taken over unasked.

    After a splash it first stays where it lies, until somebody has said whether it was hit.
    """
    trip = pen.bench.trip
    if trip is None or trip.ended or to_clear(pen.bench):
        return
    before, left_ms = pen.bench.left
    away = (pen.now.at_ms - left_ms) / 60_000
    if before != person or away > pen.desk.policy.pause_restart_minutes:
        pen.write(e.Paused(reason="other_person" if before != person else "away"), who=before)


def sign_out(pen: Pen, command: SignOut) -> None:
    """Sign out; a tray on the bench is set aside where it stands."""
    if pen.bench.who is None:
        return
    trip = pen.bench.trip
    if trip is not None and not trip.ended and not command.idle:
        pen.write(e.Paused(reason="end_of_shift"))
    pen.write(e.SignedOut(reason="idle" if command.idle else "own"))


def answer_startup(pen: Pen, command: AnswerStartup) -> None:
    """One question of the bench start-up."""
    step = next_step(pen.bench, pen.desk)
    if step.kind != "startup" or step.question != command.question:
        raise Refused("refused.not_asked")
    pen.write(e.StartupAnswered(question=command.question, yes=command.yes))
    if command.question == "scope" and command.yes:
        for scope in pen.desk.catalogue.kit.scopes:
            pen.write(e.ScopeStartOk(scope=scope.id))
    question, _, one = command.question.partition(":")
    if one and command.yes:
        pen.write(e.ScopeStartOk(scope=one))
    elif one:
        pen.say("notice.startup_one_scope", scope=one)
    elif not command.yes:
        pen.say(f"notice.startup.{question}")


def start_again(pen: Pen, command: StartAgain) -> None:
    """The bench start is asked again: a slip, or kit that was put in order."""
    if next_step(pen.bench, pen.desk).kind not in {"startup", "scan"}:
        raise Refused("refused.not_asked")
    pen.write(e.StartupAgain())


def scope_back(pen: Pen, command: ScopeBack) -> None:
    """A scope is back from reprocessing by its IFU."""
    state = pen.bench.scopes.get(command.scope)
    if state is None or not state.out_of_use or next_step(pen.bench, pen.desk).kind != "scan":
        raise Refused("refused.not_asked")
    pen.write(e.ScopeReturned(scope=command.scope, load=command.load), off_trip=True)
    pen.write(e.ScopeCleaned(scope=command.scope))


def first_aid(pen: Pen, command: FirstAid) -> None:
    """First aid at once: from any page, signed in or not."""
    if pen.bench.first_aid_ms is None:
        pen.write(e.FirstAidBegun(), private=True)


def first_aid_done(pen: Pen, command: FirstAidDone) -> None:
    """Leave the first-aid page. Who goes on at the bench shows a badge: the one who was hurt may be at the eye wash."""
    if pen.bench.first_aid_ms is None:
        return
    if command.mistake:
        pen.write(e.FirstAidLeft(), private=True)
        return
    pen.write(e.ExposureNoted(), private=True)
    pen.write(e.LeadTold(piece="", why="exposure"), private=True)
    if pen.bench.who is not None:
        pen.write(e.SignedOut(reason="first_aid"), private=True)
