"""From the trip to the papers' text. Pure: the same trip and clock give the same paper."""

from collections.abc import Callable

from kiosk.core.composing import (
    chart_page,
    cleaning_tests,
    desk_reports,
    kit_reports,
    month,
    policy_page,
    readings,
    references,
    safety_reports,
    scope_target,
    time_report,
    unseen_report,
)
from kiosk.core.composing.discarding import discard_note
from kiosk.core.composing.outside import label, tag
from kiosk.core.composing.parts import Order, ReportOrder
from kiosk.core.composing.sheet import sheet
from kiosk.core.composing.ticket import ticket, ticket_by_hand
from kiosk.core.glance import Glance
from kiosk.core.papers import Paper, Report
from kiosk.core.scope_target import PAPER
from kiosk.core.state.jobs import Job
from kiosk.core.state.trip import Trip

__all__ = ["Order", "ReportOrder", "compose", "compose_off_trip", "compose_report", "hand_copy"]

_REPORTS: dict[str, Callable[[Glance, ReportOrder], Report]] = {
    **desk_reports.REPORTS,
    **month.REPORTS,
    **chart_page.REPORTS,
    **time_report.REPORTS,
    **unseen_report.REPORTS,
    **safety_reports.REPORTS,
    **kit_reports.REPORTS,
    **cleaning_tests.REPORTS,
    **policy_page.REPORTS,
    **readings.REPORTS,
    **references.REPORTS,
}
"""Kind of paper -> what fills it."""


def compose_off_trip(g: Glance, order: ReportOrder) -> Paper:
    """A paper that belongs to no trip: a report of the desk, the ticket of a scope, the scopes' test target."""
    if order.doc == PAPER:
        return scope_target.target_page(g, order)
    return kit_reports.scope_ticket(g, order) if order.doc == kit_reports.TICKET else compose_report(g, order)


def compose_report(g: Glance, order: ReportOrder) -> Report:
    """The paper of the desk that was asked for."""
    return _REPORTS[order.doc](g, order)


def compose(g: Glance, order: Order) -> Paper:
    """The paper of an order."""
    match order.doc:
        case "tray_sheet":
            return sheet(g, order)
        case "return_ticket":
            return ticket(g, order)
        case "package_label":
            return label(g, order)
        case "discard_note":
            return discard_note(g, order)
        case _:
            return tag(g, order)


def hand_copy(g: Glance, trip: Trip, job: Job) -> tuple[str, ...]:
    """What to write on a spare form when the printer is down."""
    if job.doc == "return_ticket":
        return ticket_by_hand(g, trip, job)
    return (f"{trip.tray.name} · {trip.tray.code}",)
