"""The shift summary: a first page to be read aloud, what stands beside it, and how each figure is counted. No names."""

from collections.abc import Iterator

from kiosk.core import events as e
from kiosk.core.composing.parts import ReportOrder, report_foot
from kiosk.core.glance import Glance
from kiosk.core.papers import Report, Section, SheetLine
from kiosk.core.past.counters import COUNTERS
from kiosk.core.past.records import shift_named
from kiosk.core.past.summing import GROUPS, TOP, Summary, percent, summary_of
from kiosk.core.words import capital

FLOW = ("trays_packed", "trays_packed_short", "trays_back", "trays_open_at_end", "trays_reopened", "rush")
LOOKS = ("first_pass", "pieces_checked", "lumens_checked", "dried_again", "bench_fixed", "second_looks")
RETURNS = ("tickets", "items_back", "repeat_items", "repairs", "quarantined", "discarded", "replaced")
WAIT_FIRST = 3
"""So many of the oldest tickets and holds stand on the first page, which is read aloud (a choice)."""
HYGIENE = ("bench_full", "bench_wipe", "scope_cleans", "scope_out_of_use")
RECORD = (
    "overrides", "overrides_refused", "holds_placed", "labels_voided", "wrong_scans", "corrections", "copies",
    "handwritten_tickets", "offline_minutes", "sync_conflicts", "load_alerts",
)  # fmt: skip


def shift_summary(g: Glance, order: ReportOrder) -> Report:
    """The summary of the shift that the order is about: what was counted for this number, never anything newer."""
    say, summary = g.words.say, _kept(g, order)
    return Report(
        doc=order.doc,
        title=say("summary.paper.title"),
        number=order.number,
        about=_about(g, summary, again=bool(order.copy)),
        headline=tuple(_aloud(g, summary)),
        sections=(*_sections(g, summary), *_since(g, summary), _how(g)),
        signature=g.words.lines("summary.paper.signature"),
        foot=report_foot(g, order),
    )


def _kept(g: Glance, order: ReportOrder) -> Summary:
    """What the event with this number holds, and what was heard since."""
    now = summary_of(shift_named(order.about), g.desk, g.bench, g.now)
    for _, kept in g.desk.records.kept("summary_counted", holding=order.number):
        event = kept.event
        if isinstance(event, e.SummaryCounted) and event.number == order.number:
            return Summary(
                shift=now.shift, until_ms=event.until_ms, over=event.over, figures={**now.figures, **event.figures},
                rows=event.rows, number=event.number, printed_ms=kept.stamp.at_ms,
                since=now.since if now.number == event.number else {},
            )  # fmt: skip
    return now


def shift_words(g: Glance, summary: Summary) -> str:
    """ "Day shift 2031-03-04, 07:00 to 15:00"."""
    name, day = summary.shift
    begins, ends = g.desk.policy.shifts[name]
    shift = g.words.some(f"summary.shift.{name}") or name
    return g.words.say("summary.shift_words", shift=shift, date=day.isoformat(), begins=begins, ends=ends)


def _about(g: Glance, summary: Summary, *, again: bool) -> str:
    data = g.clock(summary.until_ms)
    key = "summary.paper.again" if again else "summary.paper.first" if summary.over else "summary.paper.running"
    return f"{shift_words(g, summary)} · {g.words.say(key, time=g.clock(g.now.at_ms), data=data)}"


def figure_words(g: Glance, summary: Summary, name: str) -> str:
    """A figure in words with both numbers: "7 pieces with soil of 96 checked (7 %)"."""
    n, of = summary.share(name)
    key = f"summary.figure.{name}.{'one' if n == 1 else 'many'}"
    text = g.words.say(key, n=n, of=of if of is not None else "")
    share = percent(n, of)
    return f"{text} ({share})" if share else text


def _aloud(g: Glance, summary: Summary) -> Iterator[str]:
    figures = summary.figures
    told = {
        name: g.words.say(f"summary.aloud.{name}.{'one' if figures[name] == 1 else 'many'}", n=figures[name])
        for name in ("trays_opened", *FLOW[:4])
    }
    yield g.words.say("summary.aloud.trays", **told)
    for name in ("soil", "lumens_not_seen"):
        yield f"{figure_words(g, summary, name)}."


def _sections(g: Glance, summary: Summary) -> Iterator[Section]:
    say = g.words.say
    yield Section(title=say("summary.section.found"), lines=_figures(g, summary, GROUPS, always=True))
    loads = _loads(g, summary)
    yield Section(title=say("summary.section.loads"), lines=loads or (_line(say("summary.none")),))
    yield Section(title=say("summary.section.waits"), lines=_waiting(g, summary, WAIT_FIRST))
    exposures = _line(figure_words(g, summary, "exposures"))
    yield Section(title=say("summary.section.hygiene"), lines=(exposures, *_figures(g, summary, HYGIENE, always=True)))
    places = tuple(_line(say("summary.place", n=row.n, what=type_name(g, row.what), where=row.where)) for row in
                   summary.of("place"))  # fmt: skip
    yield Section(title=say("summary.section.places"), lines=places or (_line(say("summary.none")),))
    yield Section(title=say("summary.section.flow"), lines=_figures(g, summary, FLOW))
    yield Section(title=say("summary.section.looks"), lines=_figures(g, summary, LOOKS, always=True))
    again = tuple(SheetLine(label=say("summary.again", piece=row.what), note=row.where) for row in summary.of("again"))
    yield Section(title=say("summary.section.returns"), lines=(*_figures(g, summary, RETURNS), *again))
    reasons = tuple(_override(g, row) for kind in ("override", "refused") for row in summary.of(kind))
    yield Section(title=say("summary.section.record"), lines=(*_figures(g, summary, RECORD), *reasons))
    if max(len(summary.of("ticket")), len(summary.of("hold"))) > WAIT_FIRST + 1:
        yield Section(title=say("summary.section.all_waits"), lines=_waiting(g, summary))


