"""The rules of overrides: who may let what go on, against whose word, with whom beside; the never-list.

Policy: `may_override`, `never_override`, `override_roles`, `self_override`, `second_person`, `phone_approval`.
"""

from collections.abc import Callable, Iterable
from typing import Any

from kiosk.core import events as e
from kiosk.core.agenda import to_sign
from kiosk.core.commands import Cosign, GiveOverride, NoSecondHere, Page, SecondOnOverride, Turn
from kiosk.core.decide import counting, kit, looking, trays
from kiosk.core.decide.overridable import Overridable, Subjects
from kiosk.core.decide.pen import Pen, Refused
from kiosk.core.desk import Desk
from kiosk.core.state.bench import Bench
from kiosk.core.state.ruled import Override
from kiosk.core.vocabulary import Group, Role

OVERRIDES: dict[str, Overridable] = {
    row.name: row for part in (counting, trays, looking, kit) for row in part.OVERRIDES
}
"""Everything that may be overridden, by policy's name."""

SECOND = Turn(page=Page.NAMES, subject="second:override:")
"""Where the second person of an override signs in."""

ABSENT = "second_person_absent"
"""Policy's name of the override of the second person: nobody else is there."""


def offers(bench: Bench, desk: Desk) -> tuple[tuple[Overridable, Subjects], ...]:
    """What may be overridden now. What stands on the never-list, or not on the list, is not among it."""
    return tuple(
        (row, subjects)
        for row in OVERRIDES.values()
        for subjects in row.asked(bench, desk)
        if not barred(bench, desk, row.name, subjects)
    )


def barred(bench: Bench, desk: Desk, what: str, subjects: Iterable[str]) -> str:
    """Why this is not to be overridden by anybody: never, not_listed, or ""."""
    trip, never = bench.trip, desk.policy.never_override
    if _on(what, desk, never):
        return "never"
    named = set(subjects)
    found = [f for f in trip.findings if f.piece in named and not f.put_right] if trip else []
    if any(_on(finding.code, desk, never) for finding in found):
        return "never"
    unreleased = trip is not None and trip.load_ok is not True and desk.policy.load_release_required
    if unreleased and "load_not_released" in never:
        return "never"
    return "" if what in desk.policy.may_override else "not_listed"


def _on(name: str, desk: Desk, never: frozenset[str]) -> bool:
    """Does a name, or the soil it stands for, stand on the never-list?"""
    kind = desk.findings.kinds.get(name)
    return name in never or (kind is not None and kind.group is Group.SOIL and "all_soil" in never)


def whose_work(bench: Bench, subjects: Iterable[str]) -> set[str]:
    """Whose work it is: of whoever worked on the tray's pieces named; with no tray, of whoever is signed in."""
    if bench.trip is not None:
        return bench.trip.worked_on_by(subjects)
    return {bench.who} if bench.who else set()


def wants_second(row: Overridable, desk: Desk) -> bool:
    """Does policy ask for a second person?"""
    return bool(row.seconds & desk.policy.second_person)


def may_be_alone(bench: Bench, desk: Desk) -> bool:
    """May the second person be done without, where nobody else is there?"""
    return not barred(bench, desk, ABSENT, ())


def given_here(bench: Bench) -> Override | None:
    """The override that waits for its second person, on the tray of the bench or on the bench's kit."""
    return bench.overrides_given.get(bench.current or "") or bench.overrides_given.get("")


def give(pen: Pen, command: GiveOverride) -> None:
    """A supervisor lets it go on; a second person agrees first where policy asks for one."""
    why = _refusal(pen, command)
    if why:
        _refuse(pen, command.what, command.subjects, command.by, why)
        return
    row = OVERRIDES.get(command.what)
    if row is None or (row, command.subjects) not in offers(pen.bench, pen.desk):
        raise Refused("refused.not_asked")
    if command.phone and pen.desk.policy.phone_approval == "never":
        raise Refused("refused.no_phone")
    if command.reason not in row.reasons:
        raise Refused("refused.not_asked")
    if command.reason == "other" and not command.words.strip():
        raise Refused("refused.reason_words")
    given = e.OverrideGiven(
        what=row.name,
        subjects=command.subjects,
        reason=command.reason,
        words=command.words.strip(),
        by=command.by,
        phone=command.phone,
    )
    pen.write(given, off_trip=not row.of_trip)
    if wants_second(row, pen.desk):
        pen.turn = SECOND
    else:
        _done(pen)


