"""What is kept at the desk besides papers: taken over, ruled, looked back, drawn for an audit, spare forms."""

import re
from collections.abc import Callable
from datetime import UTC, date, datetime, timedelta
from hashlib import sha256
from typing import Any

from kiosk.core import commands as c
from kiosk.core import events as e
from kiosk.core import waiting
from kiosk.core.decide import conflicts
from kiosk.core.decide.desk_papers import RULES as PAPERS
from kiosk.core.decide.desk_papers import at_the_desk, form_number, paper_number, paper_page
from kiosk.core.decide.pen import Pen, Refused
from kiosk.core.past import lookback
from kiosk.core.past.figures import LEAST_FOR_BASELINE, WITH_BASELINE, asked_of, chart_subject
from kiosk.core.past.records import Records
from kiosk.core.stamp import time_of_day
from kiosk.core.together.returns import at_decontam
from kiosk.core.together.stations import stations

MONTH_MS = 30 * 86_400_000
MOST_FORMS, MOST_TRIPS = 50, 50


def take_handover(pen: Pen, command: c.TakeHandover) -> None:
    """The person signed in takes over as it stands: the department at the desk, the returns in decontam."""
    if not at_decontam(pen.bench, pen.desk):
        at_the_desk(pen)
    found = waiting.handed(pen.bench, pen.desk, pen.now)
    pen.write(e.HandoverTaken(lines=len(found)), off_trip=True)
    pen.say("waiting.took", n=len(found))
    pen.turn = c.Turn(page=c.Page.HANDOVER)


def say_clock_right(pen: Pen, command: c.SayClockRight) -> None:
    """Who works at the desk says that a clock in doubt is right: it is trusted from here on."""
    at_the_desk(pen)
    if pen.now.trusted:
        raise Refused("refused.not_asked")
    pen.write(e.ClockRight(), off_trip=True)
    pen.turn = c.Turn(page=c.Page.DESK)


def fix_baseline(pen: Pen, command: c.FixBaseline) -> None:
    """What these days show is usual from now on: its two numbers are kept with its days."""
    numbers = pen.desk.numbers
    try:
        asked = asked_of(command.about, date.fromisoformat(command.since), date.fromisoformat(command.until))
    except ValueError as fault:
        raise Refused("refused.not_asked") from fault
    if numbers is None or asked.by not in WITH_BASELINE or asked.until < asked.since:
        raise Refused("refused.not_asked")
    figures = numbers.figures(asked, pen.desk.policy.shifts)
    if len(figures.spots) < LEAST_FOR_BASELINE:
        raise Refused("numbers.too_few", n=LEAST_FOR_BASELINE)
    pen.write(
        e.BaselineFixed(
            about=asked.about, since=command.since, until=command.until, found=figures.found, of=figures.of
        ),
        off_trip=True,
    )
    pen.say("numbers.fixed", found=figures.found, of=figures.of)
    pen.turn = c.Turn(page=c.Page.CHART, subject=chart_subject(asked))


def run_lookback(pen: Pen, command: c.RunLookback) -> None:
    """Look back: the run is kept with its reason and its trips, and its report is printed under a number of its own."""
    question = lookback.Question(
        kind=command.kind, value=command.value, since_ms=command.since_ms, until_ms=command.until_ms
    )
    person = pen.desk.catalogue.people.get(pen.bench.who or "")
    if question.kind not in lookback.KINDS or command.why not in lookback.WHY:
        raise Refused("refused.not_asked")
    if not lookback.may_ask(question, person.role if person else None):
        raise Refused("refused.not_at_desk")
    number = paper_number(pen, "lookback_report")
    run = e.LookbackRun(
        number=number,
        kind=question.kind,
        value=question.value,
        since_ms=question.since_ms,
        until_ms=question.until_ms,
        why=command.why,
        trips=lookback.met(pen.desk.records, question),
    )
    pen.write(run, off_trip=True)
    _print(pen, "lookback_report", number, f"{question.kind}={question.value}")


def _print(pen: Pen, doc: str, number: str, about: str) -> None:
    pen.write(e.PrintAsked(doc=doc, number=number, about=about), off_trip=True)
    pen.turn = paper_page(doc, number)


def draw_audit(pen: Pen, command: c.DrawAudit) -> None:
    """Draw trips at random by a seed that is kept: the same seed draws the same trips."""
    if not 0 < command.many <= MOST_TRIPS:
        raise Refused("refused.not_asked")
    seed, since_ms = command.seed or pen.now.at_ms // 1000, pen.now.at_ms - MONTH_MS
    ended = ended_trips(pen.desk.records, since_ms)
    number = paper_number(pen, "audit_pack")
    drawn = e.AuditDrawn(
        number=number, seed=seed, since_ms=since_ms, of=len(ended), trips=drawn_trips(ended, command.many, seed)
    )
    pen.write(drawn, off_trip=True)
    _print(pen, "audit_pack", number, str(seed))


