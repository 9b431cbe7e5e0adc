"""Put right here: a stiff joint is looked into first; no lubricant where there is soil, or where it is not allowed."""

from kiosk.core import events as e
from kiosk.core.agenda import next_step
from kiosk.core.commands import LookIntoJoint, ReportOther
from kiosk.core.decide.happened import MAY_FALL
from kiosk.core.decide.pen import Pen, Refused
from kiosk.core.state.piece import TRAY, FindingOn
from kiosk.core.state.trip import Trip
from kiosk.core.vocabulary import Check


def may_lubricate(trip: Trip, finding: FindingOn) -> bool:
    """Never an eye item, never where the record says no."""
    item = trip.pieces[finding.piece].item
    if item is not None:
        return not item.type.startswith("eye_")
    line = next((line for line in trip.tray.lines if line.name == finding.place.landmark), None)
    return line is not None and line.lubricate


def wants_look(finding: FindingOn) -> bool:
    """A stiff joint that nobody looked into yet."""
    return finding.code == "stiff" and not finding.looked


def look_into(pen: Pen, command: LookIntoJoint) -> None:
    """Soil in the joint is a finding of its own; a clear joint may be put right."""
    step = next_step(pen.bench, pen.desk)
    if step.kind != "put_right" or step.task is None or not wants_look(pen.trip.finding(step.task.n)):
        raise Refused("refused.not_asked")
    finding = pen.trip.finding(step.task.n)
    if command.soil:
        pen.write(e.CheckNo(piece=finding.piece, key=finding.key))
    else:
        pen.write(e.JointLooked(n=finding.n, piece=finding.piece))


def report_other(pen: Pen, command: ReportOther) -> None:
    """One of the pieces without a lumen is not as it was called: the look at all of them is answered NO now."""
    trip = pen.bench.trip
    kind = next_step(pen.bench, pen.desk).kind
    if trip is None or trip.ended or kind not in MAY_FALL or TRAY not in trip.pieces:
        raise Refused("refused.not_asked")
    if not trip.pieces[TRAY].yes.get(str(Check.OTHERS)):
        raise Refused("refused.not_asked")
    pen.write(e.CheckNo(piece=TRAY, key=str(Check.OTHERS)))
