"""The trays that were opened in a span, each with the set record it had then."""

from collections.abc import Iterable
from dataclasses import dataclass

from kiosk.core.catalogue import Tray
from kiosk.core.events import PlanShown, TrayOpened
from kiosk.core.plan import PiecePlan
from kiosk.quality.span import Span
from kiosk.store.codec import CodecFault, decode
from kiosk.store.records import StoreRecords

_OPENED = (
    "SELECT t.trip, t.bench, e.day, e.minute, e.body FROM fact_trip t "
    "JOIN readable_event e ON e.trip = t.trip AND e.typ = 'tray_opened' AND e.at_ms = t.at_ms "
    "WHERE t.day BETWEEN ? AND ? GROUP BY t.trip ORDER BY t.at_ms, t.trip"
)
_LET_GO = (
    "SELECT DISTINCT e.trip FROM fact_trip t JOIN readable_event e ON e.trip = t.trip AND e.typ = 'tray_let_go' "
    "WHERE t.day BETWEEN ? AND ?"
)
_FIRST_PLAN = (
    "SELECT e.trip, e.body, min(e.seq) FROM fact_trip t "
    "JOIN readable_event e ON e.trip = t.trip AND e.typ = 'plan_shown' WHERE t.day BETWEEN ? AND ? GROUP BY e.trip"
)


@dataclass(frozen=True, slots=True, kw_only=True)
class OpenedTray:
    """A trip as it began: where, at which local day and minute of it, with which set record."""

    trip: str
    bench: str
    day: str
    minute: int
    tray: Tray


@dataclass(frozen=True, slots=True, kw_only=True)
class Opened:
    """The trips of a span, the oldest first.

    `let_go`: opened by mistake and let go before anything was answered, not among the trays. `unreadable`: trips whose
    set record this program cannot read.
    """

    trays: tuple[OpenedTray, ...]
    let_go: int
    unreadable: int

    @property
    def moments(self) -> list[tuple[str, int]]:
        """Local day and minute of each opening."""
        return [(each.day, each.minute) for each in self.trays]


def opened_in(records: StoreRecords, span: Span) -> Opened:
    """The trays that were opened in a span, at all stations known here. Raises Outage."""
    gone = {row[0] for row in records.ask(_LET_GO, span.between)}
    trays, unreadable = [], 0
    for trip, bench, day, minute, body in records.ask(_OPENED, span.between):
        if trip in gone:
            continue
        try:
            event = decode("tray_opened", 1, body.encode())
        except CodecFault:
            unreadable += 1
            continue
        assert isinstance(event, TrayOpened)
        trays.append(OpenedTray(trip=trip, bench=bench, day=day, minute=minute, tray=event.tray))
    return Opened(trays=tuple(trays), let_go=len(gone), unreadable=unreadable)


def first_plans(records: StoreRecords, span: Span) -> dict[str, frozenset[str]]:
    """The plan each trip of the span began with, as `questions` tells it. Raises Outage."""
    out = {}
    for trip, body, _ in records.ask(_FIRST_PLAN, span.between):
        try:
            event = decode("plan_shown", 1, body.encode())
        except CodecFault:
            continue
        assert isinstance(event, PlanShown)
        out[trip] = questions(event.plans)
    return out


def questions(plans: Iterable[PiecePlan]) -> frozenset[str]:
    """What plans ask: of which piece, which check, from which ends, and what holds it; not why."""
    asked = {f"{plan.piece} {check.key} {check.ends or ''}" for plan in plans for check in plan.checks}
    return frozenset(asked | {f"{plan.piece} {plan.hold}" for plan in plans if plan.hold})
