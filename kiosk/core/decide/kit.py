"""The rules of the kit."""

from collections.abc import Callable
from decimal import Decimal, InvalidOperation
from typing import Any

from kiosk.core import events as e
from kiosk.core.agenda import next_step
from kiosk.core.commands import LeaveScope, OpenSwabLot, Page, ReadAirGauge, SendScope, SetLotAside, TellRoomMade, Turn
from kiosk.core.decide.overridable import Overridable
from kiosk.core.decide.pen import Pen, Refused
from kiosk.core.state.scopes import SCOPE_TICKET
from kiosk.core.together.stop_list import stopped_lot

GAPS = ("no_supplies", "touched_nothing", "told", "other")
"""Reasons for a scope that goes on without a cleaning. None of them is that there is no time."""

LOT_LETTERS = 24


def open_lot(pen: Pen, command: OpenSwabLot) -> None:
    """A new box: every swab from here on is of this lot. A lot that was set aside is not taken."""
    lot = command.lot.strip()[:LOT_LETTERS]
    if not lot:
        raise Refused("refused.not_asked")
    if lot in pen.bench.lots_aside:
        raise Refused("refused.lot_aside", lot=lot)
    if notice := stopped_lot(pen.bench, pen.desk, lot):
        raise Refused("refused.lot_stopped", lot=lot, notice=notice)
    if lot != pen.bench.swab_lot:
        pen.write(e.SwabLotOpened(lot=lot), off_trip=True)
    pen.say("notice.lot_opened", lot=lot)


def set_aside(pen: Pen, command: SetLotAside) -> None:
    """The supervisor takes a lot out of use."""
    if not command.lot or command.lot in pen.bench.lots_aside:
        raise Refused("refused.not_asked")
    pen.write(e.SwabLotSetAside(lot=command.lot), off_trip=True)
    pen.write(e.LeadTold(piece="", why="swab_lot"), off_trip=True)
    pen.turn = Turn(page=Page.SWAB_LOTS)


def leave_scope(pen: Pen, command: LeaveScope) -> None:
    """Not cleaned, with a reason: a gap that everybody sees, where policy leaves it to whoever is there or a lead."""
    step, rule = next_step(pen.bench, pen.desk), pen.desk.policy.scope_gap
    if step.kind != "scope" or command.reason not in GAPS or rule == "nobody":
        raise Refused("refused.not_asked")
    if rule == "supervisor":
        pen.supervisor(command.by)
    pen.write(e.ScopeNotCleaned(scope=step.scope, reason=command.reason), who=command.by or None)
    pen.write(e.LeadTold(piece="", why="scope_not_cleaned"))


def send_scope(pen: Pen, command: SendScope) -> None:
    """A soiled scope crosses to the dirty side as a soiled item does: with a ticket of its own."""
    state = pen.bench.scopes.get(command.scope)
    if state is None or not state.out_of_use or next_step(pen.bench, pen.desk).kind != "scan":
        raise Refused("refused.not_asked")
    if not state.sent_ms:
        pen.write(e.ScopeSent(scope=command.scope, why=state.out_of_use), off_trip=True)
    copies = [job for job in pen.bench.jobs if (job.doc, job.number) == (SCOPE_TICKET, command.scope) and job.settled]
    pen.write(e.PrintAsked(doc=SCOPE_TICKET, number=command.scope, copy=len(copies)), off_trip=True)
    pen.turn = Turn(page=Page.PAPER, subject=f"{SCOPE_TICKET}/{command.scope}")


def read_gauge(pen: Pen, command: ReadAirGauge) -> None:
    """The daily reading of the air gauge. Out of its range, today's plans go on without air."""
    span = pen.desk.policy.air_gauge_kpa
    step = next_step(pen.bench, pen.desk)
    if span is None or step.kind != "startup" or step.question != "air":
        raise Refused("refused.not_asked")
    try:
        kpa = Decimal(command.kpa)
    except InvalidOperation as fault:
        raise Refused("refused.gauge") from fault
    if not kpa.is_finite() or not 0 <= kpa < 10_000:
        raise Refused("refused.gauge")
    ok = span[0] <= kpa <= span[1]
    pen.write(e.AirGaugeRead(kpa=str(kpa), ok=ok), off_trip=True)
    pen.write(e.StartupAnswered(question="air", yes=ok))
    if not ok:
        pen.say("notice.startup.air")


def room_made(pen: Pen, command: TellRoomMade) -> None:
    """Pictures made room on a full disk; the lead is told, and nobody at the bench has to tidy."""
    pen.write(e.PicturesCleared(count=command.count), off_trip=True)
    pen.write(e.LeadTold(piece="", why="disk_full"), off_trip=True)
    pen.turn = None
    pen.say("notice.room_made", n=command.count)


RULES: dict[type, Callable[[Pen, Any], None]] = {
    TellRoomMade: room_made,
    OpenSwabLot: open_lot,
    SetLotAside: set_aside,
    LeaveScope: leave_scope,
    SendScope: send_scope,
    ReadAirGauge: read_gauge,
}
BY_NOBODY: tuple[type, ...] = ()
"""Commands that need nobody signed in."""
OVERRIDES: tuple[Overridable, ...] = ()
"""What a supervisor may let go on here."""


def settle(pen: Pen) -> None:
    """What follows by itself."""
