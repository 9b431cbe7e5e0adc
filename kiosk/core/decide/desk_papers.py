"""The papers of the supervisor's desk: numbered, tried again, copied, and what is kept when one has left."""

from collections.abc import Callable
from typing import Any

from kiosk.core import commands as c
from kiosk.core import events as e
from kiosk.core import waiting
from kiosk.core.decide.pen import Pen, Refused
from kiosk.core.past.figures import asked_in_print
from kiosk.core.past.records import shift_named
from kiosk.core.past.summing import prints, summary_of
from kiosk.core.state.jobs import Job
from kiosk.core.together.kept_readings import figure_of, set_called
from kiosk.core.together.kept_references import counting_for
from kiosk.core.vocabulary import Role

PREFIX = {
    "shift_summary": "S",
    "handover_list": "HL",
    "lookback_report": "LB",
    "audit_pack": "AP",
    "scope_log": "SL",
    "cleaning_tests": "CP",
    "exposure_note": "EN",
    "discard_note": "DN",
    "policy_page": "PP",
    "month_report": "MR",
    "chart_page": "CH",
    "time_report": "TP",
    "unseen_report": "NS",
    "reading_report": "RD",
    "reference_page": "RP",
    "scope_target": "TT",
    "downtime_sheet": "DT",
}
"""Kind of paper of the desk -> what its number begins with."""

Numbered = tuple[str, int, str]
"""Number, copy, what it is about."""


def print_report(pen: Pen, command: c.PrintReport) -> None:
    """A paper of the desk with the next number of its kind, or a marked copy of one that was printed."""
    if command.doc not in PREFIX:
        raise Refused("refused.not_asked")
    if command.number:
        known = [job for job in pen.bench.jobs if (job.doc, job.number) == (command.doc, command.number)]
        if not known or not known[-1].settled:
            raise Refused("refused.not_asked")
        number, copy, about = command.number, known[-1].copy + 1, known[-1].about
    else:
        number, copy, about = _BEFORE.get(command.doc, _next)(pen, command)
    pen.write(e.PrintAsked(doc=command.doc, number=number, copy=copy, about=about), off_trip=True)
    pen.turn = paper_page(command.doc, number)


def _next(pen: Pen, command: c.PrintReport) -> Numbered:
    return paper_number(pen, command.doc), 0, command.about


def paper_number(pen: Pen, doc: str) -> str:
    """S-10012: kind, bench and a running number, so that two stations never give the same one."""
    station = f"D{pen.desk.bench_number}" if pen.desk.side == "decontam" else f"{pen.desk.bench_number}"
    n = pen.bench.keeping.passed_over + pen.bench.papers_numbered.get(doc, 0) + 1
    return f"{PREFIX[doc]}-{station}{n:04d}"


def form_number(bench: int, n: int) -> str:
    """H-1017: the bench, and a running number that is never given twice."""
    return f"H-{bench}{n:03d}"


def paper_page(doc: str, number: str) -> c.Turn:
    """The page that says how the paper stands."""
    return c.Turn(page=c.Page.PAPER, subject=f"{doc}/{number}")


def try_report(pen: Pen, command: c.TryReport) -> None:
    """Once more to the printer, under the same number."""
    job = next((j for j in reversed(pen.bench.jobs) if (j.doc, j.number) == (command.doc, command.number)), None)
    if job is None or job.settled or not job.why:
        raise Refused("refused.not_asked")
    pen.write(e.PrintAsked(doc=job.doc, number=job.number, copy=job.copy, about=job.about), off_trip=True)
    pen.turn = paper_page(job.doc, job.number)


def at_the_desk(pen: Pen) -> None:
    """Refuses whoever does not work at the desk: supervisors and educators do."""
    person = pen.desk.catalogue.people.get(pen.bench.who or "")
    if person is None or person.role not in {Role.SUPERVISOR, Role.EDUCATOR}:
        raise Refused("refused.not_at_desk")


