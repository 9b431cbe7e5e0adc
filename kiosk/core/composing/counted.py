"""What the tray sheet says of a count that differed: found, extra, mixed, discarded, opened again."""

from kiosk.core.composing.parts import plain_name
from kiosk.core.glance import Glance
from kiosk.core.state.trip import Trip
from kiosk.core.vocabulary import Disposition


def counted_lines(g: Glance, trip: Trip) -> tuple[str, ...]:
    """The lines for the box at the top of the sheet."""
    say, out = g.words.say, []
    for one in trip.mixed:
        key = "mixed.sheet" if one.exchanged else "mixed.sheet_open"
        out.append(say(key, tray=one.tray, lines=", ".join(one.lines), who=g.name_of(one.by)))
    for line, (where, who) in trip.found_at.items():
        out.append(say("paper.sheet.found", line=line, where=say(f"paper.sheet.where.{where}"), who=g.name_of(who)))
    for line, (where, who) in trip.extra_put.items():
        to = say(f"paper.sheet.where.{where}")
        out.append(say("paper.sheet.extra_put", line=line, where=to, who=g.name_of(who)))
    for piece in trip.pieces.values():
        if piece.disposition is Disposition.DISCARD:
            who = g.name_of(trip.ruled_by.get(piece.name, ""))
            out.append(say("paper.sheet.discarded", piece=plain_name(g, piece), who=who))
    out += [say("paper.sheet.reopened", number=number) for number in trip.reopened]
    return tuple(out)
