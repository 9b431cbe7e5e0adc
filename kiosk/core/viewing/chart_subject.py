"""What the pages of a chart are about: its days, what it counts, and the page that one came from."""

from datetime import date, timedelta

from kiosk.core.commands import Page, Turn
from kiosk.core.composing import charted
from kiosk.core.glance import Glance
from kiosk.core.past.figures import IN_TIME, Asked, By
from kiosk.core.stamp import local_time
from kiosk.core.views import Head

DAYS = (28, 91)
"""Four weeks, or a quarter."""
WHERE, CODES, TYPES = "where", "codes", "types"
KINDS, ONE = "kinds", "one"
"""Pages of charts to choose from: other kinds of chart; of one finding group or item type."""
OTHER_KINDS = (By.BETWEEN, By.PER_LUMEN, By.PER_TRAY, By.A_DAY, By.AVERAGE, By.SUMS)
"""Charts in the order of time that are no share of lumens, each for a case of its own."""
assert set(OTHER_KINDS) <= IN_TIME


def span(g: Glance, days: int) -> tuple[date, date]:
    """The last so many local days, today among them."""
    today = local_time(g.now.at_ms, g.now.offset_min).date()
    return today - timedelta(days=days - 1), today


def split(subject: str) -> tuple[int, str, str, str, str]:
    """Days, what, group, type of a chart's subject, and the page one came from."""
    days, what, group, type_, came = (*subject.split("/"), "", "", "", "", "")[:5]
    return int(days) if days.isdigit() and int(days) in DAYS else DAYS[0], what, group, type_, came


def subject_of(days: int, what: str, group: str = "", type_: str = "", came: str = "") -> str:
    """The subject of a chart. `came`: see `came_from`; "" from the page that leads there by itself."""
    return "/".join((str(days), what, group, type_, *((came,) if came else ())))


def came_from(turn: Turn | None) -> str:
    """A page of charts to choose from, as a chart's subject keeps it: its subject and its number."""
    return f"{turn.subject}:{turn.number}" if turn else ":0"


def back(subject: str) -> Turn:
    """To the page that leads to this chart: the one kept in its subject, else the one that its kind stands on."""
    _, what, group, type_, came = split(subject)
    if came:
        page, _, number = came.partition(":")
        return Turn(page=Page.CHARTS, subject=page, number=int(number) if number.isdigit() else 0)
    if group or type_:
        return Turn(page=Page.CHARTS, subject=ONE)
    if what in OTHER_KINDS:
        return Turn(page=Page.CHARTS, subject=KINDS)
    first = what in {By.DAY, CODES, TYPES, WHERE}
    return Turn(page=Page.NUMBERS if first else Page.CHARTS)


def asked_by(g: Glance, subject: str) -> Asked | None:
    """The question that a chart's subject asks; None for bars and marks. Findings a day go up to yesterday."""
    days, what, group, type_, _ = split(subject)
    since, until = span(g, days)
    until -= timedelta(days=what == By.A_DAY)
    return Asked(by=By(what), since=since, until=until, group=group, type=type_) if what in set(By) else None


def days_words(g: Glance, days: int) -> str:
    """ "7 Mar to 3 Apr"."""
    since, until = span(g, days)
    first, last = (charted.day_words(g, day.isoformat()) for day in (since, until))
    return g.words.say("numbers.span", since=first, until=last)


def head_of(g: Glance, days: int) -> Head:
    """The head rail: what the numbers say, and of which days."""
    return charted.desk_head(g, g.words.say("numbers.head"), days_words(g, days))
