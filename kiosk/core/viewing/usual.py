"""What a chart shows is fixed as usual: asked a second time, for every later point is judged by it."""

from collections.abc import Callable

from kiosk.core.commands import FixBaseline, Page, Turn
from kiosk.core.composing import charted
from kiosk.core.glance import Glance, back_hand
from kiosk.core.viewing.chart_subject import OTHER_KINDS, asked_by, head_of, split
from kiosk.core.viewing.numbers import chart
from kiosk.core.views import AskView, Plate, View


def fix_usual(g: Glance) -> View:
    """Are these days the usual ones? Both numbers stand in the question."""
    say, numbers = g.words.say, g.desk.numbers
    subject = g.turn.subject if g.turn else ""
    asked, back = asked_by(g, subject), Turn(page=Page.CHART, subject=subject)
    if asked is None or numbers is None:
        return chart(g)
    figures = numbers.figures(asked, g.desk.policy.shifts)
    since, until = asked.since.isoformat(), asked.until.isoformat()
    days = {"since": charted.day_words(g, since), "until": charted.day_words(g, until)}
    title = asked.by if asked.by in OTHER_KINDS else "share"
    return AskView(
        head=head_of(g, split(subject)[0]),
        hand=back_hand(g, to=back),
        title=say(f"numbers.fix_title.{title}", found=figures.found, of=figures.of),
        help=" · ".join((charted.chart_title(g, asked), say("numbers.span", **days))),
        notice=g.said(),
        steps=g.words.lines("numbers.fix_steps"),
        no=Plate(word=say("check.no"), claim=say("numbers.fix_no"), send=back),
        yes=Plate(
            word=say("check.yes"),
            claim=say("numbers.fix_yes"),
            send=FixBaseline(about=asked.about, since=since, until=until),
        ),
    )


PAGES: dict[Page, Callable[[Glance], View]] = {Page.FIX_USUAL: fix_usual}
