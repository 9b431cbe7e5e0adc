"""The bench start-up: what it asks for the kit there is, what was answered in this shift, and what kit that leaves."""

from dataclasses import replace
from datetime import date
from functools import lru_cache

from kiosk.core.catalogue import Kit
from kiosk.core.desk import Desk
from kiosk.core.shift import shift_of
from kiosk.core.stamp import local_time
from kiosk.core.state.bench import Bench


def startup_questions(desk: Desk) -> tuple[str, ...]:
    """The bench start-up's questions for the kit there is."""
    kit = desk.catalogue.kit
    asked = ["surface", "lamp"]
    if kit.swabs:
        asked.append("swabs")
    if kit.scopes and desk.policy.scope_start_check != "none":
        asked.append("scope")
    if kit.air_station:
        asked.append("air")
    return (*asked, "tester")


def startup_asked(bench: Bench, desk: Desk) -> tuple[str, ...]:
    """The questions with those that a NO brings: where not all scopes are ready, each is asked by itself."""
    asked, scopes = startup_questions(desk), desk.catalogue.kit.scopes
    if "scope" not in asked or len(scopes) < 2 or startup_answered(bench, desk, "scope") is not False:
        return asked
    at = asked.index("scope") + 1
    return (*asked[:at], *(f"scope:{scope.id}" for scope in scopes), *asked[at:])


def startup_answered(bench: Bench, desk: Desk, question: str) -> bool | None:
    """The answer given in the shift of the sign-in, or since the sign-in (06:59 and 07:01 are two shifts), or None.

    The scopes are asked once a day where policy says so.
    """
    if question not in bench.startup:
        return None
    yes, at_ms, offset = bench.startup[question]
    if at_ms >= bench.signed_in[0]:
        return yes
    if question.startswith("scope") and desk.policy.scope_start_check == "day":
        return yes if local_time(at_ms, offset).date() == local_time(*bench.signed_in).date() else None
    shifts = tuple(desk.policy.shifts.items())
    return yes if _shift(at_ms, offset, shifts) == _shift(*bench.signed_in, shifts) else None


@lru_cache(maxsize=64)
def _shift(at_ms: int, offset: int, shifts: tuple[tuple[str, tuple[str, str]], ...]) -> tuple[str, date]:
    """The shift of a moment; asked again with every tap for the same few moments."""
    return shift_of(local_time(at_ms, offset), dict(shifts))


def kit_today(bench: Bench, desk: Desk) -> tuple[Kit, frozenset[str]]:
    """The kit without what the start-up took out, and the scopes that are out of use."""
    kit = desk.catalogue.kit
    said_no = {q for q in startup_questions(desk) if startup_answered(bench, desk, q) is False}
    kit = replace(
        kit,
        swabs=None if "swabs" in said_no else kit.swabs,
        air_station=kit.air_station and "air" not in said_no,
    )
    out = {scope for scope, state in bench.scopes.items() if state.out_of_use}
    if "scope" in said_no:
        out |= {scope.id for scope in kit.scopes if startup_answered(bench, desk, f"scope:{scope.id}") is not True}
    return kit, frozenset(out)
