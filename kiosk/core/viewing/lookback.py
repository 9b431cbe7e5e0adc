"""Looking back, on the screen: scan or type what it is about, see the trips, print the numbered report."""

from collections.abc import Callable

from kiosk.core.commands import Page, RunLookback, Turn
from kiosk.core.composing.lookback import asked_words, more_words, row_words, rule_words, state_words
from kiosk.core.glance import Glance, back_hand, head
from kiosk.core.past import lookback
from kiosk.core.viewing import kept_pictures
from kiosk.core.viewing.letters import letters
from kiosk.core.viewing.rows import listed, record_of, shown
from kiosk.core.views import Key, ListRow, ListView, MenuView, NoteView, View

LETTERS = 40


def offer(g: Glance) -> Key | None:
    """The desk's key to looking back."""
    return g.key("lookback.key", Turn(page=Page.LOOKBACK), icon="question", name="look back")


def ask(g: Glance) -> View:
    """Scan what it is about, or pick a person; then the trips."""
    subject = g.turn.subject if g.turn else ""
    return found(g, subject) if subject else _ask(g)


def _ask(g: Glance) -> MenuView:
    say = g.words.say
    typed = g.key("lookback.type", Turn(page=Page.LOOKBACK_TYPED), icon="keys", kind="main", name="type it")
    return MenuView(
        head=head(g, title=g.bench_name),
        hand=back_hand(g, to=Turn(page=Page.DESK)),
        title=say("lookback.title"),
        help=say("lookback.help"),
        notice=g.said(),
        lines=g.words.lines("lookback.lines"),
        keys=(typed,),
    )


def typed(g: Glance) -> NoteView:
    """The code, letter by letter."""
    say = g.words.say
    return letters(
        g,
        top=head(g, title=g.bench_name),
        hand=back_hand(g, to=Turn(page=Page.LOOKBACK)),
        title=say("lookback.type_title"),
        help_=say("lookback.type_help"),
        field="subject",
        most=LETTERS,
        done=g.key("lookback.look", Turn(page=Page.LOOKBACK), kind="main", icon="arrow_right", name="look"),
    )


def found(g: Glance, subject: str) -> ListView | MenuView:
    """The trips that met it, the newest first; then those that may have been touched since, each with its way.

    By person nothing is shown before the reason is recorded.
    """
    say = g.words.say
    question = lookback.guessed(subject, g.desk)
    if question.kind == "person":
        return why(g)
    trips = lookback.met(g.desk.records, question)
    chains = lookback.chained(g.desk.records, question)
    ways = {one.trip: one for one in chains.trips}
    every = (*trips[::-1], *tuple(ways)[::-1])
    rows = [
        ListRow(
            title=f"{one.name} · {one.tray}",
            sub=row_words(g, ways[one.trip]) if one.trip in ways else state_words(g, one),
            value=one.station,
            icon="arrow_right",
            send=record_of(g, one.trip),
            name=f"trip {one.trip}",
        )
        for one in lookback.trace(g.desk.records, every[shown(g, len(every))], g.desk.policy)
    ]
    nothing = "lookback.no_package" if question.kind == "package" else "lookback.nothing"
    count = "lookback.aloud.one" if len(trips) == 1 else "lookback.aloud.many"
    return listed(
        g,
        rows,
        many=len(every),
        page=Page.LOOKBACK,
        subject=f"{question.kind}={question.value}",
        title=say(count, n=len(trips), what=asked_words(g, question)),
        help_=more_words(g, chains) if ways else rule_words(g, question, span=False),
        nothing=say(nothing, value=question.value),
        main=g.key(
            "lookback.print", Turn(page=Page.LOOKBACK_WHY, subject=f"{question.kind}={question.value}"), kind="main",
            icon="printer", name="print lookback",
        ),
        others=kept_pictures.item_key(g, question),
        back=Turn(page=Page.LOOKBACK),
    )  # fmt: skip


def why(g: Glance) -> MenuView:
    """Why is it looked back? The reason is kept with the run and stands on the report."""
    say = g.words.say
    subject = g.turn.subject if g.turn else ""
    question = lookback.guessed(subject, g.desk)
    keys = tuple(
        g.key(
            f"lookback.reason.{reason}", RunLookback(kind=question.kind, value=question.value, why=reason),
            name=f"why {reason}",
        )
        for reason in lookback.WHY
    )  # fmt: skip
    return MenuView(
        head=head(g, title=g.bench_name),
        hand=back_hand(g, to=Turn(page=Page.LOOKBACK)),
        title=say("lookback.why_title"),
        help=asked_words(g, question),
        notice=g.said(),
        lines=g.words.lines("lookback.why_lines"),
        keys=keys,
    )


PAGES: dict[Page, Callable[[Glance], View]] = {Page.LOOKBACK: ask, Page.LOOKBACK_TYPED: typed, Page.LOOKBACK_WHY: why}
