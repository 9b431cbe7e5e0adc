"""Time and people on the glass: minutes of checks a shift, by item type, every lumen, benches, a draft's cost.

What plans trays again (every lumen, the draft) is counted on its own page only. Never by person.
"""

from collections.abc import Callable, Iterable

from kiosk.core.commands import Page, PrintReport, Turn
from kiosk.core.composing import charted, draft_cost, timed
from kiosk.core.glance import Glance, back_hand, hand
from kiosk.core.papers import SheetLine
from kiosk.core.past.hours import WAITS_MIN, Hours, Times
from kiosk.core.viewing.roster import is_supervisor
from kiosk.core.viewing.rows import listed
from kiosk.core.views import Hand, Head, Key, ListRow, ListView, MenuView, Panel, PanelsView, View

BARS, BARS_SMALL = 9, 6
WAIT = 30
HOW = "?"
"""At the end of a subject: how it is counted and what it can not say, on a page of its own."""


def time_page(g: Glance) -> View:
    """The page of the turn's subject; where there are too few days for figures, one sentence."""
    subject = g.turn.subject if g.turn else ""
    what = subject.removesuffix(HOW).partition("/")[0]
    if subject.endswith(HOW):
        return _how(g, subject.removesuffix(HOW), what)
    hours = g.desk.hours
    times = timed.times_of(g, hours, timed.today(g)) if hours else None
    lack = timed.lacking(g, times)
    if hours is None or times is None or lack:
        return _nothing(g, lack, times is not None and bool(times.whole.answers))
    if what == "types":
        return _types(g, times)
    return _PARTS.get(what, _first)(g, hours, times)


def _turn(subject: str = "") -> Turn:
    return Turn(page=Page.TIME, subject=subject)


def _head(g: Glance) -> Head:
    return charted.desk_head(g, g.words.say("hours.head"), timed.span_words(g, timed.today(g)))


def _how_key(g: Glance, subject: str) -> Key:
    return g.key("hours.how", _turn(f"{subject}{HOW}"), icon="question", name="how")


def _nothing(g: Glance, lack: str, short: bool) -> PanelsView:
    return PanelsView(
        head=_head(g),
        hand=back_hand(g, to=Turn(page=Page.NUMBERS)),
        title=g.words.say("hours.head"),
        notice=g.said(),
        panels=(Panel(title="", drawing=None, nothing=lack),),
        lines=() if g.small or not short else (g.words.say("hours.nobody"),),
    )


def _first(g: Glance, hours: Hours, times: Times) -> PanelsView:
    """Minutes of checks a shift; seconds by check; the ways to the rest."""
    del hours
    most = BARS_SMALL if g.small else BARS
    send = PrintReport(doc="time_report", about=timed.today(g).isoformat())
    others = [
        g.key(f"hours.to.{what}", _turn(subject), icon="" if g.small else "arrow_right", name=f"to {what}")
        for what, subject in (
            ("draft", "draft"),
            ("benches", f"benches/{WAIT}"),
            ("every", "every"),
            ("types", "types"),
        )
    ]
    return PanelsView(
        head=_head(g),
        hand=back_hand(g, _how_key(g, ""), to=Turn(page=Page.NUMBERS)),
        title=timed.answer_words(g, times),
        help=timed.of_words(g, times),
        notice=g.said(),
        panels=(
            Panel(
                title=g.words.say("hours.seconds"),
                drawing=timed.method_bars(g, times, most),
                note=timed.unshown_words(g, times, most),
                nothing=g.words.say("hours.no_bar"),
            ),
        ),
        main=g.key("hours.print", send, kind="main", icon="" if g.small else "printer", name="print time"),
        others=tuple(others),
    )


def _rows(lines: Iterable[SheetLine]) -> list[ListRow]:
    return [ListRow(title=line.label, sub=line.note, value=line.value, name=f"row {n}") for n, line in enumerate(lines)]


def _rail(g: Glance, subject: str) -> Hand:
    """Back to the first page, and to how this one is counted."""
    return hand(
        g,
        left=(g.key("rail.back", _turn(), icon="arrow_left"),),
        right=(_how_key(g, subject),),
    )


