"""What is shown of a count that differs: two trays mixed and exchanged, a single-use item; its keys and pages."""

from collections.abc import Callable

from kiosk.core.commands import Page, RuleDiscard, RuleExchanged, RuleExtra, RuleMixed, RuleOthers, Turn, WantMark
from kiosk.core.decide.counting import may_be_mixed, may_be_settled, mirrored, of_others, to_discard
from kiosk.core.dispositions import shorts
from kiosk.core.glance import Glance, back_hand, head, piece_name, wipe_key
from kiosk.core.state.ruled import Mixed
from kiosk.core.viewing.letters import NOTE_AT_MOST, letters
from kiosk.core.viewing.menus import Offer
from kiosk.core.viewing.rows import listed
from kiosk.core.viewing.searching import (
    found_by,
    found_where,
    matching,
    search,
    settled,
    state_words,
    tray_words,
    where_words,
    whose,
)
from kiosk.core.views import AskView, Key, ListRow, ListView, NoteView, Plate, View


def mixed(g: Glance) -> ListView:
    """The supervisor says which tray this one was mixed with."""
    say, by = g.words.say, _by(g)
    rows = [
        ListRow(
            title=tray_words(match),
            sub=where_words(g, match),
            value=state_words(g, match),
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
        return settled(g)
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
    return letters(
        g,
        title=say("discard.title"),
        help_=say("discard.help", n=NOTE_AT_MOST),
        by=by,
        piece=piece,
        done=g.key("discard.done", RuleDiscard(by=by, piece=piece, note=""), kind="main", icon="arrow_right"),
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