def _summary(pen: Pen, command: c.PrintReport) -> Numbered:
    """The summary of a shift: counted and kept at its first print; a shift that is over is never counted anew."""
    at_the_desk(pen)
    try:
        shift = shift_named(command.about)
    except ValueError as fault:
        raise Refused("refused.not_asked") from fault
    if shift[0] not in pen.desk.policy.shifts:
        raise Refused("refused.not_asked")
    summary = summary_of(shift, pen.desk, pen.bench, pen.now)
    if summary.number:
        return summary.number, times_printed(pen, summary.number), command.about
    number = paper_number(pen, command.doc)
    counted = e.SummaryCounted(
        shift=shift[0],
        date=shift[1].isoformat(),
        number=number,
        until_ms=summary.until_ms,
        over=summary.over,
        figures=dict(summary.figures),
        rows=summary.rows,
    )
    pen.write(counted, off_trip=True)
    return number, 0, command.about


def times_printed(pen: Pen, number: str) -> int:
    """How often a paper of this number has left, at whichever station."""
    told = (kept.event for _, kept in pen.desk.records.kept("report_printed", holding=number))
    return sum(isinstance(event, e.ReportPrinted) and event.number == number for event in told)


def _summary_printed(pen: Pen, job: Job) -> None:
    shift = shift_named(job.about)
    numbers = {kept.event.number for _, kept in prints(shift, pen.desk) if isinstance(kept.event, e.SummaryCounted)}
    again = bool(job.copy or numbers - {job.number})
    pen.write(e.SummaryPrinted(shift=shift[0], date=shift[1].isoformat(), again=again), off_trip=True)


def _chart(pen: Pen, command: c.PrintReport) -> Numbered:
    """A chart over its days. Refuses what asks for no chart."""
    try:
        asked = asked_in_print(command.about)
    except ValueError as fault:
        raise Refused("refused.not_asked") from fault
    if asked.until < asked.since:
        raise Refused("refused.not_asked")
    return _next(pen, command)


def _reading(pen: Pen, command: c.PrintReport) -> Numbered:
    """The page of a set that was read: at the desk only, and only of one that has ended and can be compared."""
    at_the_desk(pen)
    found = set_called(pen.bench, pen.desk, command.about)
    figure = figure_of(pen.bench, pen.desk, found) if found else None
    if figure is None or not figure.pairs:
        raise Refused("refused.not_asked")
    return _next(pen, command)


def _references(pen: Pen, command: c.PrintReport) -> Numbered:
    """The wall page of an item type for which a picture counts."""
    at_the_desk(pen)
    if not counting_for(pen.bench, pen.desk, command.about):
        raise Refused("refused.not_asked")
    return _next(pen, command)


_BEFORE: dict[str, Callable[[Pen, c.PrintReport], Numbered]] = {
    "shift_summary": _summary,
    "chart_page": _chart,
    "reading_report": _reading,
    "reference_page": _references,
}
"""What is kept before a paper of this kind is on its way; gives its number."""


def report_came(pen: Pen, command: c.PrintCame, job: Job) -> None:
    """What came of a paper of the desk. It is no trip's, whatever tray lies on the bench."""
    doc, number = command.doc, command.number
    if command.why:
        pen.write(e.PrinterLost(doc=doc, number=number, why=command.why), off_trip=True)
        return
    if pen.bench.printer_down:
        pen.write(e.PrinterRestored(), off_trip=True)
    if command.copy:
        pen.write(e.Reprinted(doc=doc, number=number, copy=command.copy), off_trip=True)
    pen.write(e.ReportPrinted(doc=doc, number=number, where=command.where), off_trip=True)
    if doc in _PRINTED:
        _PRINTED[doc](pen, job)


def _handover_printed(pen: Pen, job: Job) -> None:
    found = waiting.handed(pen.bench, pen.desk, pen.now)
    pen.write(e.HandoverPrinted(number=job.number, lines=len(found)), off_trip=True)


_PRINTED: dict[str, Callable[[Pen, Job], None]] = {
    "shift_summary": _summary_printed,
    "handover_list": _handover_printed,
}
"""What is kept when a paper of this kind has left."""

RULES: dict[type, Callable[[Pen, Any], None]] = {c.PrintReport: print_report, c.TryReport: try_report}
