"""A tray that is one forceps short, in a department that lets its supervisor pack it so; a package opened again."""

from dataclasses import replace
from typing import Any

from kiosk.core import commands as c
from kiosk.core import events as e
from kiosk.core.evolve import evolve
from kiosk.core.stamp import Kept, Stamp
from tests.core.department import EAR, PIN, Shift, at_work, desk

GIVE = c.GiveOverride(by="S1", what="missing_pack_short", subjects=("Forceps",), reason="not_found")


def short(who: str = "T1", *, vital: bool = False, **policy: Any) -> Shift:
    """Counted: three of four forceps. `vital`: the set is named after them."""
    shift = Shift(desk=desk(**{"missing_rule": "pack_short_by_supervisor", **policy}))
    catalogue = shift.desk.catalogue
    tray = catalogue.trays[EAR]
    lines = tuple(replace(line, vital=vital and line.name == "Forceps") for line in tray.lines)
    trays = {**catalogue.trays, EAR: replace(tray, lines=lines)}
    shift.session.use(replace(shift.desk, catalogue=replace(catalogue, trays=trays)))
    shift.sign_in(who)
    shift.open()
    while shift.step.kind == "startup":  # a supervisor is asked when a tray is opened
        shift.must(c.AnswerStartup(question=shift.step.question, yes=True))
    others = tuple(line.name for line in lines if line.name != "Forceps")
    shift.must(c.CountLine(line="Forceps", have=3), c.CountAll(lines=others, took_ms=5000), c.CountDiffers())
    shift.must(c.Search(line="Forceps", places=("sink", "racks"), over=True))
    return shift


def second(shift: Shift, who: str = "T2", *, yes: bool = True) -> list[e.Event]:
    """The second person of an override signs in for the answer, and answers."""
    shift.must(c.EnterPin(person=who, pin=PIN, second="override"))
    return shift.must(c.SecondOnOverride(by=who, yes=yes))


def packed_short() -> Shift:
    """Packed without the forceps, as the supervisor let it go."""
    shift = short()
    shift.must(GIVE)
    second(shift)
    shift.yes_to_all()
    shift.pack()
    return shift


def reopened() -> Shift:
    """Packed, and opened again."""
    shift = at_work(EAR)
    shift.yes_to_all()
    shift.pack()
    shift.tidy()
    stamp = Stamp(at_ms=shift.at_ms, offset_min=0, trusted=True, who="T1", trip=shift.trip.id, policy=1, record=1)
    kept = Kept(event=e.TrayReopened(package=shift.trip.package, why="mixed"), stamp=stamp)
    shift.session.bench = evolve(shift.bench, kept)
    shift.log.append(kept)
    return shift