def _line(label: str, note: str = "", value: str = "") -> SheetLine:
    return SheetLine(label=label, note=note, value=value)


def _figures(g: Glance, summary: Summary, names: tuple[str, ...], *, always: bool = False) -> tuple[SheetLine, ...]:
    """A line a figure. Where nothing happened, one line names them all."""
    say = g.words.say
    told = [name for name in names if always or summary.figures[name]]
    none = [say(f"summary.name.{name}") for name in names if name not in told]
    lines = [_line(figure_words(g, summary, name)) for name in told]
    return (*lines, _line(say("summary.nothing", names=", ".join(none)))) if none else tuple(lines)


def _loads(g: Glance, summary: Summary) -> tuple[SheetLine, ...]:
    """Loads with several soiled pieces by name, those with one as their number."""
    rows = summary.of("load")
    several = tuple(_line(load_words(g, row)) for row in rows if row.n > 1)
    ones = len(rows) - len(several)
    if not several or not ones:
        return tuple(_line(load_words(g, row)) for row in rows[:TOP])
    key = "summary.loads_of_one.one" if ones == 1 else "summary.loads_of_one.many"
    return (*several, _line(g.words.say(key, n=ones)))


def load_words(g: Glance, row: e.SummaryRow) -> str:
    """ "W-2204: 3 soiled pieces (load alert)"."""
    alert = row.n >= g.desk.policy.repeat_load_alert
    key = "summary.load_alert" if alert else "summary.load.one" if row.n == 1 else "summary.load.many"
    return g.words.say(key, load=row.what, n=row.n)


def type_name(g: Glance, code: str) -> str:
    """An item type's name."""
    kind = g.desk.types.get(code)
    return kind.name if kind else code


def age_words(g: Glance, minutes: int) -> str:
    """ "55 min", "4 h 10 min", "2 days"."""
    minutes = max(0, minutes)
    if minutes < 60:
        return g.words.say("age.minutes", n=minutes)
    if minutes < 24 * 60:
        return g.words.say("age.hours", h=minutes // 60, m=minutes % 60)
    days = minutes // 1440
    return g.words.say("age.day") if days == 1 else g.words.say("age.days", n=days)


def _waiting(g: Glance, summary: Summary, most: int = 0) -> tuple[SheetLine, ...]:
    """Tickets and holds with their ages, the oldest first; at most `most` of each, 0: all."""
    say = g.words.say
    tickets, holds = summary.of("ticket"), summary.of("hold")

    def age(row: e.SummaryRow) -> str:
        return age_words(g, (summary.until_ms - row.at_ms) // 60_000)

    lines = []
    if tickets:
        key = "summary.tickets.one" if len(tickets) == 1 else "summary.tickets.many"
        lines.append(_line(say(key, n=len(tickets), age=age(min(tickets, key=_since_when)))))
        lines += _oldest(g, [_line(row.what, row.where, age(row)) for row in sorted(tickets, key=_since_when)], most)
    else:
        lines.append(_line(say("summary.tickets.none")))
    lines.append(_line(figure_words(g, summary, "holds_open")))
    waits = [
        _line(row.where, say("summary.waits_for", what=row.waits or row.what), age(row))
        for row in sorted(holds, key=_since_when)
    ]
    return (*lines, *_oldest(g, waits, most))


def _oldest(g: Glance, lines: list[SheetLine], most: int) -> list[SheetLine]:
    """The first page names the oldest; the others are named further on."""
    if not most or len(lines) <= most + 1:
        return lines
    return [*lines[:most], _line(g.words.say("summary.more_waits", n=len(lines) - most))]


def _since_when(row: e.SummaryRow) -> int:
    return row.at_ms


def _override(g: Glance, row: e.SummaryRow) -> SheetLine:
    what = g.words.some(f"summary.let_go.{row.what}") or row.what.replace("_", " ")
    return _line(g.words.say(f"summary.{row.kind}", what=what), value=str(row.n))


def _since(g: Glance, summary: Summary) -> Iterator[Section]:
    """What was heard after the first print: said beside it, never put into its figures."""
    if summary.since:
        lines = tuple(
            _line(g.words.say(f"summary.name.{name}"), value=f"{more:+d}") for name, more in summary.since.items()
        )
        title = g.words.say("summary.section.since", time=g.clock(summary.printed_ms))
        yield Section(title=title, lines=lines, note=g.words.say("summary.since_note"))


def _how(g: Glance) -> Section:
    lines = tuple(
        _line(
            g.words.say(
                "summary.how_line",
                name=capital(g.words.say(f"summary.name.{name}")),
                how=g.words.say(f"summary.how.{name}"),
            )
        )
        for name in (*COUNTERS, "first_pass")
    )
    return Section(
        title=g.words.say("summary.section.how"),
        paragraphs=g.words.lines("summary.how_first"),
        lines=lines,
        new_page=True,
    )


REPORTS = {"shift_summary": shift_summary}
