"""What the second person is shown, and the keys that lead there."""

from kiosk.core.commands import Page, TakeSecondLook, Turn
from kiosk.core.decide.second_looks import SAYS, waiting
from kiosk.core.glance import Glance, band_for, hand, piece_name, place_words, way, way_name
from kiosk.core.place import Place
from kiosk.core.state.piece import FindingOn
from kiosk.core.state.trip import Trip
from kiosk.core.views import Flag, Head, Key, SecondLookView, StopView


def asked(g: Glance) -> SecondLookView | StopView:
    """The question, the piece, the place and the picture. Rings, findings and notices of the first person stay away."""
    assert g.turn is not None
    about, _, person = g.turn.subject.rpartition(":")
    found = next((f for f in waiting(g.trip) if about == f"look-{f.n}"), None)
    return _settled(g) if found is None else _asked(g, found, person)


def _head(g: Glance, who: str) -> Head:
    return Head(title=g.trip.tray.name, short=g.trip.tray.name, who=who, bench=g.bench_name)


def _settled(g: Glance) -> StopView:
    """Nothing waits here any more."""
    say = g.words.say
    back = hand(g, left=(g.key("rail.back", Turn(), icon="arrow_left"),))
    title, sentence = say("second_look.title"), say("second_look.settled")
    return StopView(head=_head(g, ""), hand=back, title=title, sentence=sentence, lines=(), main=None)


def _asked(g: Glance, found: FindingOn, person: str) -> SecondLookView:
    say = g.words.say
    piece = g.trip.pieces[found.piece]
    lumen, _, check = found.key.rpartition(".")
    named = piece_name(g, piece)
    where = _where(g, g.trip, found)
    flags = (Flag(number=1, place=found.place, say=where),) if _marked(found.place) else ()
    keys = tuple(
        Key(label=say(f"second_look.says.{says}"), send=TakeSecondLook(by=person, n=found.n, says=says), name=says)
        for says in SAYS
    )
    return SecondLookView(
        head=_head(g, g.name_of(person)),
        hand=hand(g, left=(g.key("rail.back", Turn(), icon="arrow_left"),)),
        title=say(f"check.{check}.title"),
        help=f"{named} · {way_name(g, piece, lumen)}" if lumen else named,
        band=band_for(g, piece, lumen if way(piece.item, lumen) else "", flags=flags),
        place=where,
        picture=found.photo,
        none=say("second_look.no_picture"),
        keys=keys,
    )


def _marked(place: Place) -> bool:
    return place.at_mm is not None or place.all_along or bool(place.landmark)


def _where(g: Glance, trip: Trip, found: FindingOn) -> str:
    if _marked(found.place):
        return g.words.say("second_look.place", place=place_words(g, found.place))
    check = found.key.rpartition(".")[2]
    return g.words.say("second_look.anywhere", check=g.words.say(f"name.{check}"))


def key_of(g: Glance) -> Key | None:
    """The key that asks for the second person's badge, where a doubt waits."""
    doubts = waiting(g.trip) if g.bench.trip else ()
    if not doubts:
        return None
    aim = Turn(page=Page.NAMES, subject=f"second:look-{doubts[0].n}:")
    return g.key("second_look.key", aim, icon="question", name="second person")
