"""Number pads for a lumen that is gauged here, and for a size that the record has wrong."""

from kiosk.core.commands import CorrectSize, Measure, Page, RuleSize, Turn
from kiosk.core.decide.gauging import same_elsewhere, unknown_ways
from kiosk.core.decide.happened import MAY_FALL
from kiosk.core.glance import Glance, back_hand, head, piece_name, way_name
from kiosk.core.state.piece import Piece
from kiosk.core.viewing.rows import listed
from kiosk.core.views import Key, ListRow, ListView, NumberView
from kiosk.core.vocabulary import Disposition


def unknown(g: Glance) -> tuple[Piece, str] | None:
    """The first lumen of the tray that waits for a size and is not measured yet."""
    trip = g.bench.trip
    if trip is None or trip.ended or not g.desk.catalogue.kit.gauge_pins:
        return None
    waiting = ((piece, way) for piece in trip.pieces.values() for way in unknown_ways(piece))
    return next(((piece, way) for piece, way in waiting if f"{piece.name}.{way}" not in trip.measured), None)


def measure_key(g: Glance) -> Key | None:
    """The key that begins to measure."""
    waits = unknown(g)
    if waits is None or g.step.kind not in MAY_FALL:
        return None
    piece, way = waits
    aim = Turn(page=Page.MEASURE, subject=f"{piece.name}|{way}||")
    return g.key("measure.key", aim, icon="question", name="measure", piece=piece_name(g, piece))


def measure(g: Glance) -> NumberView:
    """The largest pin that goes; the smallest that stops; the length."""
    assert g.turn is not None
    name, way, goes, stops = (*g.turn.subject.split("|"), "", "", "")[:4]
    field = "goes" if not goes else "stops" if not stops else "length"
    piece = g.trip.pieces[name]
    return _pad(g, f"measure.{field}", field, Measure(piece=name, lumen=way, goes=goes, stops=stops), piece, way)


def _pad(g: Glance, key: str, field: str, send: Measure | CorrectSize, piece: Piece, way: str) -> NumberView:
    say = g.words.say
    return NumberView(
        head=head(g),
        hand=back_hand(g),
        title=say(key),
        help=f"{piece_name(g, piece)} · {way_name(g, piece, way)}",
        notice=g.said(),
        purpose="other",
        send=send,
        field=field,
        decimals=True,
        most=6,
        done=say("measure.next"),
        erase=say("number.erase"),
    )


def rulings(g: Glance) -> tuple[Key, ...]:
    """What the supervisor may say to a measure: for this tray, or for all trays with the same item."""
    trip = g.bench.trip
    if trip is None or g.turn is None:
        return ()
    for piece in trip.pieces.values():
        for way in unknown_ways(piece):
            got = trip.measured.get(f"{piece.name}.{way}")
            if got is not None:
                one = RuleSize(by=g.turn.subject, piece=piece.name, lumen=way)
                return (g.key("measure.take", one, icon="lock", name="take the measure", mm=got[0]),)
    return ()


def take(g: Glance) -> Key | None:
    """This tray only."""
    return next(iter(rulings(g)), None)


def take_everywhere(g: Glance) -> Key | None:
    """Every tray with the same item; nothing of the kind where there is no other."""
    key = take(g)
    if key is None or not isinstance(key.send, RuleSize):
        return None
    alike = same_elsewhere(g.trip, g.trip.pieces[key.send.piece], g.desk)
    if not alike:
        return None
    one = RuleSize(by=key.send.by, piece=key.send.piece, lumen=key.send.lumen, everywhere=True)
    return g.key("measure.take_all", one, icon="lock", name="take it everywhere", n=len(alike) + 1)


def correct_key(g: Glance) -> Key | None:
    """The supervisor's key to a size that the record has wrong."""
    trip = g.bench.trip
    if trip is None or trip.ended or g.turn is None or g.step.kind not in MAY_FALL or not _ways(g):
        return None
    return g.key("correct.key", Turn(page=Page.CORRECT, subject=f"{g.turn.subject}:"), icon="lock", name="wrong size")


def _ways(g: Glance) -> list[tuple[Piece, str]]:
    there = [p for p in g.trip.pieces.values() if p.item and p.disposition in {None, Disposition.HOLD}]
    return [(piece, way.name) for piece in there for way in (piece.item.lumens if piece.item else ())]


def correct(g: Glance) -> ListView | NumberView:
    """Which lumen is it; then its inside and its length as they are."""
    assert g.turn is not None
    by, _, rest = g.turn.subject.partition(":")
    if not rest:
        return _which(g, by)
    name, way, inside = (*rest.split("|"), "", "")[:3]
    field = "length" if inside else "inside"
    send = CorrectSize(by=by, piece=name, lumen=way, inside=inside)
    return _pad(g, f"correct.{field}", field, send, g.trip.pieces[name], way)


def _which(g: Glance, by: str) -> ListView:
    say = g.words.say
    rows = []
    for piece, way in _ways(g):
        lumen = next(each for each in piece.item.lumens if each.name == way) if piece.item else None
        known = lumen is not None and lumen.inside_mm is not None and lumen.length_mm is not None
        value = say("correct.size", mm=lumen.inside_mm, long=lumen.length_mm) if known and lumen else ""
        aim = Turn(page=Page.CORRECT, subject=f"{by}:{piece.name}|{way}|")
        rows.append(ListRow(title=piece_name(g, piece), sub=way, value=value, icon="arrow_right", send=aim, name=way))
    return listed(
        g,
        rows,
        page=Page.CORRECT,
        subject=f"{by}:",
        title=say("correct.title"),
        help_=say("correct.help"),
        nothing=say("correct.nothing"),
    )
