"""Which chart: by what, which other kind, or of which finding group or item type."""

from kiosk.core.commands import Page, Turn
from kiosk.core.composing.summary import type_name
from kiosk.core.glance import Glance, back_hand
from kiosk.core.past.figures import GROUPS, By
from kiosk.core.viewing.chart_subject import (
    CODES,
    DAYS,
    KINDS,
    ONE,
    OTHER_KINDS,
    TYPES,
    WHERE,
    came_from,
    head_of,
    span,
    subject_of,
)
from kiosk.core.viewing.rows import listed
from kiosk.core.views import ListRow, ListView, MenuView


def charts(g: Glance) -> MenuView | ListView:
    """Which chart; or which other kind; or of which finding group or item type."""
    say, days = g.words.say, DAYS[0]
    if g.turn and g.turn.subject:
        return _kinds(g) if g.turn.subject == KINDS else _of_one(g)
    here = came_from(g.turn)
    whats = (*(by for by in By if by not in OTHER_KINDS), CODES, TYPES, WHERE)
    keys = [
        g.key(
            f"numbers.choose.{what}",
            Turn(page=Page.CHART, subject=subject_of(days, what, came=here)),
            name=f"chart {what}",
        )
        for what in whats
    ]
    keys += [
        g.key(f"numbers.choose.{which}", Turn(page=Page.CHARTS, subject=which), icon="arrow_right", name=f"of {which}")
        for which in (ONE, KINDS)
    ]
    return MenuView(
        head=head_of(g, days),
        hand=back_hand(g, to=Turn(page=Page.NUMBERS)),
        title=say("numbers.which"),
        notice=g.said(),
        lines=(),
        keys=tuple(keys),
    )


def _kinds(g: Glance) -> ListView:
    """The other kinds of chart, each with when it is the right one."""
    say, days = g.words.say, DAYS[0]
    rows = [
        _to_chart(say(f"numbers.by.{by}"), say(f"numbers.right.{by}"), subject_of(days, by, came=came_from(g.turn)))
        for by in OTHER_KINDS
    ]
    return listed(
        g, rows, about=head_of(g, days), page=Page.CHARTS, subject=KINDS, title=say("numbers.which"),
        nothing=say("numbers.nothing"), back=Turn(page=Page.CHARTS),
    )  # fmt: skip


def _of_one(g: Glance) -> ListView:
    """Of one finding group by day, of one item type along its lumen and by day."""
    say, numbers, days, here = g.words.say, g.desk.numbers, DAYS[0], came_from(g.turn)
    rows = [
        _to_chart(
            f"{say('numbers.by.day')} · {say(f'numbers.group.{group}')}",
            say("numbers.about.group"),
            subject_of(days, By.DAY, group, came=here),
        )
        for group in GROUPS
    ]
    for bar in numbers.types(*span(g, days)) if numbers else ():
        sub = say("numbers.about.of_type", n=bar.n)
        for what, title in ((WHERE, "numbers.where_title"), (By.DAY, "numbers.by.day")):
            subject = subject_of(days, what, "", bar.what, came=here)
            rows.append(_to_chart(f"{say(title)} · {type_name(g, bar.what)}", sub, subject))
    return listed(
        g, rows, about=head_of(g, days), page=Page.CHARTS, subject=ONE, title=say("numbers.which"),
        nothing=say("numbers.nothing"), back=Turn(page=Page.CHARTS),
    )  # fmt: skip


def _to_chart(title: str, sub: str, subject: str) -> ListRow:
    return ListRow(
        title=title, sub=sub, icon="arrow_right", send=Turn(page=Page.CHART, subject=subject), name=f"to {subject}"
    )
