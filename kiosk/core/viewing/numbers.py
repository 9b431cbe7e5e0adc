"""The quality desk on the glass: the answer first in words, then quiet charts, each with its points and their trips."""

from collections.abc import Callable
from datetime import timedelta

from kiosk.core.commands import Page, PrintReport, Turn
from kiosk.core.composing import charted
from kiosk.core.composing.chart_words import axis_words, limits_lines, next_words
from kiosk.core.composing.summary import type_name
from kiosk.core.glance import Glance, back_hand
from kiosk.core.past.figures import LEAST_FOR_BASELINE, WITH_BASELINE, Asked, By, Figures, Numbers, printed_about
from kiosk.core.stamp import local_time
from kiosk.core.viewing import chart_choice, chart_points, unseen
from kiosk.core.viewing.chart_subject import (
    CODES,
    DAYS,
    TYPES,
    WHERE,
    asked_by,
    back,
    days_words,
    head_of,
    span,
    split,
    subject_of,
)
from kiosk.core.views import Key, MenuView, Panel, PanelsView, View
from kiosk.core.vocabulary import Role

BARS, BARS_ALONE, BARS_ALONE_SMALL = 4, 9, 6
HOW = "?"
"""At the end of a chart's subject: what it can not say, on a page of its own."""


def offer(g: Glance) -> Key | None:
    """The desk's key to the numbers."""
    return g.key("numbers.key", Turn(page=Page.NUMBERS), icon="tray", name="numbers")


def numbers_page(g: Glance) -> PanelsView:
    """Four weeks: how many were not clear, what it was, where it was, which items."""
    numbers = g.desk.numbers
    days = DAYS[0]
    since, until = span(g, days)
    asked = Asked(by=By.DAY, since=since, until=until)
    figures = charted.figures_of(g, numbers, asked) if numbers else Figures(asked=asked, spots=(), center=0.0)
    panels = [_chart_panel(g, figures, days)]
    if numbers:
        panels += [_codes(g, numbers, days), _where(g, numbers, days), _types(g, numbers, days)]
    return PanelsView(
        head=head_of(g, days),
        hand=back_hand(g, to=Turn(page=Page.DESK)),
        title=charted.answer_words(g, figures) if figures.spots else g.words.say("numbers.answer.none", days=days),
        help=next_words(g, figures),
        notice=g.said(),
        panels=tuple(panels[:2] if g.small else panels),
        main=_month_key(g),
        others=(
            g.key("numbers.other", Turn(page=Page.CHARTS), icon="arrow_right", name="other charts"),
            g.key("hours.key", Turn(page=Page.TIME), icon="arrow_right", name="time and people"),
            *unseen.offer(g),
        ),
    )


def _month_key(g: Glance) -> Key:
    """The report of the month before this one."""
    first = local_time(g.now.at_ms, g.now.offset_min).date().replace(day=1)
    month = f"{first - timedelta(days=1):%Y-%m}"
    send = PrintReport(doc="month_report", about=month)
    return g.key("numbers.month", send, kind="main", icon="printer", name="print month", month=month)


def _chart_panel(g: Glance, figures: Figures, days: int) -> Panel:
    asked = figures.asked
    return Panel(
        title=charted.chart_title(g, asked),
        drawing=charted.chart_drawing(g, figures) if figures.spots else None,
        note=axis_words(g, asked.by),
        nothing=g.words.say("numbers.nothing_flat" if figures.flat else "numbers.nothing"),
        send=Turn(page=Page.CHART, subject=subject_of(days, asked.by, asked.group, asked.type)),
        name=f"chart {asked.by}",
    )


def _codes(g: Glance, numbers: Numbers, days: int, type_: str = "", most: int = 0) -> Panel:
    since, until = span(g, days)
    bars = numbers.codes(since, until, type_)
    most = most or BARS
    return Panel(
        title=" · ".join(filter(None, (g.words.say("numbers.codes"), type_name(g, type_) if type_ else ""))),
        drawing=charted.code_bars(g, bars, most) if bars else None,
        nothing=g.words.say("numbers.nothing_found"),
        send=Turn(page=Page.CHART, subject=subject_of(days, CODES, "", type_)),
        name="chart codes",
    )


def _types(g: Glance, numbers: Numbers, days: int, most: int = 0) -> Panel:
    bars = numbers.types(*span(g, days))
    most = most or BARS
    return Panel(
        title=g.words.say("numbers.types"),
        drawing=charted.type_bars(g, bars, most) if bars else None,
        nothing=g.words.say("numbers.nothing_found"),
        send=Turn(page=Page.CHART, subject=subject_of(days, TYPES)),
        name="chart types",
    )


