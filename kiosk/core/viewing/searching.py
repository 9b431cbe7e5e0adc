"""What is shown of the search: where to look, which trays may have it, who found it where; whose an extra is."""

from kiosk.core.commands import CountAgain, ExtraIs, FoundIt, Page, Search, Turn
from kiosk.core.decide.counting import PLACES, last_seen
from kiosk.core.dispositions import shorts
from kiosk.core.glance import Glance, back_hand, head, work_hand
from kiosk.core.state.trip import Trip
from kiosk.core.together.matching import Match, matches
from kiosk.core.viewing.rows import listed
from kiosk.core.views import Hand, Key, ListRow, ListView, MenuView, StopView, View

MATCHES_SHOWN = 5


def _line(g: Glance) -> str:
    return g.turn.subject.partition("|")[0] if g.turn and g.turn.subject else g.step.line


def _ruling_key(g: Glance) -> Key:
    return g.key("rail.supervisor", Turn(page=Page.NAMES, subject="ruling:"), icon="lock")


def _hand(g: Glance) -> Hand:
    """The rail of these pages: stopping is always there, and the supervisor where there is room."""
    return work_hand(g, change=False, right=() if g.small else (_ruling_key(g),))


def search(g: Glance) -> View:
    """Where to look for what is missing: a place to tick for each; found it, or go on without."""
    say, trip, line = g.words.say, g.trip, _line(g)
    row = next((row for row in shorts(trip) if row[0] == line), None)
    if row is None:
        return settled(g)
    _, want, have = row
    ticked = trip.searched.get(line, ())
    keys = [_place_key(g, line, place, ticked) for place in PLACES]
    keys.append(g.key("search.found", Turn(page=Page.FOUND_WHERE, subject=line), name="found it"))
    keys.append(g.key("shelf.count_again", CountAgain(), name="count again"))
    if g.small:
        keys.append(_ruling_key(g))
    over = Search(line=line, places=ticked, over=True)
    keys.append(
        g.key("search.go_on" if ticked else "search.later", over, icon="arrow_right", kind="main", name="go on")
    )
    return MenuView(
        head=head(g),
        hand=_hand(g),
        title=say("search.title", line=line, n=want - have, want=want),
        help=say("search.help"),
        notice=g.said(),
        lines=_known(g, trip, line),
        keys=tuple(keys),
        goes_on=True,
    )


def settled(g: Glance) -> StopView:
    """Nothing of this is open any more."""
    return StopView(
        head=head(g), hand=back_hand(g), title=g.words.say("search.settled"), sentence=g.words.say("search.settled"),
        lines=(), main=g.key("overview.go", Turn(), kind="main", icon="arrow_right"),
    )  # fmt: skip


def _place_key(g: Glance, line: str, place: str, ticked: tuple[str, ...]) -> Key:
    done = place in ticked
    label = g.words.say(f"search.place.{place}", load=g.trip.load or "")
    if done:
        label = g.words.say("search.looked", place=label.replace("\n", " "))
    places = tuple(each for each in PLACES if (each in ticked) != (each == place))
    send = Turn(page=Page.MATCHES, subject=line) if place == "trays" and not done else Search(line=line, places=places)
    return Key(label=label, send=send, icon="eye" if done else "", name=f"searched {place}")


def _known(g: Glance, trip: Trip, line: str) -> tuple[str, ...]:
    """Small parts are urgent; when it was last there; which tray has one too many."""
    say = g.words.say
    small = any(row.name == line and row.small for row in trip.tray.lines)
    at_ms, seen = last_seen(g.bench, g.desk, trip, line)
    over = next((match for match in matches(g.bench, g.desk, trip, line) if match.differs > 0), None)
    lines = [say("search.small")] if small else []
    if over is not None:
        lines.append(say("search.match", tray=tray_words(over), where=where_words(g, over)))
    lines.append(say("search.last_seen", time=g.since(at_ms), trip=seen) if seen else say("search.never_seen"))
    return tuple(lines)


