"""The rules of reference pictures: two people at the desk agree, each under their own badge, before one counts."""

from collections.abc import Callable
from typing import Any

from kiosk.core import commands as c
from kiosk.core import events as e
from kiosk.core.decide.desk_papers import at_the_desk
from kiosk.core.decide.pen import Pen, Refused
from kiosk.core.together.kept_references import every_reference, reference_called


def offer(pen: Pen, command: c.OfferReference) -> None:
    """A picture of an item type and a finding that are known, and that is not offered for them already."""
    if command.type not in pen.desk.types:
        raise Refused("references.refused.type", type=command.type)
    if command.finding not in pen.desk.findings.kinds:
        raise Refused("references.refused.finding", finding=command.finding)
    said = (command.type, command.finding, command.sha256)
    known = (one.picture for one in every_reference(pen.bench, pen.desk))
    if any((one.type, one.finding, one.sha256) == said for one in known):
        raise Refused("references.refused.known")
    station = f"D{pen.desk.bench_number}" if pen.desk.side == "decontam" else f"{pen.desk.bench_number}"
    number = f"RF-{station}{pen.bench.keeping.passed_over + len(pen.bench.references.offered) + 1:04d}"
    offered = e.ReferenceOffered(
        number=number, type=command.type, finding=command.finding, file=command.file, sha256=command.sha256
    )
    pen.write(offered, off_trip=True)


def agree(pen: Pen, command: c.AgreeReference) -> None:
    """Under one's own badge, once each."""
    at_the_desk(pen)
    found = reference_called(pen.bench, pen.desk, command.number)
    if found is None or found.version:
        raise Refused("refused.not_asked")
    if pen.bench.who in dict(found.by):
        raise Refused("references.refused.same")
    pen.write(e.ReferenceAgreed(number=command.number), off_trip=True)
    pen.turn = c.Turn(page=c.Page.REFERENCE, subject=command.number)


def take_back(pen: Pen, command: c.TakeReferenceBack) -> None:
    """Two people, as it was agreed: each under their own badge, once each."""
    at_the_desk(pen)
    found = reference_called(pen.bench, pen.desk, command.number)
    if found is None:
        raise Refused("refused.not_asked")
    if pen.bench.who in dict(found.back):
        raise Refused("references.refused.same_back")
    pen.write(e.ReferenceTakenBack(number=command.number), off_trip=True)
    gone = reference_called(pen.bench, pen.desk, command.number) is None
    pen.turn = c.Turn(page=c.Page.REFERENCES) if gone else c.Turn(page=c.Page.REFERENCE, subject=command.number)


RULES: dict[type, Callable[[Pen, Any], None]] = {
    c.OfferReference: offer,
    c.AgreeReference: agree,
    c.TakeReferenceBack: take_back,
}
BY_NOBODY: tuple[type, ...] = (c.OfferReference,)
"""Commands that need nobody signed in: a picture is offered at the machine, where its file lies."""


def settle(pen: Pen) -> None:
    """Nothing follows by itself."""
