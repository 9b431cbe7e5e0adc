"""The quality desk on the glass: the answer first in words, then quiet charts, each with its points and their trips."""

from collections.abc import Callable, Sequence
from datetime import date, timedelta

from kiosk.core import events as e
from kiosk.core.commands import Page, PrintReport, Turn
from kiosk.core.composing import charted
from kiosk.core.composing.summary import type_name
from kiosk.core.figures import GROUPS, LEAST_FOR_BASELINE, WITH_BASELINE, Asked, By, Figures, Numbers
from kiosk.core.glance import Glance, back_hand
from kiosk.core.stamp import local_time
from kiosk.core.viewing import unseen
from kiosk.core.viewing.rows import listed, record_of, shown
from kiosk.core.views import Head, Key, ListRow, ListView, MenuView, Panel, PanelsView, View
from kiosk.core.vocabulary import Role

DAYS = (28, 91)
"""Four weeks, or a quarter."""
BARS, BARS_ALONE, BARS_ALONE_SMALL = 4, 9, 6
WHERE, CODES, TYPES = "where", "codes", "types"
HOW = "?"
"""At the end of a chart's subject: what it can not say, on a page of its own."""


def offer(g: Glance) -> Key | None:
    """The desk's key to the numbers."""
    return g.key("numbers.key", Turn(page=Page.NUMBERS), icon="tray", name="numbers")


def _span(g: Glance, days: int) -> tuple[date, date]:
    today = local_time(g.now.at_ms, g.now.offset_min).date()
    return today - timedelta(days=days - 1), today


def _split(subject: str) -> tuple[int, str, str, str]:
    """Days, what, group, type of a chart's subject."""
    days, what, group, type_ = (*subject.split("/"), "", "", "", "")[:4]
    return int(days) if days.isdigit() and int(days) in DAYS else DAYS[0], what, group, type_


def _subject(days: int, what: str, group: str = "", type_: str = "") -> str:
    return "/".join((str(days), what, group, type_))


def asked_by(g: Glance, subject: str) -> Asked | None:
    """The question that a chart's subject asks; None for bars and marks."""
    days, what, group, type_ = _split(subject)
    since, until = _span(g, days)
    return Asked(by=By(what), since=since, until=until, group=group, type=type_) if what in set(By) else None


