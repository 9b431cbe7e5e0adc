"""A piece that the stop list names: is it in this tray? It is asked before anything is known of it."""

from kiosk.core.commands import AnswerRecall, Page, Turn
from kiosk.core.glance import Glance, hand, head, piece_name, wipe_key
from kiosk.core.together.stop_list import stop_of
from kiosk.core.viewing.opening import not_this
from kiosk.core.views import AskView, Plate


def asked(g: Glance) -> AskView:
    """Is this piece here? Then it comes out."""
    say, piece = g.words.say, g.trip.pieces[g.step.piece]
    stop = stop_of(g.bench, g.desk, piece)
    named = " ".join(filter(None, (piece_name(g, piece), piece.mark)))
    leave = g.key("overview.leave", Turn(page=Page.STOP), icon="arrow_left")
    counted = bool(g.trip.counted)
    return AskView(
        head=head(g),
        hand=hand(g, left=(leave if counted else not_this(g),), right=(wipe_key(g),)),
        title=say("recall.title"),
        help=say("recall.named", piece=named, notice=stop.notice if stop else ""),
        notice=g.said(),
        steps=g.words.lines("recall.again" if piece.name in g.trip.absent else "recall.steps"),
        no=Plate(
            word=say("check.no"),
            claim=say("recall.no_claim"),
            note=say("recall.no_note"),
            send=AnswerRecall(piece=piece.name, here=False),
        ),
        yes=Plate(
            word=say("check.yes"),
            claim=say("recall.yes_claim"),
            note=say("recall.yes_note"),
            send=AnswerRecall(piece=piece.name, here=True),
        ),
    )
