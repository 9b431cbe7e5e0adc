"""What somebody saw who could not sign in: it is kept without a name, and the tray waits until somebody takes it on."""

from kiosk.core import events as e
from kiosk.core.agenda import next_step
from kiosk.core.commands import NoteUnsigned, TakeOnUnsigned
from kiosk.core.decide.pen import Pen, Refused
from kiosk.core.dispositions import UNSIGNED
from kiosk.core.state.piece import TRAY

CHOICES = "others"
"""Of the NO screens the one whose words are offered here: what is seen on a piece as a whole."""


def note(pen: Pen, command: NoteUnsigned) -> None:
    """It is kept at once and holds the tray; nothing else is possible without a name, and nothing is let go."""
    trip = pen.bench.trips.get(command.trip)
    if pen.bench.who is not None or trip is None or trip.ended or command.code not in pen.desk.choices[CHOICES]:
        raise Refused("refused.not_asked")
    pen.write(e.FindingUnsigned(code=command.code), trip=trip.id)
    if all(hold.code != command.code or UNSIGNED not in hold.waits_for for hold in trip.holds):
        pen.hold(command.code, UNSIGNED, trip=trip.id)
    pen.write(e.LeadTold(piece=TRAY, why="unsigned"), trip=trip.id)
    pen.say("notice.unsigned")


def take_on(pen: Pen, command: TakeOnUnsigned) -> None:
    """Whoever is signed in takes it on: what was answered on the tray is asked again, of them."""
    if next_step(pen.bench, pen.desk).kind != "unsigned":
        raise Refused("refused.not_asked")
    pen.write(e.UnsignedTakenOn())
    pen.let_go(UNSIGNED, "taken on")
    again = tuple(piece.name for piece in pen.trip.pieces.values() if piece.yes)
    pen.write(e.RepeatedAfterPause(pieces=again, count=True))
