"""Time and people on paper: the answer read aloud, then each figure with the limits of its method. Never by person."""

from collections.abc import Iterator
from datetime import date

from kiosk.core.composing import draft_cost, timed
from kiosk.core.composing.parts import ReportOrder, report_foot
from kiosk.core.glance import Glance
from kiosk.core.papers import Report, Section, SheetLine
from kiosk.core.past.hours import WAITS_MIN, EveryLumen, Hours, Times

BARS = 20
"""More checks than there are."""


def time_report(g: Glance, order: ReportOrder) -> Report:
    """The four weeks that end on the day that the order is about, as counted now."""
    say, hours, until = g.words.say, g.desk.hours, _until(g, order.about)
    since, last = timed.span(until)
    times = timed.times_of(g, hours, until) if hours else None
    lack = timed.lacking(g, times)
    told = hours is not None and times is not None and not lack
    return Report(
        doc=order.doc,
        title=say("hours.head"),
        number=order.number,
        about=say("hours.report.about", since=since.isoformat(), until=last.isoformat()),
        headline=tuple(_aloud(g, hours, times, until)) if told and hours and times else (lack,),
        sections=tuple(_sections(g, hours, times, until)) if told and hours and times else (),
        foot=report_foot(g, order),
    )


def _until(g: Glance, about: str) -> date:
    try:
        return date.fromisoformat(about)
    except ValueError:
        return timed.today(g)


def _aloud(g: Glance, hours: Hours, times: Times, until: date) -> Iterator[str]:
    yield f"{timed.answer_words(g, times)} {timed.of_words(g, times)}"
    yield timed.every_words(g, _every(g, hours, until))
    yield timed.need_words(g, hours.need(*timed.span(until), WAITS_MIN[1]))
    if both := draft_cost.compared_of(g, hours, until):
        yield f"{draft_cost.draft_words(g, both)} {draft_cost.draft_of(g, both)}"


def _every(g: Glance, hours: Hours, until: date) -> EveryLumen:
    return hours.every_lumen(*timed.span(until), g.desk.policy, g.desk.catalogue.kit)


def _sections(g: Glance, hours: Hours, times: Times, until: date) -> Iterator[Section]:
    say = g.words.say
    limits = {part: " ".join(g.words.lines(f"hours.limits.{part}")) for part in ("times", "every", "benches", "draft")}
    yield Section(title=say("hours.seconds"), drawing=timed.method_bars(g, times, BARS))
    yield Section(title=say("hours.report.by_check"), lines=tuple(timed.method_lines(g, times)), columns=2)
    yield Section(title=say("hours.types"), lines=tuple(timed.type_lines(g, times)), note=limits["times"])
    every = _every(g, hours, until)
    yield Section(
        title=say("hours.every.title"),
        paragraphs=tuple(filter(None, (timed.every_of(g, every), *timed.every_notes(g, every)))),
        drawing=timed.every_bars(g, every),
        note=say("hours.every.quarters"),
    )
    yield Section(
        title=say("hours.report.every_asked"),
        lines=tuple(timed.asked_lines(g, every.now_asked, every.all_asked)),
        columns=2,
        note=limits["every"],
    )
    needs = [hours.need(*timed.span(until), wait) for wait in WAITS_MIN]
    yield Section(
        title=say("hours.report.benches", waits=" / ".join(map(str, WAITS_MIN))),
        paragraphs=(timed.need_of(g, needs[0]), *timed.need_notes(g, needs[0])),
        lines=tuple(timed.hour_line(g, *each) for each in zip(*(need.hours for need in needs), strict=True)),
        columns=2,
        note=limits["benches"],
    )
    both = draft_cost.compared_of(g, hours, until)
    if both is None:
        yield Section(title=say("hours.report.draft"), paragraphs=(say("hours.draft.none"),))
        return
    yield Section(
        title=say("hours.report.draft"),
        paragraphs=(draft_cost.draft_words(g, both), draft_cost.draft_of(g, both), *draft_cost.draft_notes(g, both)),
        lines=tuple(draft_cost.draft_lines(g, both)) or (SheetLine(label=say("hours.draft.nothing")),),
        columns=2,
        note=limits["draft"],
    )


REPORTS = {"time_report": time_report}