def numbers_page(g: Glance) -> PanelsView:
    """Four weeks: how many were not clear, what it was, where it was, which items."""
    numbers = g.desk.numbers
    days = DAYS[0]
    since, until = _span(g, days)
    asked = Asked(by=By.DAY, since=since, until=until)
    figures = charted.figures_of(g, numbers, asked) if numbers else Figures(asked=asked, spots=(), center=0.0)
    panels = [_chart_panel(g, figures, days)]
    if numbers:
        panels += [_codes(g, numbers, days), _where(g, numbers, days), _types(g, numbers, days)]
    return PanelsView(
        head=_head(g, days),
        hand=back_hand(g, to=Turn(page=Page.DESK)),
        title=_answer(g, figures, days),
        help=charted.next_words(g, figures),
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


def _days_words(g: Glance, days: int) -> str:
    since, until = _span(g, days)
    first, last = (charted.day_words(g, day.isoformat()) for day in (since, until))
    return g.words.say("numbers.span", since=first, until=last)


def _head(g: Glance, days: int) -> Head:
    return charted.desk_head(g, g.words.say("numbers.head"), _days_words(g, days))


def _answer(g: Glance, figures: Figures, days: int) -> str:
    """The answer in words, with both numbers."""
    if not figures.spots:
        return g.words.say("numbers.answer.none", days=days)
    key = charted.unit_key(figures.asked.by)
    return g.words.say(f"numbers.answer.{key}", found=figures.found, of=figures.of, many=len(figures.spots) + 1)


def _chart_panel(g: Glance, figures: Figures, days: int) -> Panel:
    asked = figures.asked
    return Panel(
        title=charted.chart_title(g, asked),
        drawing=charted.chart_drawing(g, figures) if figures.spots else None,
        nothing=g.words.say("numbers.nothing"),
        send=Turn(page=Page.CHART, subject=_subject(days, asked.by, asked.group, asked.type)),
        name=f"chart {asked.by}",
    )


def _codes(g: Glance, numbers: Numbers, days: int, type_: str = "", most: int = 0) -> Panel:
    since, until = _span(g, days)
    bars = numbers.codes(since, until, type_)
    most = most or BARS
    return Panel(
        title=" · ".join(filter(None, (g.words.say("numbers.codes"), type_name(g, type_) if type_ else ""))),
        drawing=charted.code_bars(g, bars, most) if bars else None,
        nothing=g.words.say("numbers.nothing_found"),
        send=Turn(page=Page.CHART, subject=_subject(days, CODES, "", type_)),
        name="chart codes",
    )


def _types(g: Glance, numbers: Numbers, days: int, most: int = 0) -> Panel:
    bars = numbers.types(*_span(g, days))
    most = most or BARS
    return Panel(
        title=g.words.say("numbers.types"),
        drawing=charted.type_bars(g, bars, most) if bars else None,
        nothing=g.words.say("numbers.nothing_found"),
        send=Turn(page=Page.CHART, subject=_subject(days, TYPES)),
        name="chart types",
    )


def _where(g: Glance, numbers: Numbers, days: int, type_: str = "") -> Panel:
    say = g.words.say
    marks = numbers.marks(*_span(g, days), type_)
    key = "numbers.where.one" if len(marks.shares) == 1 else "numbers.where.many"
    return Panel(
        title=" · ".join(filter(None, (say(key, n=len(marks.shares)), type_name(g, type_) if type_ else ""))),
        drawing=charted.marks_drawing(g, marks) if marks.shares else None,
        note=say("numbers.unplaced", n=marks.unplaced) if marks.unplaced else say("numbers.stretched"),
        nothing=say("numbers.nothing_placed"),
        send=Turn(page=Page.CHART, subject=_subject(days, WHERE, "", type_)),
        name="chart where",
    )


def chart(g: Glance) -> PanelsView | MenuView:
    """One chart with the limits of its method in words, and the keys to its points and to fixing what is usual."""
    numbers = g.desk.numbers
    whole = g.turn.subject if g.turn else ""
    subject, how = whole.removesuffix(HOW), whole.endswith(HOW)
    days, what, group, type_ = _split(subject)
    asked = asked_by(g, subject)
    others: list[Key] = []
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
            _days_words(g, days),
            g.words.lines(f"numbers.limits.{what}") if what in makers else (),
        )
    else:
        figures = charted.figures_of(g, numbers, asked)
        panel = _chart_panel(g, figures, days)
        title, help_ = charted.chart_title(g, asked), charted.next_words(g, figures)
        lines = charted.limits_lines(g, figures)
        if figures.spots:
            send = Turn(page=Page.POINTS, subject=subject)
            main = g.key("numbers.points", send, kind="main", icon="arrow_right", name="points")
        if _may_fix(g, figures):
            ask_fix = Turn(page=Page.FIX_USUAL, subject=subject)
            others.append(g.key("numbers.fix", ask_fix, icon="check", name="fix the usual"))
    if how:
        return _how(g, subject, title, lines)
    if g.small:  # no room under the chart
        others.append(
            g.key("numbers.how", Turn(page=Page.CHART, subject=f"{subject}{HOW}"), icon="question", name="how")
        )
    longer = next(each for each in DAYS if each != days)
    others.append(
        g.key(
            f"numbers.days.{longer}", Turn(page=Page.CHART, subject=_subject(longer, what, group, type_)), name="days"
        )
    )
    return PanelsView(
        head=_head(g, days),
        hand=back_hand(g, to=_back(what, group, type_)),
        title=title,
        help=help_,
        notice=g.said(),
        panels=(Panel(title="", drawing=panel.drawing, note=panel.note, nothing=panel.nothing),),
        lines=() if g.small else lines,
        main=main,
        others=tuple(others),
    )


def _back(what: str, group: str, type_: str) -> Turn:
    """To the page that leads to this chart: the first one, the choice of charts, or that of one finding or type."""
    if group or type_:
        return Turn(page=Page.CHARTS, subject="one")
    first = what in {By.DAY, CODES, TYPES, WHERE}
    return Turn(page=Page.NUMBERS if first else Page.CHARTS)


def _how(g: Glance, subject: str, title: str, lines: tuple[str, ...]) -> MenuView:
    """What a chart can not say, where there is no room for it under the chart."""
    return MenuView(
        head=_head(g, _split(subject)[0]),
        hand=back_hand(g, to=Turn(page=Page.CHART, subject=subject)),
        title=title,
        notice=g.said(),
        lines=lines,
        keys=(),
    )


def _may_fix(g: Glance, figures: Figures) -> bool:
    person = g.desk.catalogue.people.get(g.bench.who or "")
    leads = person is not None and person.role is Role.SUPERVISOR
    return leads and figures.asked.by in WITH_BASELINE and len(figures.spots) >= LEAST_FOR_BASELINE


