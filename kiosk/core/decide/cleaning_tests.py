"""The rules of cleaning tests: typed at the desk, kept with the levels of now. No result clears or holds anything."""

from collections.abc import Callable
from dataclasses import fields, replace
from decimal import Decimal
from typing import Any

from kiosk.core import events as e
from kiosk.core.cleaning_levels import levels_for, meter_name
from kiosk.core.cleaning_tests import METHODS, UNITS, Grade, Levels, Marker, Result, grade, is_light, plain_number
from kiosk.core.commands import AnswerCleaningTest, KeepCleaningTest, Page, Turn
from kiosk.core.decide.desk_papers import at_the_desk
from kiosk.core.decide.overridable import Overridable
from kiosk.core.decide.pen import Pen, Refused
from kiosk.core.desk import Desk
from kiosk.core.meaning import Kind, Meaning
from kiosk.core.together.kept_tests import DONE, MISTYPED, done_about, every_test, open_trip_about

LETTERS = 24
MARK_LETTERS = 80
"""A scanned mark may be long; what is typed is cut at `LETTERS`."""
NO_METER = "-"
MOST = 10_000_000
"""More than any meter shows (a choice): beyond it, it is a slip."""

FIELDS = tuple(each.name for each in fields(KeepCleaningTest))
_ABOUT = {Kind.TRAY: "tray", Kind.ITEM: "item", Kind.LOAD: "load"}


def so_far(turn: Turn | None) -> KeepCleaningTest:
    """The fields that were given on the pages before."""
    given = (turn.subject if turn else "").split("|")
    return KeepCleaningTest(**dict(zip(FIELDS, given, strict=False)))


def page_of(command: KeepCleaningTest) -> Turn:
    """The page that asks for the next field."""
    return Turn(page=Page.NEW_TEST, subject="|".join(getattr(command, name) for name in FIELDS).rstrip("|"))


def asks_for(command: KeepCleaningTest) -> str:
    """The field that is missing next; "" where none is."""
    wanted = (name for name in FIELDS if name != "what" or command.kind == Marker.OTHER)
    return next((name for name in wanted if not getattr(command, name)), "")


def scanned_for(turn: Turn, meaning: Meaning) -> KeepCleaningTest | None:
    """What a scan means where a new result is typed: the meter, or what was sampled. None: nothing of these."""
    given = so_far(turn)
    match asks_for(given):
        case "meter" if meaning.kind in {Kind.UNKNOWN, Kind.ITEM}:
            return replace(given, meter=meaning.text)
        case "about" if meaning.kind in _ABOUT:
            return replace(given, about=f"{_ABOUT[meaning.kind]}={meaning.text}")
    return None


def keep(pen: Pen, command: KeepCleaningTest) -> None:
    """The next field, or the result: kept with the department's levels of now, and the lead told of one at action."""
    at_the_desk(pen)
    command = _read(pen.desk, command)
    if asks_for(command):
        pen.turn = page_of(command)
        return
    result = Result(
        marker=Marker(command.kind),
        value=_value(command.value),
        unit=command.unit,
        method=command.method,
        meter="" if command.meter == NO_METER else command.meter,
    )
    levels = levels_for(result, pen.desk.policy.cleaning_levels)
    number = f"CT-{pen.desk.bench_number}{pen.bench.keeping.passed_over + pen.bench.tests.made + 1:04d}"
    if pen.desk.side == "decontam":
        number = number.replace("CT-", "CT-D")
    kept = e.CleaningTestKept(
        number=number,
        kind=command.kind,
        what=command.what,
        value=f"{result.value:f}",
        unit=result.unit,
        method=result.method,
        meter=result.meter,
        about=command.about,
        trip=open_trip_about(pen.bench, pen.desk, command.about),
        **_levels(levels),
    )
    pen.write(kept, off_trip=True)
    at = grade(result, levels) if levels else None
    if at is Grade.ACTION:
        pen.write(e.LeadTold(piece="", why="cleaning_test"), off_trip=True)
    pen.turn = Turn(page=Page.CLEANING_TEST, subject=number)
    pen.say("cleaning.kept", number=number)


def _levels(levels: Levels | None) -> dict[str, Any]:
    if levels is None:
        return {}
    alert, action = ("" if each is None else f"{each:f}" for each in (levels.alert, levels.action))
    return {"alert": alert, "action": action, "level_unit": levels.unit, "reached": levels.reached}


def _read(desk: Desk, command: KeepCleaningTest) -> KeepCleaningTest:
    """Each field as it is kept. Refuses what is not on offer, and light units without their meter."""
    if command.kind and command.kind not in set(Marker):
        raise Refused("refused.not_asked")
    if command.unit and command.unit not in units_of(desk, command.kind):
        raise Refused("refused.not_asked")
    if command.method and command.method not in METHODS:
        raise Refused("refused.not_asked")
    meter = meter_name(command.meter)[:LETTERS]
    if is_light(command.unit) and command.meter and meter in {"", NO_METER}:
        raise Refused("refused.test_meter")
    what = " ".join(command.what.replace("|", " ").split())[:LETTERS] if command.kind == Marker.OTHER else ""
    return replace(command, what=what, meter=meter, about=_about(desk, command.about))


def units_of(desk: Desk, kind: str) -> tuple[str, ...]:
    """Units on offer for a kind: the usual ones, and those of the department's levels."""
    if kind not in set(Marker):
        return ()
    own = (each.unit for each in desk.policy.cleaning_levels if each.marker == kind)
    return tuple(dict.fromkeys((*UNITS[Marker(kind)], *own)))


def _about(desk: Desk, text: str) -> str:
    """What was sampled, as it is kept: what was scanned as it is; of what was typed, what the catalogue knows it as."""
    text = " ".join(text.replace("|", " ").split())[:MARK_LETTERS]
    kind, given, code = text.partition("=")
    if not text or (given and kind in {*_ABOUT.values(), "other"} and code):
        return text
    code = text.upper()
    if code in desk.catalogue.trays:
        return f"tray={code}"
    if code in desk.catalogue.loads:
        return f"load={code}"
    marks = {mark for tray in desk.catalogue.trays.values() for item in tray.items for mark in item.marks}
    return next((f"item={mark}" for mark in (text, code) if mark in marks), f"other={text[:LETTERS]}")


def _value(text: str) -> Decimal:
    value = plain_number(text)
    if value is None:
        raise Refused("refused.test_value")
    return value


def answer(pen: Pen, command: AnswerCleaningTest) -> None:
    """What was done about a result at action, once; or that a result was typed wrong. It stays in every list."""
    pen.supervisor(pen.bench.who)
    test = next((each for each in every_test(pen.bench, pen.desk) if each.number == command.test), None)
    if test is None or done_about(pen.bench, pen.desk, command.test):
        raise Refused("refused.not_asked")
    if command.done != MISTYPED and (command.done not in DONE or test.grade is not Grade.ACTION):
        raise Refused("refused.not_asked")
    pen.write(e.CleaningTestAnswered(test=command.test, done=command.done), off_trip=True)
    pen.turn = Turn(page=Page.CLEANING_TEST, subject=command.test)


RULES: dict[type, Callable[[Pen, Any], None]] = {KeepCleaningTest: keep, AnswerCleaningTest: answer}
BY_NOBODY: tuple[type, ...] = ()
"""Commands that need nobody signed in."""
OVERRIDES: tuple[Overridable, ...] = ()
"""What a supervisor may let go on here."""


def settle(pen: Pen) -> None:
    """Nothing follows from a result by itself."""
