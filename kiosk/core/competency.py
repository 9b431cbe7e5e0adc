"""Who is signed for which method, and who is not any more. It warns the supervisor; it locks nobody."""

from collections.abc import Iterable, Mapping
from datetime import timedelta

from kiosk.core.catalogue import Person
from kiosk.core.desk import Desk
from kiosk.core.state.amendments import Signed
from kiosk.core.state.bench import Bench
from kiosk.core.state.trip import Trip
from kiosk.core.vocabulary import Role

CHECKING = frozenset({Role.TECH, Role.TRAINEE, Role.SENIOR})
"""Roles whose work is looking through lumens."""

MONTH_MS = int(timedelta(days=365.25 / 12).total_seconds() * 1000)
"""A mean month of the Gregorian calendar."""


def signed_of(person: str, benches: Iterable[Bench]) -> dict[str, Signed]:
    """The newest signature for each method, at whichever station it was given."""
    out: dict[str, Signed] = {}
    for bench in benches:
        for method, signed in bench.staff.signed.get(person, {}).items():
            if method not in out or out[method].at_ms < signed.at_ms:
                out[method] = signed
    return out


def lapsed(bench: Bench, desk: Desk, at_ms: int) -> dict[str, tuple[str, ...]]:
    """Person -> methods whose signature has run out. Methods never signed for are not counted here."""
    out = {}
    for person in desk.catalogue.people.values():
        if person.role not in CHECKING or person.disabled:
            continue
        signed = signed_of(person.id, (bench, *desk.others.values()))
        over = tuple(m for m in desk.policy.competency_methods if m in signed and signed[m].until_ms <= at_ms)
        if over:
            out[person.id] = over
    return out


def answered_by_trainees(trip: Trip, people: Mapping[str, Person]) -> tuple[int, frozenset[str]]:
    """How many YES stand on the tray, and which trainees gave some of them."""
    given = [yes for piece in trip.pieces.values() for answers in piece.yes.values() for yes in answers]
    trainees = {yes.by for yes in given if yes.by in people and people[yes.by].role is Role.TRAINEE}
    return len(given), frozenset(trainees)


def wants_cosign(trip: Trip, desk: Desk) -> bool:
    """Does policy ask for somebody beside the trainee, and has nobody signed for these answers yet?"""
    if "trainee" not in desk.policy.second_person:
        return False
    answers, trainees = answered_by_trainees(trip, desk.catalogue.people)
    return bool(trainees) and (not trip.cosigned[0] or trip.cosigned[1] != answers)
