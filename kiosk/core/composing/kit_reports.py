"""Papers of the kit: a scope's log, with its gaps, and the ticket that goes with a soiled scope."""

from collections.abc import Callable, Sequence

from kiosk.core import events as e
from kiosk.core.composing.parts import ReportOrder, moment, report_foot
from kiosk.core.glance import Glance
from kiosk.core.papers import Report, ReturnTicket, Section, SheetLine
from kiosk.core.past.kit_log import OF_SCOPES, ScopeLine, scope_log
from kiosk.core.stamp import local_time
from kiosk.core.state.scopes import ScopeState

DAYS = 7
"""How far back a scope's log goes on paper (a choice: a week's page; the records go back to their beginning)."""


def scope_log_report(g: Glance, order: ReportOrder) -> Report:
    """The log of the scope named by `about`: every use, every cleaning, and what lies between as a gap."""
    say = g.words.say
    scope = next(one for one in g.desk.catalogue.kit.scopes if one.id == order.about)
    since = g.now.at_ms - DAYS * 86_400_000
    told = [kept for name, kept in g.desk.records.kept(*OF_SCOPES, holding=scope.id, since_ms=since)]
    lines = scope_log(told, scope.id)
    uses = [line for line in lines if line.kind in {"start", "use", "cleaned", "gap"}]
    care = [line for line in lines if line.kind in {"out", "sent", "back"}]
    gaps = sum(line.gap or line.kind == "gap" for line in lines)
    counts = {"uses": sum(line.kind == "use" for line in lines), "gaps": gaps}
    counts["cleanings"] = sum(line.kind == "cleaned" for line in lines)
    return Report(
        doc=order.doc,
        title=say("paper.scope_log.title"),
        number=order.number,
        about=say("paper.scope_log.about", scope=scope.id, od=scope.od_mm, reach=scope.reach_mm, days=DAYS),
        headline=(say("paper.scope_log.headline", **counts),),
        sections=(
            _section(g, "uses", uses),
            _section(g, "care", care),
            Section(title=say("paper.scope_log.unknown"), paragraphs=g.words.lines("paper.scope_log.not_known")),
        ),
        foot=report_foot(g, order),
    )


def _section(g: Glance, key: str, lines: Sequence[ScopeLine]) -> Section:
    none = () if lines else (g.words.say("paper.scope_log.none"),)
    return Section(
        title=g.words.say(f"paper.scope_log.{key}"), paragraphs=none, lines=tuple(_row(g, line) for line in lines)
    )


def _row(g: Glance, line: ScopeLine) -> SheetLine:
    say = g.words.say
    detail = {"found": "", "reason": "", "load": line.detail}
    if line.kind == "out" and line.detail in g.desk.findings.kinds:
        detail["found"] = g.desk.findings[line.detail].say
    if line.kind == "gap":
        detail["reason"] = say(f"kit.gap.why.{line.detail}").replace("\n", " ")
    kind = "back_plain" if line.kind == "back" and not line.detail else line.kind
    what = say(f"paper.scope_log.line.{kind}", **detail)
    where = _where(g, line) if line.kind == "use" else ""
    by = say("paper.scope_log.by", name=g.name_of(line.by)) if line.by else ""
    gap = say("paper.scope_log.gap") if line.gap else ""
    when = f"{local_time(line.at_ms, line.offset_min):%m-%d %H:%M}"
    return SheetLine(label=f"{when}  {what}", value=gap, note=" · ".join(part for part in (where, by) if part))


def _where(g: Glance, line: ScopeLine) -> str:
    """Which way of which piece, on which trip of which tray."""
    opened = next((k.event for _, k in g.desk.records.of_trip(line.trip, "tray_opened")), None)
    tray = opened.tray if isinstance(opened, e.TrayOpened) else None
    item = next((item for item in tray.items if item.id == line.piece.partition("#")[0]), None) if tray else None
    piece = f"{item.name} {line.piece}" if item else line.piece
    trip = g.words.say("lookback.trip", trip=line.trip)
    return " · ".join(filter(None, (piece, line.way, tray.code if tray else "", trip)))


def scope_ticket(g: Glance, order: ReportOrder) -> ReturnTicket:
    """The scope crosses as a soiled item: its own number, what it met, and what is asked of decontam."""
    say, scope = g.words.say, order.number
    state = g.bench.scopes.get(scope, ScopeState())
    found = g.desk.findings[state.out_of_use].say if state.out_of_use in g.desk.findings.kinds else ""
    facts = (("back_to", say("paper.scope_ticket.back_to")), ("time", g.clock(state.sent_ms or g.now.at_ms)))
    c_lines = (
        ("waits", say("paper.scope_ticket.waits", scope=scope)),
        ("again", say("paper.scope_ticket.again")),
        ("sent", moment(g, state.sent_ms or g.now.at_ms)),
    )
    return ReturnTicket(
        number=scope,
        code=g.desk.encode(scope),
        code_text=g.desk.with_check(scope),
        header=say("paper.ticket.header"),
        scope=say("paper.ticket.piece"),
        not_clear=say("paper.ticket.word.found"),
        ring="found",
        said=(found,) if found else (),
        pieces=(say("paper.scope_ticket.piece", scope=scope),),
        tray=g.bench_name,
        marks=(),
        how_found=say("paper.ticket.found_by", method=say("paper.ticket.by_method.scope")),
        todo=(say("paper.scope_ticket.todo"),),
        together="",
        warnings=(),
        effort="",
        facts=tuple(SheetLine(label=say(f"paper.ticket.fact.{key}"), value=value) for key, value in facts),
        biohazard=say("paper.ticket.biohazard"),
        receive=say("paper.ticket.receive", number=g.desk.with_check(scope)),
        part_d=say("paper.scope_ticket.part_d"),
        part_c=say("paper.scope_ticket.part_c"),
        c_lines=tuple(SheetLine(label=say(f"paper.scope_ticket.c.{key}"), value=value) for key, value in c_lines),
        foot=report_foot(g, order),
    )


TICKET = "scope_ticket"
REPORTS: dict[str, Callable[[Glance, ReportOrder], Report]] = {"scope_log": scope_log_report}
