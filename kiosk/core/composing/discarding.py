"""The discard note of a single-use item: what it was, in which tray, by whose ruling, and since when."""

from kiosk.core.composing.parts import Order, foot, mark, moment, standing
from kiosk.core.composing.ticket import piece_line
from kiosk.core.glance import Glance
from kiosk.core.papers import SheetLine, Tag


def discard_note(g: Glance, order: Order) -> Tag:
    """The note, for the supervisor and the sharps or waste bin."""
    trip, say = order.trip, g.words.say
    piece = next(p for p in trip.pieces.values() if p.ticket == order.number)
    findings = standing(trip, piece.name)
    earlier = trip.earlier.get(piece.name, "")
    state = say("paper.discard.since", when=earlier) if earlier else say("paper.discard.first")
    photo = next((f.photo or f.no_photo for f in findings if f.photo or f.no_photo), "")
    rows = [
        ("paper.tag.fact.tray", f"{trip.tray.name} {trip.tray.code}"),
        ("paper.tag.fact.load", trip.load or "-"),
        ("paper.tag.fact.time", moment(g, g.now.at_ms)),
        ("paper.discard.fact.ruled", g.name_of(trip.ruled_by.get(piece.name, ""))),
        ("paper.discard.fact.photo", g.words.some(f"photo.reason_words.{photo}") or photo),
        ("paper.discard.fact.since", say("paper.discard.look_back") if earlier else ""),
        ("paper.discard.fact.note", piece.note),
    ]
    return Tag(
        title=say("paper.discard.title"),
        number=order.number,
        code=g.desk.encode(order.number),
        piece=piece_line(g, trip, piece, findings),
        tray=f"{trip.tray.name} · {trip.tray.code}",
        said=tuple(dict.fromkeys(g.desk.findings[f.code].say for f in findings)),
        marks=tuple(mark(g, trip, f, i) for i, f in enumerate(findings, 1)),
        state=state,
        warning=say("paper.discard.warning"),
        facts=tuple(SheetLine(label=say(key), value=value) for key, value in rows if value),
        foot=foot(g, order),
    )