def ended_trips(records: Records, since_ms: int) -> tuple[str, ...]:
    """The trips that ended since then, packed or sent back, by their numbers."""
    told = records.kept("packed", "packed_short", "tray_back", since_ms=since_ms)
    return tuple(sorted({kept.stamp.trip for _, kept in told if kept.stamp.trip}))


def drawn_trips(ended: tuple[str, ...], many: int, seed: int) -> tuple[str, ...]:
    """So many of them, each as likely as any other; all where there are fewer.

    Each trip draws a lot, the SHA-256 of seed and number, and the lowest lots win: whoever has the seed can check it.
    """
    lots = {trip: sha256(f"{seed}/{trip}".encode()).digest() for trip in ended}
    return tuple(sorted(ended, key=lots.__getitem__)[:many])


def issue_forms(pen: Pen, command: c.IssueForms) -> None:
    """Print numbered spare forms; a number is never given twice."""
    if command.kind not in {"return_ticket", "tray_sheet"} or not 0 < command.many <= MOST_FORMS:
        raise Refused("refused.not_asked")
    first = pen.bench.forms_numbered + 1
    pen.write(e.FormsIssued(kind=command.kind, first=first, many=command.many), off_trip=True)
    _print(pen, "downtime_sheet", paper_number(pen, "downtime_sheet"), f"{command.kind}/{first}")


def enter_form(pen: Pen, command: c.EnterForm) -> None:
    """A form filled in by hand is entered afterwards: step by step, and kept when its last field is there."""
    given = [command.paper, command.tray, command.done, command.said]
    paper = re.sub(r"^H-?", "", command.paper.strip().upper())
    own = re.fullmatch(rf"{pen.desk.bench_number}(\d{{3,}})", paper)
    if own is None or not 0 < int(own[1]) <= pen.bench.forms_numbered:
        raise Refused("refused.no_such_form", paper=command.paper)
    number = form_number(pen.desk.bench_number, int(own[1]))
    if any(isinstance(k.event, e.FormEntered) for _, k in pen.desk.records.kept("form_entered", holding=number)):
        raise Refused("refused.form_entered", paper=number)
    if command.done and time_of_day(command.done) is None:
        raise Refused("refused.no_time")
    if not all(given):
        pen.turn = c.Turn(page=c.Page.FORM_FILLED, subject="/".join([paper, *filter(None, given[1:])]))
        return
    done_ms = _done_at(pen, command.done)
    entered = e.FormEntered(
        paper=number, kind=_issued_as(pen, int(own[1])), tray=command.tray, said=command.said, done_ms=done_ms
    )
    pen.write(entered, off_trip=True)
    pen.say("forms.entered", paper=number)
    pen.turn = c.Turn(page=c.Page.FORMS)


def _issued_as(pen: Pen, n: int) -> str:
    """Which paper the form stands for: as it was issued at this bench."""
    here = next(iter(stations(pen.bench, pen.desk)))
    issued = [kept.event for station, kept in pen.desk.records.kept("forms_issued") if station == here]
    kinds = (each.kind for each in issued if isinstance(each, e.FormsIssued) and 0 <= n - each.first < each.many)
    return next(kinds, "tray_sheet")


def _done_at(pen: Pen, clock: str) -> int:
    """The clock time written on the form as the last such moment before now. Refuses what is no time of day."""
    at = time_of_day(clock)
    if at is None:
        raise Refused("refused.no_time")
    local = datetime.fromtimestamp(pen.now.at_ms / 1000, UTC) + timedelta(minutes=pen.now.offset_min)
    then = datetime.combine(local.date(), at, UTC)
    then = then if then <= local else then - timedelta(days=1)
    return int(then.timestamp() * 1000) - pen.now.offset_min * 60_000


RULES: dict[type, Callable[[Pen, Any], None]] = {
    **PAPERS,
    c.TakeHandover: take_handover,
    c.SayClockRight: say_clock_right,
    c.FixBaseline: fix_baseline,
    c.RuleConflict: conflicts.rule_conflict,
    c.RunLookback: run_lookback,
    c.DrawAudit: draw_audit,
    c.IssueForms: issue_forms,
    c.EnterForm: enter_form,
}
BY_NOBODY: tuple[type, ...] = ()
"""Commands that need nobody signed in."""


def settle(pen: Pen) -> None:
    """What two records say that cannot both be is noted, held, and followed as it was ruled."""
    conflicts.settle(pen)
