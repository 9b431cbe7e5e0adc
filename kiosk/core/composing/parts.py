"""What the papers share: the foot, marks on tubes, names as papers write them."""

from dataclasses import dataclass

from kiosk.core.glance import Glance, finding_place, way
from kiosk.core.papers import Foot, Mark
from kiosk.core.stamp import local_time
from kiosk.core.state.piece import FindingOn, Piece
from kiosk.core.state.trip import Trip


@dataclass(frozen=True, slots=True, kw_only=True)
class Order:
    """A paper to be made: of which trip, under which number, which copy (0 is the first print)."""

    trip: Trip
    doc: str
    number: str
    copy: int = 0


@dataclass(frozen=True, slots=True, kw_only=True)
class ReportOrder:
    """A paper of the desk to be made: which, its number, which copy, and what it is about (a shift, a load)."""

    doc: str
    number: str
    copy: int = 0
    about: str = ""


def foot(g: Glance, order: Order) -> Foot:
    """The small line of every page."""
    say = g.words.say
    when = local_time(g.now.at_ms, g.now.offset_min)
    return Foot(
        printed=say("paper.printed", time=f"{when:%Y-%m-%d %H:%M %z}"),
        bench=g.bench_name,
        versions=say("paper.versions", version=g.desk.software, policy=order.trip.policy, record=order.trip.record),
        copy=say("paper.copy", n=copy_number(order)) if order.copy else "",
    )


def copy_number(order: Order) -> int:
    """The second print is COPY 2; where the first was written by hand there was none, and the first print is COPY 1."""
    first = (job for job in order.trip.jobs if (job.doc, job.number, job.copy) == (order.doc, order.number, 0))
    return order.copy if any(job.by_hand for job in first) else order.copy + 1


def report_foot(g: Glance, order: ReportOrder) -> Foot:
    """The small line of a report's pages."""
    say = g.words.say
    when = local_time(g.now.at_ms, g.now.offset_min)
    versions = {"policy": g.desk.policy.version, "record": g.desk.catalogue.version}
    return Foot(
        printed=say("paper.printed", time=f"{when:%Y-%m-%d %H:%M %z}"),
        bench=g.bench_name,
        versions=say("paper.versions", version=g.desk.software, **versions),
        copy=say("paper.copy", n=order.copy + 1) if order.copy else "",
    )


def mark(g: Glance, trip: Trip, finding: FindingOn, flag: int) -> Mark:
    """A finding drawn on its tube."""
    item = trip.pieces[finding.piece].item
    return Mark(
        flag=flag,
        lumen=way(item, finding.place.lumen),
        place=finding.place,
        words=finding_place(g, trip, finding),
    )


def plain_name(g: Glance, piece: Piece, *, of: bool = True) -> str:
    """The piece as papers name it: "(1 of 2)" says that one of two alike is meant, not which."""
    if piece.item is not None and piece.item.qty > 1 and of:
        return g.words.say("paper.ticket.of", name=piece.plan.name, n=piece.item.qty)
    return piece.plan.name


def kind_name(g: Glance, trip: Trip, piece: Piece) -> str:
    """A piece by its kind ("Shaver blade"), where the tray has no other of that kind; else by its whole name."""
    alike = [each for each in trip.pieces.values() if each.item and piece.item and each.item.type == piece.item.type]
    if piece.item is None or len(alike) != 1 or not piece.item.type:
        return plain_name(g, piece)
    return piece.item.type.replace("_", " ").capitalize()


def moment(g: Glance, at_ms: int) -> str:
    """Date and local time of day."""
    return f"{local_time(at_ms, g.now.offset_min):%Y-%m-%d %H:%M}"


def standing(trip: Trip, piece: str) -> list[FindingOn]:
    """The findings on a piece that were not put right, and that it does not go on with."""
    return [f for f in trip.findings if f.piece == piece and not (f.put_right or f.accepted)]