def tray_words(match: Match) -> str:
    """The other tray: its name and its code."""
    return f"{match.trip.tray.name} · {match.trip.tray.code}"


def where_words(g: Glance, match: Match) -> str:
    """Where the other tray is: packed when, or open; at which station."""
    trip, say = match.trip, g.words.say
    here = match.station or say("search.this_bench")
    if trip.packed_ms is not None:
        return say("search.packed", time=g.since(trip.packed_ms), bench=here)
    return say("search.open", bench=here)


def state_words(g: Glance, match: Match) -> str:
    """How many it has over or short of this line."""
    if match.differs > 0:
        return g.words.say("count.over", n=match.differs)
    return g.words.say("count.short", n=-match.differs) if match.differs else g.words.say("count.as_listed")


def matching(g: Glance) -> ListView:
    """Trays that a missing piece may lie in. Nothing is taken out of one by eye."""
    say, line = g.words.say, _line(g)
    rows = [
        ListRow(
            title=tray_words(match),
            sub=where_words(g, match),
            value=state_words(g, match),
            name=f"match {match.trip.tray.code}",
        )
        for match in matches(g.bench, g.desk, g.trip, line)
    ]
    places = tuple(place for place in PLACES if place in g.trip.searched.get(line, ()) or place == "trays")
    return listed(
        g,
        rows,
        page=Page.MATCHES,
        subject=line,
        title=say("search.trays_title", line=line),
        help_=say("search.trays_help"),
        nothing=say("search.no_trays"),
        main=g.key("search.trays_looked", Search(line=line, places=places), kind="main", name="trays looked"),
        others=(_ruling_key(g),),
    )


def found_where(g: Glance) -> MenuView:
    """Where was it?"""
    say, line = g.words.say, _line(g)
    places = [place for place in PLACES if place != "trays"]
    return MenuView(
        head=head(g),
        hand=back_hand(g),
        title=say("search.where_title", line=line),
        notice=g.said(),
        lines=g.words.lines("search.where_lines"),
        keys=tuple(
            Key(
                label=say(f"search.place.{place}", load=g.trip.load or ""),
                send=Turn(page=Page.FOUND_BY, subject=f"{line}|{place}"),
                name=f"found {place}",
            )
            for place in places
        ),
    )


def found_by(g: Glance) -> ListView:
    """Who found it? The one signed in stands first."""
    say = g.words.say
    line, _, place = (g.turn.subject if g.turn else "").rpartition("|")
    people = sorted(g.desk.catalogue.people.values(), key=lambda person: person.id != g.bench.who)
    rows = [
        ListRow(
            title=person.name,
            icon="arrow_right",
            send=FoundIt(line=line, where=place, by=person.id),
            name=f"found by {person.id}",
        )
        for person in people
    ]
    return listed(
        g, rows, page=Page.FOUND_BY, subject=f"{line}|{place}", title=say("search.who_title"), nothing=""
    )  # fmt: skip


def whose(g: Glance) -> MenuView:
    """Whose is the extra piece?"""
    say, trip, line = g.words.say, g.trip, _line(g)
    _, want, have = next(row for row in trip.differences if row[0] == line)
    keys = [
        Key(
            label=f"{match.trip.tray.name}\n{match.trip.tray.code} · {state_words(g, match)}",
            send=ExtraIs(line=line, tray=match.trip.tray.code, station=match.station),
            name=f"extra of {match.trip.tray.code}",
        )
        for match in matches(g.bench, g.desk, trip, line)[:MATCHES_SHOWN]
    ]
    keys.append(g.key("whose.nobody", ExtraIs(line=line), name="nobody knows"))
    keys.append(g.key("shelf.count_again", CountAgain(), name="count again"))
    return MenuView(
        head=head(g),
        hand=_hand(g),
        title=say("whose.title", line=line, n=have - want),
        help=say("whose.help"),
        notice=g.said(),
        lines=g.words.lines("whose.lines"),
        keys=tuple(keys),
    )