def _types(g: Glance, times: Times) -> ListView:
    """Each item type: median and 90th percentile."""
    return listed(
        g, _rows(timed.type_lines(g, times)), about=_head(g), page=Page.TIME, subject="types",
        title=g.words.say("hours.types"), help_=g.words.say("hours.types_help"), nothing="", hand=_rail(g, "types"),
    )  # fmt: skip


def _every(g: Glance, hours: Hours, times: Times) -> PanelsView:
    """What checking every lumen every time costs a shift."""
    del times
    every = hours.every_lumen(*timed.span(timed.today(g)), g.desk.policy, g.desk.catalogue.kit)
    return PanelsView(
        head=_head(g),
        hand=_rail(g, "every"),
        title=timed.every_words(g, every),
        help=timed.every_of(g, every),
        notice=g.said(),
        panels=(
            Panel(
                title=g.words.say("hours.every.title"),
                drawing=timed.every_bars(g, every),
                nothing=g.words.say("hours.every.nothing"),
            ),
        ),
        lines=() if g.small else (g.words.say("hours.every.quarters"), *timed.every_notes(g, every)),
    )


def _benches(g: Glance, hours: Hours, times: Times) -> ListView:
    """Benches by hour of the day for a wanted wait; the key leads to the next wait."""
    del times
    wait = _wait(g.turn.subject if g.turn else "")
    need = hours.need(*timed.span(timed.today(g)), wait)
    after = WAITS_MIN[(WAITS_MIN.index(wait) + 1) % len(WAITS_MIN)]
    rows = _rows(timed.hour_line(g, hour) for hour in need.hours)
    return listed(
        g, rows, about=_head(g), page=Page.TIME, subject=f"benches/{wait}", title=timed.need_words(g, need),
        help_=timed.need_of(g, need), nothing=g.words.say("hours.every.none"), hand=_rail(g, f"benches/{wait}"),
        others=(g.key("hours.benches.wait", _turn(f"benches/{after}"), name="other wait", n=after),),
    )  # fmt: skip


def _wait(subject: str) -> int:
    told = subject.partition("/")[2]
    return int(told) if told.isdigit() and int(told) in WAITS_MIN else WAIT


def _draft(g: Glance, hours: Hours, times: Times) -> ListView:
    """What the draft of the policy would cost or save; without one, that it is compared here."""
    del times
    both = draft_cost.compared_of(g, hours, timed.today(g))
    to, word = (Page.POLICY_DRAFT, "hours.draft.open") if both else (Page.POLICY, "hours.draft.policy")
    way = g.key(word, Turn(page=to), icon="arrow_right", name="policy") if is_supervisor(g) else None
    return listed(
        g, _rows(draft_cost.draft_lines(g, both)) if both else (), about=_head(g), page=Page.TIME, subject="draft",
        title=draft_cost.draft_words(g, both) if both else g.words.say("hours.draft.none_title"),
        help_=draft_cost.draft_of(g, both) if both else "",
        nothing=g.words.say("hours.draft.nothing" if both else "hours.draft.none"), hand=_rail(g, "draft"), main=way,
    )  # fmt: skip


def _how(g: Glance, subject: str, what: str) -> MenuView:
    """How a page's figures are counted, and what they can not say."""
    part = what if what in {"types", *_PARTS} else "times"
    return MenuView(
        head=_head(g),
        hand=back_hand(g, to=_turn(subject)),
        title=g.words.say(f"hours.how_title.{part}"),
        notice=g.said(),
        lines=(*_aside(g, part), *g.words.lines(f"hours.limits.{'times' if part == 'types' else part}")),
        keys=(),
    )


def _aside(g: Glance, part: str) -> tuple[str, ...]:
    """What is in no figure of this page."""
    hours, (since, until) = g.desk.hours, timed.span(timed.today(g))
    if hours is None:
        return ()
    if part == "every":
        return timed.every_notes(g, hours.every_lumen(since, until, g.desk.policy, g.desk.catalogue.kit))
    if part == "benches":
        return timed.need_notes(g, hours.need(since, until, _wait(g.turn.subject.removesuffix(HOW) if g.turn else "")))
    if part == "draft" and (both := draft_cost.compared_of(g, hours, until)):
        return draft_cost.draft_notes(g, both)
    return ()


_PARTS: dict[str, Callable[[Glance, Hours, Times], View]] = {"every": _every, "benches": _benches, "draft": _draft}
PAGES: dict[Page, Callable[[Glance], View]] = {Page.TIME: time_page}
