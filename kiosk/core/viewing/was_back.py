"""What is told of a piece that decontam had: at its checks, and on the overview of a tray that came back whole."""

from kiosk.core.glance import Glance, flags_of, place_words
from kiosk.core.plan import PlannedCheck
from kiosk.core.state.piece import Piece
from kiosk.core.state.tickets import CameBack
from kiosk.core.state.trip import Trip
from kiosk.core.views import Flag


def facts(g: Glance, trip: Trip, piece: Piece, planned: PlannedCheck) -> tuple[str, ...]:
    """Of a piece that decontam had: what had been found here, and decontam's answer; after it the tool to use."""
    came = came_with(trip, piece)
    if came is None:
        return ()
    say = g.words.say
    mine = [f for f in came.found if f.piece == piece.name]
    codes = dict.fromkeys(f.code for f in mine) if came.found else came.codes
    what = ", ".join(g.desk.findings[code].say for code in codes)
    told = say("back.facts", what=what)
    use = (say(f"check.use_{planned.check}", use=planned.use),) if planned.use else ()
    if use and g.small:  # two lines have room there
        return (*use, told)
    said = (say("back.answer", answer=say(f"intake.said.{came.says}")),) if came.says else ()
    return (*use, told, *said)


def came_with(trip: Trip, piece: Piece) -> CameBack | None:
    """How the piece came back from decontam: by itself, or with its whole tray, if something had been found on it."""
    for came in reversed(trip.came_back):
        if piece.name in came.pieces or any(f.piece == piece.name for f in came.found):
            return came
    return None


def flags(g: Glance, trip: Trip, piece: Piece, lumen: str) -> tuple[Flag, ...]:
    """The findings that stand, and where something had been found before decontam had it."""
    now = flags_of(g, trip, piece, lumen)
    came = came_with(trip, piece)
    before = [f.place for f in came.found if f.piece == piece.name and f.place.lumen == lumen] if came else []
    more = dict.fromkeys(place for place in before if place not in [flag.place for flag in now])
    return now + tuple(
        Flag(number=n, place=place, say=place_words(g, place)) for n, place in enumerate(more, len(now) + 1)
    )


def overview(g: Glance, trip: Trip) -> tuple[str, ...]:
    """A tray that came back whole: what had been found in it, and decontam's answer."""
    say = g.words.say
    out = []
    for came in trip.came_back:
        if not came.pieces:
            what = ", ".join(g.desk.findings[code].say for code in came.codes)
            answer = say("back.answer", answer=say(f"intake.said.{came.says}")) if came.says else ""
            out += [say("back.facts", what=what) if what else "", answer]
    return tuple(filter(None, out))