def _where(g: Glance, numbers: Numbers, days: int, type_: str = "") -> Panel:
    say = g.words.say
    marks = numbers.marks(*span(g, days), type_)
    key = "numbers.where.one" if len(marks.shares) == 1 else "numbers.where.many"
    return Panel(
        title=" · ".join(filter(None, (say(key, n=len(marks.shares)), type_name(g, type_) if type_ else ""))),
        drawing=charted.marks_drawing(g, marks) if marks.shares else None,
        note=say("numbers.unplaced", n=marks.unplaced) if marks.unplaced else say("numbers.stretched"),
        nothing=say("numbers.nothing_placed"),
        send=Turn(page=Page.CHART, subject=subject_of(days, WHERE, "", type_)),
        name="chart where",
    )


def chart(g: Glance) -> PanelsView | MenuView:
    """One chart with the limits of its method in words, and the keys to its points and to fixing what is usual."""
    numbers = g.desk.numbers
    whole = g.turn.subject if g.turn else ""
    subject, how = whole.removesuffix(HOW), whole.endswith(HOW)
    days, what, group, type_, came = split(subject)
    asked = asked_by(g, subject)
    others: list[Key] = []
    prints: tuple[Key, ...] = ()
    main = None
    if asked is None or numbers is None:
        alone = BARS_ALONE_SMALL if g.small else BARS_ALONE
        makers: dict[str, Callable[[Numbers], Panel]] = {
            CODES: lambda all_: _codes(g, all_, days, type_, alone),
            TYPES: lambda all_: _types(g, all_, days, alone),
            WHERE: lambda all_: _where(g, all_, days, type_),
        }
        panel = makers.get(what, makers[CODES])(numbers) if numbers else Panel(title="", drawing=None)
        title, help_, lines = (
            panel.title,
            days_words(g, days),
            g.words.lines(f"numbers.limits.{what}") if what in makers else (),
        )
    else:
        figures = charted.figures_of(g, numbers, asked)
        panel = _chart_panel(g, figures, days)
        title, help_ = charted.chart_title(g, asked), next_words(g, figures)
        lines = limits_lines(g, figures)
        if figures.spots:
            send = Turn(page=Page.POINTS, subject=subject)
            main = g.key("numbers.points", send, kind="main", icon="arrow_right", name="points")
            send_print = PrintReport(doc="chart_page", about=printed_about(asked))
            prints = (g.key("numbers.print", send_print, icon="printer", name="print chart"),)
        if figures.uneven:
            right = Turn(page=Page.CHART, subject=subject_of(days, By.PER_LUMEN, group, type_, came))
            others.append(g.key("numbers.right_one", right, icon="arrow_right", name="per lumen"))
        elif _may_fix(g, figures):
            ask_fix = Turn(page=Page.FIX_USUAL, subject=subject)
            others.append(g.key("numbers.fix", ask_fix, icon="check", name="fix the usual"))
    if how:
        return _how(g, subject, title, lines, prints)
    if g.small:  # no room under the chart
        others.append(
            g.key("numbers.how", Turn(page=Page.CHART, subject=f"{subject}{HOW}"), icon="question", name="how")
        )
    longer = next(each for each in DAYS if each != days)
    others.append(
        g.key(
            f"numbers.days.{longer}",
            Turn(page=Page.CHART, subject=subject_of(longer, what, group, type_, came)),
            name="days",
        )
    )
    return PanelsView(
        head=head_of(g, days),
        hand=back_hand(g, to=back(subject)),
        title=title,
        help=help_,
        notice=g.said(),
        panels=(Panel(title="", drawing=panel.drawing, note=panel.note, nothing=panel.nothing),),
        lines=() if g.small else lines,
        main=main,
        others=(*(() if g.small else prints), *others),
    )


def _how(g: Glance, subject: str, title: str, lines: tuple[str, ...], keys: tuple[Key, ...]) -> MenuView:
    """What a chart can not say, and the key to its paper, where there is no room for them under the chart."""
    return MenuView(
        head=head_of(g, split(subject)[0]),
        hand=back_hand(g, to=Turn(page=Page.CHART, subject=subject)),
        title=title,
        notice=g.said(),
        lines=lines,
        keys=keys,
    )


def _may_fix(g: Glance, figures: Figures) -> bool:
    person = g.desk.catalogue.people.get(g.bench.who or "")
    leads = person is not None and person.role is Role.SUPERVISOR
    return leads and figures.asked.by in WITH_BASELINE and len(figures.spots) >= LEAST_FOR_BASELINE


PAGES: dict[Page, Callable[[Glance], View]] = {
    Page.NUMBERS: numbers_page,
    Page.CHARTS: chart_choice.charts,
    Page.CHART: chart,
    Page.POINTS: chart_points.points,
    Page.POINT: chart_points.point,
}
