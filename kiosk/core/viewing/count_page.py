"""The count: a page of lines for whoever counts, the second person's blind one, and the pads behind the numbers."""

from collections.abc import Mapping
from dataclasses import replace

from kiosk.core.agenda import untouched
from kiosk.core.catalogue import CountLine
from kiosk.core.commands import (
    CountAll,
    CountDiffers,
    CountImplant,
    Page,
    SecondCountDone,
    StopHere,
    Turn,
)
from kiosk.core.commands import (
    CountLine as SetLine,
)
from kiosk.core.glance import Glance, back_hand, hand, head, wipe_key, work_hand
from kiosk.core.second_count import second_lines
from kiosk.core.state.trip import Trip, wanted_here
from kiosk.core.viewing.loaner import facts
from kiosk.core.viewing.opening import not_this
from kiosk.core.views import CountRow, CountView, Key, MenuView, NumberView, StopView

COUNT_ROWS = 5
COUNT_ROWS_SMALL = 3
FIGURES = 3
"""Figures of a count at most."""


def count(g: Glance) -> CountView:
    """A page of count lines."""
    trip, say = g.trip, g.words.say
    lines = trip.tray.lines
    all_set = all(line.name in trip.counts for line in lines)
    differs = all_set and any(trip.counts[line.name] != wanted_here(trip, line) for line in lines)
    ends = g.key("count.differs" if differs else "count.done", CountDiffers(), kind="main") if all_set else None
    again = trip.count_again
    reason = ""
    if again == "pause" and trip.power_lost_ms and not trip.counts_repeated:
        reason = say("count.reason_power", time=g.clock(trip.power_lost_ms[-1]))
    elif again:
        reason = say(f"count.reason_{again}")
    help_ = say("count.again", reason=reason) if again else say("count.help")
    plain = untouched(trip) and not trip.tray.items
    rail = work_hand(g, change=False)
    view = count_page(g, lines, trip.counts, title=say("count.title"), help_=help_, ends=ends)
    if not plain:
        return view
    title = say("overview.title_start", name=trip.tray.name)
    return replace(view, title=title, hand=replace(rail, left=(*rail.left, not_this(g))), facts=facts(g, trip))


