"""What the kit went through: a scope's uses and cleanings with their gaps, and what is out today."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from kiosk.core import events as e
from kiosk.core.desk import Desk
from kiosk.core.stamp import Kept
from kiosk.core.startup import kit_today, startup_answered, startup_questions
from kiosk.core.state.bench import Bench

OF_SCOPES = (
    "check_yes", "check_no", "scope_start_ok", "scope_cleaned", "scope_not_cleaned", "scope_out_of_use", "scope_sent",
    "scope_returned",
)  # fmt: skip
"""Names of the events that a scope's log is made from."""


@dataclass(frozen=True, slots=True, kw_only=True)
class ScopeLine:
    """One thing that happened to a scope. `kind`: start, use, cleaned, gap, out, sent, back.

    `gap`: it went on to another piece, and neither a cleaning nor a reason lies between.
    """

    kind: str
    at_ms: int
    offset_min: int
    by: str
    trip: str = ""
    piece: str = ""
    way: str = ""
    detail: str = ""
    gap: bool = False


def scope_log(kepts: Iterable[Kept], scope: str) -> tuple[ScopeLine, ...]:
    """The lines of one scope, oldest first, from the events OF_SCOPES."""
    lines: list[ScopeLine] = []
    used: tuple[str, str] | None = None
    for kept in kepts:
        event, stamp = kept.event, kept.stamp
        told = {"at_ms": stamp.at_ms, "offset_min": stamp.offset_min, "by": stamp.who or "", "trip": stamp.trip or ""}
        match event:
            case e.CheckYes() | e.CheckNo() if event.tool == scope and event.key.endswith("scope"):
                here = (stamp.trip or "", event.piece)
                way = event.key.rpartition(".")[0]
                gap = used is not None and used != here
                lines.append(_line("use", told, piece=event.piece, way=way, gap=gap, detail=event.end))
                used = here
            case e.ScopeStartOk(scope=name) if name == scope:
                lines.append(_line("start", told))
            case e.ScopeCleaned(scope=name) if name == scope:
                lines.append(_line("cleaned", told))
                used = None
            case e.ScopeNotCleaned(scope=name) if name == scope:
                lines.append(_line("gap", told, detail=event.reason))
                used = None
            case e.ScopeOutOfUse(scope=name) if name == scope:
                lines.append(_line("out", told, detail=event.why))
            case e.ScopeSent(scope=name) if name == scope:
                lines.append(_line("sent", told, detail=event.why))
            case e.ScopeReturned(scope=name) if name == scope:
                lines.append(_line("back", told, detail=event.load))
            case _:
                pass
    return tuple(lines)


def _line(kind: str, told: dict[str, object], **more: object) -> ScopeLine:
    return ScopeLine(kind=kind, **told, **more)  # type: ignore[arg-type]


@dataclass(frozen=True, slots=True, kw_only=True)
class KitOut:
    """Kit that is out of use. `what`: surface, lamp, swabs, scope, air, tester, printer, swab_lot.

    `name` where it has one; words: `kit.out.<what>`, and how to work without it, `kit.without.<what>`. `since_ms`: Unix
    ms, or 0.
    """

    what: str
    name: str = ""
    since_ms: int = 0


def kit_out(bench: Bench, desk: Desk) -> Sequence[KitOut]:
    """What is out of use at this bench now: answered NO at the bench start, soiled, set aside, or not printing."""
    said_no = [q for q in startup_questions(desk) if q != "scope" and startup_answered(bench, desk, q) is False]
    out = [KitOut(what=question, since_ms=bench.startup[question][1]) for question in said_no]
    away = [scope.id for scope in desk.catalogue.kit.scopes if scope.id in kit_today(bench, desk)[1]]
    out += [KitOut(what="scope", name=scope, since_ms=_out_since(bench, scope)) for scope in away]
    if bench.printer_down:
        out.append(KitOut(what="printer"))
    if bench.swab_lot in bench.lots_aside:
        out.append(KitOut(what="swab_lot", name=bench.swab_lot))
    return out


def _out_since(bench: Bench, scope: str) -> int:
    asked = bench.startup.get(f"scope:{scope}") or bench.startup.get("scope")
    return asked[1] if asked and not asked[0] else 0
