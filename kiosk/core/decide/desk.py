"""The rules of the supervisor's desk."""

from collections.abc import Callable
from typing import Any

from kiosk.core import commands as c
from kiosk.core import events as e
from kiosk.core.decide.pen import Pen, Refused

PREFIX = {
    "shift_summary": "S",
    "handover_list": "HL",
    "lookback_report": "LB",
    "audit_pack": "AP",
    "scope_log": "SL",
    "exposure_note": "EN",
    "discard_note": "DN",
    "policy_page": "PP",
    "downtime_sheet": "DT",
}
"""Kind of paper of the desk -> what its number begins with."""


def print_report(pen: Pen, command: c.PrintReport) -> None:
    """A paper of the desk with the next number of its kind, or a marked copy of one that was printed."""
    if command.doc not in PREFIX:
        raise Refused("refused.not_asked")
    number, copy, about = command.number, 0, command.about
    if number:
        known = [job for job in pen.bench.jobs if (job.doc, job.number) == (command.doc, number)]
        if not known or not known[-1].settled:
            raise Refused("refused.not_asked")
        copy, about = known[-1].copy + 1, known[-1].about
    else:
        number = paper_number(pen, command.doc)
    pen.write(e.PrintAsked(doc=command.doc, number=number, copy=copy, about=about), off_trip=True)
    pen.turn = paper_page(command.doc, number)


def paper_number(pen: Pen, doc: str) -> str:
    """S-30012: kind, bench and a running number, so that two stations never give the same one."""
    station = f"D{pen.desk.bench_number}" if pen.desk.side == "decontam" else f"{pen.desk.bench_number}"
    return f"{PREFIX[doc]}-{station}{pen.bench.papers_numbered.get(doc, 0) + 1:04d}"


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


RULES: dict[type, Callable[[Pen, Any], None]] = {c.PrintReport: print_report, c.TryReport: try_report}
BY_NOBODY: tuple[type, ...] = ()
"""Commands that need nobody signed in."""


def settle(pen: Pen) -> None:
    """What follows by itself."""
