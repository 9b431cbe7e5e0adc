"""The stop list over all stations, and the uses of a marked piece: what takes a piece out of use by rule. Pure."""

from collections.abc import Mapping
from dataclasses import dataclass, replace

from kiosk.core.bench import Bench, Piece, Trip
from kiosk.core.catalogue import Item, Tray
from kiosk.core.desk import Desk
from kiosk.core.looked import Stop, Stopped


@dataclass(frozen=True, slots=True, kw_only=True)
class Progress:
    """One notice: what was found of it, and how many there are to find (None: nobody knows)."""

    stop: Stop
    found: tuple[Stopped, ...]
    of: int | None


def stops(bench: Bench, desk: Desk) -> tuple[Stop, ...]:
    """Every notice in force, whichever station it was entered at.

    Of an entry that was put on and taken off, at whichever stations, the last word counts; to lift a notice takes off
    every entry that was put on before.
    """
    known: dict[str, Stop] = {}
    for station in (bench, *desk.others.values()):
        for stop in station.stops:
            old = known.get(stop.notice, Stop(notice=stop.notice))
            known[stop.notice] = Stop(
                notice=stop.notice,
                marks=tuple(dict.fromkeys((*old.marks, *stop.marks))),
                types=tuple(dict.fromkeys((*old.types, *stop.types))),
                lots=tuple(dict.fromkeys((*old.lots, *stop.lots))),
                since=_latest(old.since, stop.since),
                gone=_latest(old.gone, stop.gone),
                lifted_ms=max(old.lifted_ms, stop.lifted_ms),
            )
    left = (_in_force(stop) for stop in known.values())
    return tuple(stop for stop in left if stop.entries() or not stop.lifted_ms)


def _latest(one: Mapping[str, int], other: Mapping[str, int]) -> dict[str, int]:
    return {key: max(one.get(key, 0), other.get(key, 0)) for key in (*one, *other)}


def _in_force(stop: Stop) -> Stop:
    """The notice without the entries that were taken off after they were last put on."""
    off = {entry for entry, at in stop.since.items() if max(stop.gone.get(entry, 0), stop.lifted_ms) >= at}
    return replace(
        stop,
        marks=tuple(value for value in stop.marks if f"mark {value}" not in off),
        types=tuple(value for value in stop.types if f"type {value}" not in off),
        lots=tuple(value for value in stop.lots if f"lot {value}" not in off),
    )


def stopped_lot(bench: Bench, desk: Desk, lot: str) -> str:
    """The notice that a lot falls under, or ""."""
    return next((stop.notice for stop in stops(bench, desk) if lot in stop.lots), "")


def trays_of(desk: Desk, stop: Stop) -> tuple[tuple[Tray, Item], ...]:
    """Where the catalogue has what the notice names by its type: tray and item."""
    trays = desk.catalogue.trays.values()
    return tuple((tray, item) for tray in trays for item in tray.items if item.type in stop.types)


def stop_of(bench: Bench, desk: Desk, piece: Piece) -> Stop | None:
    """The notice that this piece falls under: by its mark, or by its item type."""
    if piece.item is None:
        return None
    for stop in stops(bench, desk):
        if (piece.mark and piece.mark in stop.marks) or piece.item.type in stop.types:
            return stop
    return None


def recalled(bench: Bench, desk: Desk, trip: Trip) -> Piece | None:
    """The piece of this tray that is asked after next, since a notice names it: before the count, or against it.

    Nobody has seen it yet: it may be in the tray or not. A count that has it against the word of whoever asked for it
    is not believed: it is asked again.
    """
    for piece in trip.pieces.values():
        if piece.disposition is not None or piece.name in trip.replaced:
            continue
        if (piece.name not in trip.absent or trip.counted) and stop_of(bench, desk, piece):
            return piece
    return None


def progress(bench: Bench, desk: Desk, stop: Stop) -> Progress:
    """How far the notice is: marks are counted by themselves, item types by what the catalogue holds of them."""
    stations = (bench, *desk.others.values())
    found = {each.what: each for station in stations for each in station.stopped if each.notice == stop.notice}
    items = [item for _, item in trays_of(desk, stop)]
    typed = sum(item.qty for item in items) - sum(mark in stop.marks for item in items for mark in item.marks)
    return Progress(stop=stop, found=tuple(found.values()), of=len(stop.marks) + typed or None)


def uses(bench: Bench, desk: Desk, piece: Piece) -> int:
    """Uses of this marked piece so far: those of its record, and those that every station counted."""
    counted = sum(station.uses.get(piece.mark, 0) for station in (bench, *desk.others.values()))
    return (piece.item.uses if piece.item else 0) + counted


def unread(piece: Piece) -> bool:
    """Must the mark be read before the piece is looked at? Its uses are counted on it."""
    return bool(piece.item and piece.item.use_limit is not None and not piece.mark)
