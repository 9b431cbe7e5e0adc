"""What is shown of a count that differs: the search, whose an extra may be, two trays mixed; a single-use item."""

from collections.abc import Callable

from kiosk.core.commands import (
    CountAgain,
    ExtraIs,
    FoundIt,
    Page,
    RuleDiscard,
    RuleExchanged,
    RuleExtra,
    RuleMixed,
    RuleOthers,
    Search,
    Turn,
    WantMark,
)
from kiosk.core.decide.counting import PLACES, last_seen, may_be_mixed, may_be_settled, mirrored, of_others, to_discard
from kiosk.core.dispositions import shorts
from kiosk.core.glance import Glance, back_hand, head, piece_name, wipe_key, work_hand
from kiosk.core.state.ruled import Mixed
from kiosk.core.state.trip import Trip
from kiosk.core.together.matching import Match, matches
from kiosk.core.viewing.menus import Offer
from kiosk.core.viewing.rows import listed
from kiosk.core.views import AskView, Hand, Key, ListRow, ListView, MenuView, NoteView, Plate, StopView, View

WORDS_AT_MOST = 120
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
        return _settled(g)
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


def _settled(g: Glance) -> StopView:
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
        lines.append(say("search.match", tray=_tray(over), where=_where(g, over)))
    lines.append(say("search.last_seen", time=g.since(at_ms), trip=seen) if seen else say("search.never_seen"))
    return tuple(lines)


def _tray(match: Match) -> str:
    return f"{match.trip.tray.name} · {match.trip.tray.code}"


def _where(g: Glance, match: Match) -> str:
    """Where the other tray is: packed when, or open; at which station."""
    trip, say = match.trip, g.words.say
    here = match.station or say("search.this_bench")
    if trip.packed_ms is not None:
        return say("search.packed", time=g.since(trip.packed_ms), bench=here)
    return say("search.open", bench=here)


def _state(g: Glance, match: Match) -> str:
    if match.differs > 0:
        return g.words.say("count.over", n=match.differs)
    return g.words.say("count.short", n=-match.differs) if match.differs else g.words.say("count.as_listed")


