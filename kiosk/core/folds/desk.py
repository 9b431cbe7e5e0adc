"""The fold of the supervisor's desk."""

from collections.abc import Callable
from dataclasses import replace
from typing import Any, TypeVar

from kiosk.core import events as e
from kiosk.core.stamp import Stamp
from kiosk.core.state.bench import Bench
from kiosk.core.state.jobs import OF_DESK, Job, asked, newest
from kiosk.core.state.ruled import Noted, Ruling
from kiosk.core.state.trip import Trip
from kiosk.core.together.seen import spoken

V = TypeVar("V")

CONFLICTS = 500
"""Conflicts and rulings that stay known; older ones are long done."""


def _asked(bench: Bench, event: e.PrintAsked, stamp: Stamp) -> Bench:
    """A paper of the desk is on its way: its number is taken, and the oldest that are settled are forgotten."""
    if stamp.trip is not None:
        return bench
    jobs = asked(bench.jobs, Job(doc=event.doc, number=event.number, copy=event.copy, about=event.about))
    jobs = (*(job for job in jobs[:-OF_DESK] if not job.settled), *jobs[-OF_DESK:])
    known = event.copy or any(job.number == event.number for job in bench.jobs)
    numbered = bench.papers_numbered.get(event.doc, 0) + (0 if known else 1)
    return replace(bench, jobs=jobs, papers_numbered={**bench.papers_numbered, event.doc: numbered})


def _printed(bench: Bench, event: e.ReportPrinted, stamp: Stamp) -> Bench:
    return replace(bench, jobs=newest(bench.jobs, event.doc, event.number, where=event.where, why=""))


def _not_printed(bench: Bench, event: e.PrinterLost, stamp: Stamp) -> Bench:
    if stamp.trip is not None:
        return bench
    jobs = newest(bench.jobs, event.doc, event.number, why=event.why)
    return replace(bench, jobs=jobs, printer_down=event.why)


def _issued(bench: Bench, event: e.FormsIssued, stamp: Stamp) -> Bench:
    return replace(bench, forms_numbered=event.first + event.many - 1)


def _conflict(bench: Bench, event: e.SyncConflict, stamp: Stamp) -> Bench:
    noted = Noted(conflict=event.conflict, kind=event.kind, what=event.what, stations=event.stations, at_ms=stamp.at_ms)
    return replace(bench, conflicts=_newest({**bench.conflicts, event.conflict: noted}))


def _ruled(bench: Bench, event: e.ConflictRuled, stamp: Stamp) -> Bench:
    before = bench.rulings.get(event.conflict)
    mark, over = spoken(event.over, before, event.conflict, event.ruling, stamp.at_ms, stamp.who)
    ruling = Ruling(
        conflict=event.conflict,
        ruling=event.ruling,
        by=stamp.who or "",
        at_ms=stamp.at_ms,
        mark=mark,
        over=over,
    )
    rest = {name: each for name, each in bench.rulings.items() if name != event.conflict}
    return replace(bench, rulings=_newest({**rest, event.conflict: ruling}))


def _newest(every: dict[str, V]) -> dict[str, V]:
    return dict(list(every.items())[-CONFLICTS:])


BENCH: dict[type, Callable[[Bench, Any, Stamp], Bench]] = {
    e.PrintAsked: _asked,
    e.ReportPrinted: _printed,
    e.PrinterLost: _not_printed,
    e.FormsIssued: _issued,
    e.SyncConflict: _conflict,
    e.ConflictRuled: _ruled,
}
TRIP: dict[type, Callable[[Trip, Any, Stamp], Trip]] = {}
