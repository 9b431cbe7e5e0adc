"""A lumen of unknown size is gauged at the bench; a wrong size is corrected there. Both by the supervisor's word."""

from dataclasses import replace
from decimal import Decimal, InvalidOperation

from kiosk.core import events as e
from kiosk.core.catalogue import Item
from kiosk.core.commands import CorrectSize, Measure, Page, RuleSize, Turn
from kiosk.core.decide.holding import place_hold
from kiosk.core.decide.pen import Pen, Refused
from kiosk.core.desk import Desk
from kiosk.core.startup import kit_today
from kiosk.core.state.piece import Piece
from kiosk.core.state.trip import Trip
from kiosk.core.together.stations import stations
from kiosk.core.together.two_records import names_known
from kiosk.core.vocabulary import Disposition, Learnt

UNKNOWN = "unknown_lumen"
WIDEST_MM, LONGEST_MM = 60, 2000
"""As the catalogue takes them."""


def unknown_ways(piece: Piece) -> tuple[str, ...]:
    """The lumens of the piece that wait for a size."""
    out = piece.disposition not in {None, Disposition.HOLD}
    return () if out else tuple(way.lumen for way in piece.plan.lumens if way.hold == UNKNOWN)


def measure(pen: Pen, command: Measure) -> None:
    """Pin goes, pin stops, length, each on its own pad. The size is the largest pin that goes, whatever is typical."""
    piece = pen.trip.pieces.get(command.piece)
    if pen.trip.ended or piece is None or piece.item is None or command.lumen not in unknown_ways(piece):
        raise Refused("refused.not_asked")
    if not pen.desk.catalogue.kit.gauge_pins:
        raise Refused("refused.no_pins")
    goes = _mm(command.goes, WIDEST_MM)
    if not command.stops:
        pen.turn = Turn(page=Page.MEASURE, subject=f"{piece.name}|{command.lumen}|{command.goes}|")
        return
    stops = _mm(command.stops, 2 * WIDEST_MM)
    if goes >= stops:
        pen.turn = Turn(page=Page.MEASURE, subject=f"{piece.name}|{command.lumen}||")
        pen.say("refused.pins")
        return
    known = next(way.length_mm for way in piece.item.lumens if way.name == command.lumen)
    if not command.length and known is None:
        pen.turn = Turn(page=Page.MEASURE, subject=f"{piece.name}|{command.lumen}|{command.goes}|{command.stops}")
        return
    length = _mm(command.length, LONGEST_MM) if command.length else known
    assert length is not None
    if not any(hold.code == UNKNOWN and piece.name in hold.waits_for for hold in pen.trip.holds):
        place_hold(pen, UNKNOWN, (piece.name,))
    pen.write(e.Measured(piece=piece.name, lumen=command.lumen, goes_mm=goes, stops_mm=stops, length_mm=length))
    pen.turn = Turn(page=Page.NAMES, subject="ruling:")
    pen.say("notice.measured", mm=goes)


def _mm(text: str, most: int) -> Decimal:
    try:
        number = Decimal(text)
    except InvalidOperation as fault:
        raise Refused("refused.millimeters") from fault
    if not number.is_finite() or not 0 < number <= most:
        raise Refused("refused.millimeters")
    return number


def rule(pen: Pen, command: RuleSize) -> None:
    """The supervisor takes the measure: the hold is released and the plan made anew."""
    pen.sign_ruling(command.by)
    if command.by == pen.bench.who and not pen.desk.policy.self_override:  # it may be their own measure
        raise Refused("refused.own_work")
    got = pen.trip.measured.get(f"{command.piece}.{command.lumen}")
    if got is None or command.lumen not in unknown_ways(pen.trip.pieces[command.piece]):
        raise Refused("refused.not_asked")
    held = tuple(h.id for h in pen.trip.holds if h.code == UNKNOWN and command.piece in h.waits_for)
    pen.write(e.HoldReleased(holds=held, why="measured"), who=command.by)
    _use(pen, command.by, command.piece, command.lumen, *got, everywhere=command.everywhere, source="gauge pin")


def correct(pen: Pen, command: CorrectSize) -> None:
    """The supervisor, and nobody else, corrects a size of the record; the plan of the piece is made anew."""
    piece = pen.trip.pieces.get(command.piece)
    if pen.trip.ended or piece is None or piece.item is None or piece.disposition not in {None, Disposition.HOLD}:
        raise Refused("refused.no_piece")
    if all(way.name != command.lumen for way in piece.item.lumens):
        raise Refused("refused.no_piece")
    inside = _mm(command.inside, WIDEST_MM)
    if not command.length:
        at = f"{command.by}:{command.piece}|{command.lumen}|{command.inside}"
        pen.turn = Turn(page=Page.CORRECT, subject=at)
        return
    _use(
        pen, command.by, command.piece, command.lumen, inside, _mm(command.length, LONGEST_MM), everywhere=False,
        source="corrected at the bench",
    )  # fmt: skip


def _use(
    pen: Pen, by: str, name: str, lumen: str, inside: Decimal, length: Decimal, *, everywhere: bool, source: str
) -> None:
    piece = pen.trip.pieces[name]
    assert piece.item is not None
    item = _sized(piece.item, lumen, inside, length)
    alike = same_elsewhere(pen.trip, piece, pen.desk)
    code = pen.trip.tray.code
    record = next((one for one in _items(pen.desk, code) if one.id == item.id), piece.item)  # as it stands by now
    kept = _sized(record, lumen, inside, length)
    pen.write(_corrected(pen, kept, code, source), who=by, off_trip=True)
    if everywhere:
        for code, other in alike:
            new = _sized(other, lumen, inside, length)
            pen.write(_corrected(pen, new, code, source), who=by, off_trip=True)
    pen.write(e.RecordUsed(piece=name, item=item), who=by)
    kit, out = kit_today(pen.bench, pen.desk)
    plans = pen.desk.make_plan((item,), pen.desk.policy, kit, out)
    pen.write(e.PlanShown(plans=tuple(plan for plan in plans if plan.piece == name)))
    if alike and not everywhere:
        pen.say("notice.same_elsewhere", trays=", ".join(code for code, _ in alike))


def _corrected(pen: Pen, item: Item, tray: str, source: str) -> e.RecordCorrected:
    over = names_known(stations(pen.bench, pen.desk).values(), f"item {tray} {item.id}")
    return e.RecordCorrected(item=item, tray=tray, source=source, over=over)


def _items(desk: Desk, tray: str) -> tuple[Item, ...]:
    known = desk.catalogue.trays.get(tray)
    return known.items if known else ()


def _sized(item: Item, lumen: str, inside: Decimal, length: Decimal) -> Item:
    ways = tuple(
        replace(way, inside_mm=inside, length_mm=length, learnt=Learnt.GAUGE_PIN) if way.name == lumen else way
        for way in item.lumens
    )
    return replace(item, lumens=ways, version=item.version + 1)


def same_elsewhere(trip: Trip, piece: Piece, desk: Desk) -> tuple[tuple[str, Item], ...]:
    """The same item (by name and type) in other trays: its record there is another one, and is only listed."""
    mine = piece.item
    assert mine is not None
    return tuple(
        (code, item)
        for code, tray in desk.catalogue.trays.items()
        for item in tray.items
        if code != trip.tray.code and (item.name, item.type) == (mine.name, mine.type)
    )