def matching(g: Glance) -> ListView:
    """Trays that a missing piece may lie in. Nothing is taken out of one by eye."""
    say, line = g.words.say, _line(g)
    rows = [
        ListRow(title=_tray(match), sub=_where(g, match), value=_state(g, match), name=f"match {match.trip.tray.code}")
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
            label=f"{match.trip.tray.name}\n{match.trip.tray.code} · {_state(g, match)}",
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


def mixed(g: Glance) -> ListView:
    """The supervisor says which tray this one was mixed with."""
    say, by = g.words.say, _by(g)
    rows = [
        ListRow(
            title=_tray(match),
            sub=_where(g, match),
            value=_state(g, match),
            icon="arrow_right",
            send=Turn(page=Page.MIXED_SAY, subject=f"{by}|{match.station}|{match.trip.id}"),
            name=f"mixed with {match.trip.tray.code}",
        )
        for match in may_be_mixed(g.bench, g.desk)
    ]
    return listed(
        g, rows, page=Page.MIXED, subject=by, title=say("mixed.title"), help_=say("mixed.help"),
        nothing=say("mixed.nothing"),
    )  # fmt: skip


def _by(g: Glance) -> str:
    return (g.turn.subject if g.turn else "").partition("|")[0]


def mixed_say(g: Glance) -> View:
    """What the other tray must hold, if it is the one: opened and looked at before anything is said."""
    say = g.words.say
    by, station, trip = (*(g.turn.subject if g.turn else "").split("|"), "", "")[:3]
    match = next((m for m in may_be_mixed(g.bench, g.desk) if (m.station, m.trip.id) == (station, trip)), None)
    if match is None:
        return mixed(g)
    steps = [
        say("mixed.holds", line=there, n=lies, want=listed_there)
        for _, there, listed_there, lies in mirrored(g.trip, match.trip)
    ]
    void = say("mixed.void", number=match.trip.package) if match.packed and not station else ""
    return AskView(
        head=head(g),
        hand=back_hand(g, wipe_key(g)),
        title=say("mixed.say_title", tray=match.trip.tray.name),
        help=say("mixed.say_help", tray=match.trip.tray.code),
        notice=g.said(),
        steps=tuple(line for line in (*steps, void) if line),
        no=Plate(word=say("check.no"), claim=say("mixed.no_claim"), note=say("mixed.no_note"), send=Turn()),
        yes=Plate(
            word=say("check.yes"),
            claim=say("mixed.yes_claim"),
            note=say("mixed.yes_note"),
            send=RuleMixed(by=by, station=station, trip=trip),
        ),
    )


def _open_mixed(g: Glance) -> Mixed | None:
    trip = g.bench.trip
    return next((one for one in trip.mixed if not one.exchanged), None) if trip else None


def exchange(g: Glance) -> View:
    """The supervised exchange."""
    say, one = g.words.say, _open_mixed(g)
    if one is None:
        return _settled(g)
    return AskView(
        head=head(g),
        hand=back_hand(g, wipe_key(g)),
        title=say("exchange.title", name=g.name_of(_by(g))),
        help=say("exchange.help", tray=one.tray, lines=", ".join(one.lines)),
        notice=g.said(),
        steps=g.words.lines("exchange.steps"),
        no=Plate(word=say("check.no"), claim=say("exchange.no_claim"), note=say("exchange.no_note"), send=Turn()),
        yes=Plate(
            word=say("check.yes"),
            claim=say("exchange.yes_claim"),
            note=say("exchange.yes_note"),
            send=RuleExchanged(by=_by(g)),
        ),
    )


def discard(g: Glance) -> NoteView:
    """The supervisor's words for the discard note."""
    say = g.words.say
    by, _, piece = (g.turn.subject if g.turn else "").partition("|")
    return NoteView(
        head=head(g),
        hand=back_hand(g),
        title=say("discard.title"),
        help=say("discard.help", n=WORDS_AT_MOST),
        notice=g.said(),
        by=by,
        piece=piece,
        most=WORDS_AT_MOST,
        done=g.key("discard.done", RuleDiscard(by=by, piece=piece, note=""), kind="main", icon="arrow_right"),
        erase=say("number.erase"),
        space=say("number.space"),
    )


def _search_offer(g: Glance) -> Key | None:
    trip = g.bench.trip
    short = shorts(trip) if trip and trip.counted and not trip.ended else ()
    if not short or g.step.kind == "search":
        return None
    return g.key("search.again", Turn(page=Page.SEARCH, subject=short[0][0]), name="search again")


def _mark_offer(g: Glance) -> Key | None:
    """A piece without a mark of its own may be put on the list of pieces to be marked."""
    trip = g.bench.trip
    piece = trip.pieces.get(g.step.piece) if trip else None
    if trip is None or piece is None or piece.item is None or piece.item.own_mark:
        return None
    if f"{trip.tray.code}/{piece.plan.item}" in g.bench.to_mark:
        return None
    return g.key("mark.key", WantMark(piece=piece.name), name="mark this piece")


def _mixed_offer(g: Glance) -> Key | None:
    if _open_mixed(g) is not None:
        return g.key("exchange.key", Turn(page=Page.EXCHANGE, subject=_by(g)), icon="tray", name="exchange")
    if not may_be_mixed(g.bench, g.desk):
        return None
    return g.key("mixed.key", Turn(page=Page.MIXED, subject=_by(g)), icon="tray", name="mixed")


def _extra_offer(where: str) -> Offer:
    def offer(g: Glance) -> Key | None:
        trip = g.bench.trip
        over = next((line for line, want, have in trip.differences if have > want), "") if trip else ""
        if not over or _open_mixed(g) is not None:
            return None
        return g.key(f"whose.{where}", RuleExtra(by=_by(g), line=over, where=where), name=f"extra {where}", line=over)

    return offer


def _discard_offer(g: Glance) -> Key | None:
    trip = g.bench.trip
    if trip is None or not to_discard(trip):
        return None
    piece = to_discard(trip)[0].piece
    send = Turn(page=Page.DISCARD, subject=f"{_by(g)}|{piece}")
    return g.key("discard.key", send, name="discard", piece=piece_name(g, trip.pieces[piece]))


def _others_offer(*, taken_out: bool) -> Offer:
    def offer(g: Glance) -> Key | None:
        trip = g.bench.trip
        found = of_others(trip) if trip else ()
        if not found or (not taken_out and not may_be_settled(g.desk, found[0])):
            return None
        send = RuleOthers(by=_by(g), n=found[0].n, taken_out=taken_out)
        what = found[0].place.landmark or g.desk.findings[found[0].code].say
        return g.key("others.taken_out" if taken_out else "others.settled", send, name=f"others {taken_out}", what=what)

    return offer


STEPS: dict[str, Callable[[Glance], View]] = {"search": search, "whose": whose}
PAGES: dict[Page, Callable[[Glance], View]] = {
    Page.SEARCH: search,
    Page.MATCHES: matching,
    Page.FOUND_WHERE: found_where,
    Page.FOUND_BY: found_by,
    Page.MIXED: mixed,
    Page.MIXED_SAY: mixed_say,
    Page.EXCHANGE: exchange,
    Page.DISCARD: discard,
}
HAPPENED: tuple[Offer, ...] = (_search_offer, _mark_offer)
"""Keys of the page "Something happened"."""
RULINGS: tuple[Offer, ...] = (_discard_offer, _mixed_offer, _extra_offer("spares"), _extra_offer("decontam"),
    _others_offer(taken_out=True), _others_offer(taken_out=False))  # fmt: skip
"""Keys of the supervisor's ruling."""
DESK: tuple[Offer, ...] = ()
"""Keys of the supervisor's desk."""
SECONDS: dict[str, Callable[[Glance], View]] = {}
"""What a second person is asked, by what it is about."""