def _refusal(pen: Pen, command: GiveOverride) -> str:
    """Why this try is refused whatever stands on the bench, or ""."""
    policy = pen.desk.policy
    person = pen.desk.catalogue.people.get(command.by)
    if person is None or person.role not in policy.override_roles or person.role is not Role.SUPERVISOR:
        return "not_supervisor"
    if command.by in whose_work(pen.bench, command.subjects) and not policy.self_override:
        return "own_work"
    return barred(pen.bench, pen.desk, command.what, command.subjects)


def _refuse(pen: Pen, what: str, subjects: Subjects, by: str, why: str) -> None:
    row = OVERRIDES.get(what)
    off = pen.bench.trip is None or (row is not None and not row.of_trip)
    pen.write(e.OverrideRefused(what=what, subjects=subjects, by=by, why=why), off_trip=off)
    pen.say(f"refused.override.{why}")


def second_refused(pen: Pen, about: str, person: str) -> bool:
    """Is this person no second for the override that waits? The try is recorded then, and another badge asked for."""
    given = given_here(pen.bench)
    if about != "override":
        return False
    if given is None:
        raise Refused("refused.not_asked")
    if person != given.by and person != given.asked and person not in whose_work(pen.bench, given.subjects):
        return False
    _refuse(pen, given.what, given.subjects, person, "same_person")
    pen.turn = SECOND
    return True


def second(pen: Pen, command: SecondOnOverride) -> None:
    """The second person agrees, or not."""
    if second_refused(pen, "override", command.by):
        return
    given = given_here(pen.bench)
    assert given is not None
    if command.yes:
        _done(pen, second=command.by)
    else:
        _refuse(pen, given.what, given.subjects, command.by, "second_said_no")


def no_second(pen: Pen, command: NoSecondHere) -> None:
    """Nobody else is there: recorded as such, and signed for by a supervisor afterwards."""
    if given_here(pen.bench) is None or not may_be_alone(pen.bench, pen.desk):
        raise Refused("refused.not_asked")
    _done(pen, alone=True)


def _done(pen: Pen, *, second: str = "", alone: bool = False) -> None:
    """It stands, if it still may be asked for."""
    given = given_here(pen.bench)
    row = OVERRIDES.get(given.what) if given else None
    if given is None or row is None or (row, given.subjects) not in offers(pen.bench, pen.desk):
        raise Refused("refused.not_asked")
    done = e.OverrideDone(
        n=pen.bench.overrides + 1,
        what=given.what,
        subjects=given.subjects,
        reason=given.reason,
        words=given.words,
        asked=given.asked,
        by=given.by,
        second=second,
        phone=given.phone,
        alone=alone,
    )
    pen.write(done, who=pen.bench.who if given.phone else given.by, off_trip=not row.of_trip)
    row.follow(pen, done)
    pen.say("notice.override_done")


def cosign(pen: Pen, command: Cosign) -> None:
    """A supervisor signs for what was given on the phone, or without a second person. NO is kept too."""
    waiting = next((one for one in to_sign(pen.bench, pen.desk) if one.n == command.n), None)
    if waiting is None:
        raise Refused("refused.not_asked")
    pen.write(e.OverrideCosigned(n=waiting.n, yes=command.yes), trip=waiting.trip or None, off_trip=not waiting.trip)
    if not command.yes:
        pen.write(e.LeadTold(piece=waiting.tray, why="override_not_signed"), off_trip=True)


RULES: dict[type, Callable[[Pen, Any], None]] = {
    GiveOverride: give,
    SecondOnOverride: second,
    NoSecondHere: no_second,
    Cosign: cosign,
}
BY_NOBODY: tuple[type, ...] = ()
"""Commands that need nobody signed in."""


def settle(pen: Pen) -> None:
    """Nothing follows by itself."""