def count_page(
    g: Glance,
    lines: tuple[CountLine, ...],
    counts: Mapping[str, int],
    *,
    title: str,
    help_: str,
    ends: Key | None,
    by: str = "",
) -> CountView:
    """A page of these lines with these numbers; `ends`: the key that ends the count. `by`: the second person."""
    say, trip = g.words.say, g.trip
    size = COUNT_ROWS_SMALL if g.small else COUNT_ROWS
    pages = max(1, -(-len(lines) // size))
    open_page = next((i // size for i, line in enumerate(lines) if line.name not in counts), pages - 1)
    here = Turn(page=Page.SECOND, subject=f"count:{by}") if by else Turn(subject="count")
    first = 1 if by else 0  # the second person's turn 0 is the first page with a line to count
    mine = g.turn is not None and (g.turn.page, g.turn.subject) == (here.page, here.subject)
    asked = g.turn.number - first if mine and g.turn else -1
    page = min(asked if asked >= 0 else open_page, pages - 1)
    return CountView(
        head=head(g) if not by else replace(head(g), who=g.name_of(by)),
        hand=work_hand(g, change=False) if not by else back_hand(g),
        title=title,
        help=help_,
        notice=g.said(),
        rows=tuple(_row(g, trip, line, counts, by) for line in lines[page * size : (page + 1) * size]),
        page=page,
        pages=pages,
        page_words=say("page.words", n=page + 1, of=pages),
        all=say("count.all"),
        wanted=say("count.wanted"),
        there=say("count.there"),
        previous=g.key("page.previous", replace(here, number=first + max(0, page - 1)), icon="arrow_left"),
        next=g.key("page.next", replace(here, number=first + min(pages - 1, page + 1)), icon="arrow_right"),
        differs=ends,
        by=by,
    )


def _row(g: Glance, trip: Trip, line: CountLine, counts: Mapping[str, int], by: str) -> CountRow:
    name, want = line.name, wanted_here(trip, line)
    have = counts.get(name)
    pad = Turn(page=Page.TYPE_NUMBER, subject=f"line:{by}:{name}")
    if line.implant and not by:
        pad = Turn(page=Page.IMPLANT, subject=name)
    return CountRow(line=name, name=name, want=want, have=have, state=_row_state(g, trip, line, have, by), pad=pad)


def _row_state(g: Glance, trip: Trip, line: CountLine, have: int | None, by: str) -> str:
    want = wanted_here(trip, line)
    if line.name in trip.implants and not by:
        gone, back = trip.implants[line.name]
        return g.words.say("count.used_refilled", used=gone, refilled=back)
    if have is None:
        out = line.want - want
        return g.words.say("count.taken_out", n=out) if out else ""
    if have < want:
        return g.words.say("count.used" if line.implant else "count.short", n=want - have)
    return g.words.say("count.over", n=have - want) if have > want else g.words.say("count.as_listed")


def count_all(view: CountView) -> CountAll:
    """What the page's big key sends; the screen puts the time in."""
    return CountAll(lines=tuple(row.line for row in view.rows if row.have is None))


def second_asked(g: Glance) -> StopView:
    """A second person counts now: who is it?"""
    say, trip = g.words.say, g.trip
    whole = len(second_lines(g.bench, g.desk, trip)) == len(trip.tray.lines)
    return StopView(
        head=head(g),
        hand=hand(
            g, left=(g.key("load.leave", StopHere(reason="hold_shelf"), icon="arrow_left"),), right=(wipe_key(g),)
        ),
        title=say("second_count.title"),
        notice=g.said(),
        sentence=say("second_count.whole" if whole else "second_count.implants"),
        lines=g.words.lines("second_count.lines"),
        main=g.key("second_count.sign", Turn(page=Page.NAMES, subject="second:count:"), icon="lock", kind="main"),
    )


def second_count(g: Glance) -> CountView | StopView:
    """The second person's own count. The first one's numbers are not shown."""
    by = g.turn.subject.rpartition(":")[2] if g.turn else ""
    if g.step.kind != "second_count":
        return _over(g)
    lines, counts = second_lines(g.bench, g.desk, g.trip), g.trip.second_counts
    ready = all(line.name in counts for line in lines)
    ends = g.key("second_count.done", SecondCountDone(by=by), kind="main") if ready else None
    say = g.words.say
    title = say("second_count.page_title", name=g.name_of(by))
    return count_page(g, lines, counts, title=title, help_=say("second_count.help"), ends=ends, by=by)


def _over(g: Glance) -> StopView:
    """Nothing is to be counted twice any more."""
    back = hand(g, left=(g.key("rail.back", Turn(), icon="arrow_left"),))
    title, sentence = g.words.say("second_count.title"), g.words.say("second_count.over")
    return StopView(head=head(g), hand=back, title=title, sentence=sentence, lines=(), main=None)


def line_number(g: Glance) -> NumberView:
    """How many of one line are there. The turn's subject: `line:second person:line`."""
    assert g.turn is not None
    _, by, line = g.turn.subject.split(":", 2)
    return _pad(g, title=line, help_="count_number.there", send=SetLine(line=line, have=0, by=by), field="have")


def implant(g: Glance) -> MenuView:
    """One line of implants: how many are there, were used in surgery, were put back in."""
    assert g.turn is not None
    say, trip, name = g.words.say, g.trip, g.turn.subject
    line = next(line for line in trip.tray.implants if line.name == name)
    gone, back = trip.implants.get(name, (0, 0))
    have = trip.counts.get(name)
    numbers = {"there": "–" if have is None else str(have), "used": str(gone), "refilled": str(back)}
    keys = tuple(
        g.key(
            f"implant.{what}",
            Turn(page=Page.TYPE_NUMBER, subject=f"implant:{what}:{name}"),
            icon="keys",
            name=what,
            n=n,
        )
        for what, n in numbers.items()
    )
    return MenuView(
        head=head(g),
        hand=back_hand(g),
        title=name,
        help=say("implant.help", want=wanted_here(trip, line)),
        notice=g.said(),
        lines=g.words.lines("implant.lines"),
        keys=(*keys, g.key("implant.keep", Turn(), kind="main", icon="arrow_right")),
        goes_on=True,
    )


def implant_number(g: Glance) -> NumberView:
    """One number of a line of implants. The turn's subject: `implant:there, used or refilled:line`."""
    assert g.turn is not None
    _, what, name = g.turn.subject.split(":", 2)
    if what == "there":
        return _pad(g, title=name, help_="count_number.there", send=SetLine(line=name, have=0), field="have")
    gone, back = g.trip.implants.get(name, (0, 0))
    send = CountImplant(line=name, used=gone, refilled=back)
    return _pad(g, title=name, help_=f"count_number.{what}", send=send, field=what)


def _pad(g: Glance, *, title: str, help_: str, send: SetLine | CountImplant, field: str) -> NumberView:
    say = g.words.say
    return NumberView(
        head=head(g),
        hand=back_hand(g),
        title=title,
        help=say(help_),
        notice=g.said(),
        purpose="other",
        send=send,
        field=field,
        most=FIGURES,
        done=say("number.weight.done"),
        erase=say("number.erase"),
    )
