"""The month report: read aloud first, charts in black and white with their tables beside them, how each is counted."""

from calendar import monthrange
from collections.abc import Iterator
from datetime import date

from kiosk.core.composing import charted
from kiosk.core.composing.chart_sections import chart_section, percent_words, point_lines
from kiosk.core.composing.chart_words import next_words
from kiosk.core.composing.parts import ReportOrder, report_foot
from kiosk.core.glance import Glance
from kiosk.core.papers import Report, Section, SheetLine
from kiosk.core.past.figures import FEW, GROUPS, Asked, By, Figures, Numbers

BARS = 12


def month_span(month: str) -> tuple[date, date]:
    """First and last local day of "2031-03". Raises ValueError."""
    first = date.fromisoformat(f"{month}-01")
    return first, first.replace(day=monthrange(first.year, first.month)[1])


def month_report(g: Glance, order: ReportOrder) -> Report:
    """The report of the month that the order is about, as counted now."""
    say, numbers = g.words.say, g.desk.numbers
    since, until = month_span(order.about)
    whole = _figures(g, numbers, By.DAY, since, until) if numbers else None
    return Report(
        doc=order.doc,
        title=say("numbers.report.title"),
        number=order.number,
        about=_about(g, whole, order.about, since, until),
        headline=tuple(_aloud(g, numbers, whole)) if numbers and whole else (say("numbers.report.none"),),
        sections=(*(_sections(g, numbers, whole, since, until) if numbers and whole else ()), _how(g)),
        foot=report_foot(g, order),
    )


def _about(g: Glance, whole: Figures | None, month: str, since: date, until: date) -> str:
    """The month with its days, and on which of them the data begin."""
    days = g.words.say("numbers.report.about", month=month, since=since.isoformat(), until=until.isoformat())
    if whole is None or not whole.spots:
        return days
    return f"{days} · {g.words.say('numbers.report.begin', first=whole.spots[0].label)}"


def _figures(g: Glance, numbers: Numbers, by: By, since: date, until: date, group: str = "") -> Figures:
    return charted.figures_of(g, numbers, Asked(by=by, since=since, until=until, group=group))


def _aloud(g: Glance, numbers: Numbers, whole: Figures) -> Iterator[str]:
    say = g.words.say
    if not whole.of:
        yield say("numbers.report.none")
        return
    names = {"of": whole.of, "found": whole.found}
    if whole.of < FEW:
        yield say("numbers.report.aloud_few", **names)
    else:
        low, high = (charted.share_words(g, share) for share in numbers.limits(whole.found, whole.of))
        share = charted.share_words(g, whole.found / whole.of)
        yield say("numbers.report.aloud", share=share, low=low, high=high, **names)
    yield next_words(g, whole)


def _sections(g: Glance, numbers: Numbers, whole: Figures, since: date, until: date) -> Iterator[Section]:
    say = g.words.say
    if whole.spots:
        yield chart_section(g, whole)
        yield from _sums(g, numbers, since, until)
        first = charted.label_words(g, By.DAY, whole.spots[0].label)
        without = (until - since).days + 1 - len(whole.spots)
        yield Section(
            title=say("numbers.report.table"),
            paragraphs=(say("numbers.report.days", first=first, n=without),) if without else (),
            lines=point_lines(g, whole, whole.spots),
            columns=2,
        )
    codes, types = numbers.codes(since, until), numbers.types(since, until)
    if codes:
        yield Section(
            title=say("numbers.codes"),
            drawing=charted.code_bars(g, codes, BARS),
            note=g.words.lines("numbers.limits.codes")[0],
        )
        yield Section(
            title=say("numbers.types"),
            drawing=charted.type_bars(g, types, BARS),
            note=g.words.lines("numbers.limits.types")[0],
        )
        yield _where(g, numbers, since, until)
    if not whole.spots:
        yield from _sums(g, numbers, since, until)
    between = _figures(g, numbers, By.BETWEEN, since, until)
    if between.spots:
        yield chart_section(g, between)


def _sums(g: Glance, numbers: Numbers, since: date, until: date) -> Iterator[Section]:
    """The headline figures in parts: by finding and by shift, which the first page holds, then by check."""
    say = g.words.say
    groups = [(group, _figures(g, numbers, By.DAY, since, until, group)) for group in GROUPS]
    lines = tuple(
        SheetLine(
            label=say(f"numbers.group.{group}"),
            value=say("numbers.report.group_line", found=each.found, of=each.of)
            + percent_words(g, each.found, each.of),
        )
        for group, each in groups
    )
    yield Section(title=say("numbers.report.groups"), lines=lines)
    for key, by, line in (("shifts", By.SHIFT, "group_line"), ("checks", By.METHOD, "answers_line")):
        figures = _figures(g, numbers, by, since, until)
        if figures.spots:
            yield Section(title=say(f"numbers.report.{key}"), lines=tuple(_summed(g, figures, line)))


def _summed(g: Glance, figures: Figures, line: str) -> Iterator[SheetLine]:
    """One line a check; shifts of one name together."""
    by = figures.asked.by
    sums: dict[str, tuple[int, int]] = {}
    for spot in figures.spots:
        name = spot.label.partition(" ")[2] if by is By.SHIFT else spot.label
        found, of = sums.get(name, (0, 0))
        sums[name] = found + spot.found, of + spot.of
    for name, (found, of) in sums.items():
        label = g.words.some(f"summary.shift.{name}") or name if by is By.SHIFT else charted.label_words(g, by, name)
        value = g.words.say(f"numbers.report.{line}", found=found, of=of) + percent_words(g, found, of)
        yield SheetLine(label=label, value=value)


def _where(g: Glance, numbers: Numbers, since: date, until: date) -> Section:
    marks = numbers.marks(since, until)
    say = g.words.say
    unplaced = say("numbers.unplaced", n=marks.unplaced) if marks.unplaced else ""
    return Section(
        title=say("numbers.where_title"),
        drawing=charted.marks_drawing(g, marks) if marks.shares else None,
        note=" ".join(filter(None, (unplaced and f"{unplaced}.", *g.words.lines("numbers.limits.where")))),
    )


def _how(g: Glance) -> Section:
    return Section(title=g.words.say("numbers.report.how"), paragraphs=g.words.lines("numbers.report.how_lines"))


REPORTS = {"month_report": month_report}
