"""A tray that is one forceps short, in a department that lets its supervisor pack it so."""

from dataclasses import replace
from typing import Any

from kiosk.core import commands as c
from tests.core.department import EAR, Shift, desk

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
    return shift
