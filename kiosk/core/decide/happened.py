"""What happens to a piece or a tray beside the checks: it fell, it broke, it may come from a special-pathogen case."""

from kiosk.core import events as e
from kiosk.core.agenda import next_step
from kiosk.core.commands import Call, Dropped, RulePathogen, SuspectPathogen
from kiosk.core.decide.holding import place_hold
from kiosk.core.decide.pen import Pen, Refused
from kiosk.core.place import Place
from kiosk.core.state.piece import TRAY
from kiosk.core.vocabulary import Disposition

MAY_FALL = frozenset({"check", "scope", "pack", "shelf", "plan_hold"})
"""Steps at which a fall may be told: nothing else waits for an answer then."""


def dropped(pen: Pen, command: Dropped) -> None:
    """It fell: it is cleaned again, and looked at for damage when it is back. Never wiped here and packed."""
    trip = pen.trip
    piece = trip.pieces.get(command.piece)
    if next_step(pen.bench, pen.desk).kind not in MAY_FALL or piece is None or piece.name in trip.replaced:
        raise Refused("refused.not_asked")
    there = {None, Disposition.PACK}
    if piece.name != TRAY and piece.disposition not in there:
        raise Refused("refused.no_piece")
    if piece.name == TRAY and all(line.name != command.line or line.item for line in trip.tray.lines):
        raise Refused("refused.no_piece")
    n = trip.next_finding
    group = str(pen.desk.findings["dropped"].group)
    place = Place(landmark=command.line)
    pen.write(e.Found(n=n, piece=piece.name, key="look", code="dropped", group=group, place=place))


def suspect(pen: Pen, command: SuspectPathogen) -> None:
    """Everything about this tray stops. The tool gives no steps: the facility's plan does."""
    if pen.trip.ended or pen.trip.pathogen_ms is not None:
        raise Refused("refused.not_asked")
    pen.write(e.PathogenSuspected())
    place_hold(pen, "special_pathogen", ())
    pen.write(e.LeadTold(piece=TRAY, why="special_pathogen"))


def rule(pen: Pen, command: RulePathogen) -> None:
    """Infection prevention has ruled, says the supervisor."""
    if pen.trip.pathogen_ms is None:
        raise Refused("refused.not_asked")
    pen.write(e.PathogenRuled(note=command.note), who=command.by)
    holds = tuple(hold.id for hold in pen.trip.holds if hold.code == "special_pathogen")
    pen.write(e.HoldReleased(holds=holds, why="infection prevention ruled"), who=command.by)


def call(pen: Pen, command: Call) -> None:
    """The name on the page was called. Nobody answered: the next name of the list."""
    step = next_step(pen.bench, pen.desk)
    names = pen.desk.policy.call_list
    if step.kind != "broken" or step.task is None:
        raise Refused("refused.not_asked")
    piece = pen.trip.finding(step.task.n).piece
    name = names[pen.trip.calls % len(names)] if names else ""
    pen.write(e.Called(piece=piece, name=name, answered=command.answered))