def charts(g: Glance) -> MenuView | ListView:
    """Which chart; or of which finding group or item type."""
    say, days = g.words.say, DAYS[0]
    if g.turn and g.turn.subject:
        return _of_one(g)
    whats = (*By, CODES, TYPES, WHERE)
    keys = [
        g.key(f"numbers.choose.{what}", Turn(page=Page.CHART, subject=_subject(days, what)), name=f"chart {what}")
        for what in whats
    ]
    keys.append(g.key("numbers.choose.one", Turn(page=Page.CHARTS, subject="one"), icon="arrow_right", name="of one"))
    return MenuView(
        head=_head(g, days),
        hand=back_hand(g, to=Turn(page=Page.NUMBERS)),
        title=say("numbers.which"),
        notice=g.said(),
        lines=(),
        keys=tuple(keys),
    )


def _of_one(g: Glance) -> ListView:
    """Of one finding group by day, of one item type along its lumen and by day."""
    say, numbers, days = g.words.say, g.desk.numbers, DAYS[0]
    rows = [
        _to_chart(
            f"{say('numbers.by.day')} · {say(f'numbers.group.{group}')}",
            say("numbers.about.group"),
            _subject(days, By.DAY, group),
        )
        for group in GROUPS
    ]
    for bar in numbers.types(*_span(g, days)) if numbers else ():
        sub = say("numbers.about.of_type", n=bar.n)
        for what, title in ((WHERE, "numbers.where_title"), (By.DAY, "numbers.by.day")):
            rows.append(_to_chart(f"{say(title)} · {type_name(g, bar.what)}", sub, _subject(days, what, "", bar.what)))
    return listed(
        g, rows, about=_head(g, days), page=Page.CHARTS, subject="one", title=say("numbers.which"),
        nothing=say("numbers.nothing"), back=Turn(page=Page.CHARTS),
    )  # fmt: skip


def _to_chart(title: str, sub: str, subject: str) -> ListRow:
    return ListRow(
        title=title, sub=sub, icon="arrow_right", send=Turn(page=Page.CHART, subject=subject), name=f"to {subject}"
    )


def points(g: Glance) -> ListView:
    """The points of a chart, those that stand out first, then the newest; each opens its trips."""
    say, numbers = g.words.say, g.desk.numbers
    subject = g.turn.subject if g.turn else ""
    asked, days = asked_by(g, subject), _split(subject)[0]
    rows: list[ListRow] = []
    if asked and numbers:
        figures = charted.figures_of(g, numbers, asked)
        newest = figures.spots[::-1]
        rows = [
            ListRow(
                title=charted.label_words(g, asked.by, spot.label),
                sub=charted.state_words(g, figures, spot),
                value=charted.spot_words(g, figures, spot),
                icon="arrow_right",
                send=Turn(page=Page.POINT, subject=f"{subject}@{spot.label}"),
                name=f"point {spot.label}",
            )
            for spot in sorted(newest, key=lambda spot: not spot.out)
        ]
    return listed(
        g, rows, about=_head(g, days), page=Page.POINTS, subject=subject,
        title=charted.chart_title(g, asked) if asked else "", help_=say("numbers.points_help"),
        nothing=say("numbers.nothing"), back=Turn(page=Page.CHART, subject=subject),
    )  # fmt: skip


def point(g: Glance) -> ListView:
    """The trips behind a point, those with findings first."""
    say, numbers = g.words.say, g.desk.numbers
    whole = g.turn.subject if g.turn else ""
    subject, _, label = whole.partition("@")
    asked = asked_by(g, subject)
    trips = list(numbers.trips(asked, label, g.desk.policy.shifts)) if asked and numbers else []
    rows = [_trip_row(g, asked, trip, found) for trip, found in trips[shown(g, len(trips))]] if asked else []
    return listed(
        g, rows, many=len(trips), about=_head(g, _split(subject)[0]), page=Page.POINT, subject=whole,
        title=charted.label_words(g, asked.by, label) if asked else "", help_=say("numbers.trips", n=len(trips)),
        nothing=say("numbers.nothing"), back=Turn(page=Page.POINTS, subject=subject),
    )  # fmt: skip


def _trip_row(g: Glance, asked: Asked, trip: str, found: int) -> ListRow:
    told: Sequence[tuple[str, object]] = g.desk.records.of_trip(trip, "tray_opened")
    event = next((kept.event for _, kept in g.desk.records.of_trip(trip, "tray_opened")), None)
    tray = f"{event.tray.name} · {event.tray.code}" if isinstance(event, e.TrayOpened) else trip
    many = "none" if not found else "one" if found == 1 else "many"
    return ListRow(
        title=tray,
        sub=g.words.say(f"numbers.found.{many}", n=found),
        value=told[0][0] if told else "",
        icon="arrow_right",
        send=record_of(g, trip),
        name=f"trip {trip}",
    )


PAGES: dict[Page, Callable[[Glance], View]] = {
    Page.NUMBERS: numbers_page,
    Page.CHARTS: charts,
    Page.CHART: chart,
    Page.POINTS: points,
    Page.POINT: point,
}
