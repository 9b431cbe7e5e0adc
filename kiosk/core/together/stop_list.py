"""The stop list over all stations, and the uses of a marked piece: what takes a piece out of use by rule. Pure."""

from collections.abc import Iterable
from dataclasses import dataclass

from kiosk.core.catalogue import Item, Tray
from kiosk.core.desk import Desk
from kiosk.core.state.bench import Bench
from kiosk.core.state.looked import Stop, Stopped
from kiosk.core.state.piece import Piece
from kiosk.core.state.trip import Trip
from kiosk.core.together.stations import every_bench, led


@dataclass(frozen=True, slots=True, kw_only=True)
class Progress:
    """One notice: what was found of it, and how many there are to find (None: nobody knows)."""

    stop: Stop
    found: tuple[Stopped, ...]
    of: int | None


def stops(bench: Bench, desk: Desk) -> tuple[Stop, ...]:
    """Every notice in force, whichever station it was entered at."""
    names = dict.fromkeys(name for station in every_bench(bench, desk) for name in station.notices)
    return tuple(_in_force(name, words) for name in names if (words := put_on(bench, desk, name)))


def put_on(bench: Bench, desk: Desk, notice: str) -> dict[str, tuple[str, ...]]:
    """The entries of a notice that nobody who had seen them took off, by the marks of the words that put each on.

    Whoever took one off must have led then.
    """
    said = [one.notices[notice] for one in every_bench(bench, desk) if notice in one.notices]
    off = {name for one in said for name, (by, at_ms) in one.off.items() if led(desk, by, at_ms)}
    on: dict[str, tuple[str, ...]] = {}
    for one in said:
        for entry, mark in one.on.items():
            if not off & {mark, f"{mark} {entry}"}:
                on[entry] = (*on.get(entry, ()), mark)
    return on


def _in_force(notice: str, entries: Iterable[str]) -> Stop:
    values: dict[str, list[str]] = {"mark": [], "type": [], "lot": []}
    for entry in entries:
        if entry:
            kind, value = entry.split(" ", 1)
            values[kind].append(value)
    marks, types, lots = map(tuple, values.values())
    return Stop(notice=notice, marks=marks, types=types, lots=lots)


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
    found = {
        each.what: each
        for station in every_bench(bench, desk)
        for each in station.stopped
        if each.notice == stop.notice
    }
    items = [item for _, item in trays_of(desk, stop)]
    typed = sum(item.qty for item in items) - sum(mark in stop.marks for item in items for mark in item.marks)
    return Progress(stop=stop, found=tuple(found.values()), of=len(stop.marks) + typed or None)


def uses(bench: Bench, desk: Desk, piece: Piece) -> int:
    """Uses of this marked piece so far: those of its record, and those that every station counted."""
    counted = sum(station.uses.get(piece.mark, 0) for station in every_bench(bench, desk))
    return (piece.item.uses if piece.item else 0) + counted


def unread(piece: Piece) -> bool:
    """Must the mark be read before the piece is looked at? Its uses are counted on it."""
    return bool(piece.item and piece.item.use_limit is not None and not piece.mark)
