"""One tray open at two stations in the same cycle, learnt only once they heard each other. Pure.

Two passages of one tray belong together where they were open at the same time, at two stations. One that was let go
as the wrong tray, was taken over, or whose label is void does not count; one that was packed or went back does.
"""

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass

from kiosk.core.state.bench import Bench
from kiosk.core.state.piece import TRAY, Piece
from kiosk.core.state.ruled import Noted
from kiosk.core.state.trip import Trip
from kiosk.core.together.ruling import ruling_of

KIND = "same_tray"
HELD = f"@{KIND}:"
"""What a tray waits for that is held over such a conflict begins with this; the conflict's name follows."""

TWO_TRAYS = "two_trays"
"""The ruling that they are two trays with one label."""


def trips_of(conflict: str) -> tuple[str, ...]:
    """The trips that the conflict is between."""
    return tuple(conflict.split(":")[2:])


def held_over(trip: Trip) -> dict[str, str]:
    """The holds of this trip over such a conflict: hold -> conflict."""
    waiting = ((hold.id, name) for hold in trip.holds for name in hold.waits_for if name.startswith(HELD))
    return {hold: name[1:] for hold, name in waiting}


def passages(bench: Bench) -> Iterator[Trip]:
    """The trips of a station that may be in the way of another's: open, packed not long ago, gone back."""
    yield from {**bench.packed, **bench.trips}.values()
    for sent in bench.sent.values():
        if sent.ticket.whole_tray and sent.trip.id not in bench.trips:
            yield sent.trip


def same_trays(benches: Mapping[str, Bench]) -> list[Noted]:
    """What stands against each other now, by the tray's code; the same at every station that heard the same."""
    taken = {trip for one in benches.values() for trip in one.taken}
    void = {number for one in benches.values() for number in one.void}
    where: dict[str, list[tuple[str, Trip]]] = {}
    for station, one in benches.items():
        for trip in passages(one):
            if trip.id not in taken and _counts(trip, void):
                where.setdefault(trip.tray.code, []).append((station, trip))
    out = []
    for tray, found in sorted(where.items()):
        both = [one for one in found if any(_meet(one, other) for other in found)]
        if both:
            name = ":".join([KIND, tray, *sorted(trip.id for _, trip in both)])
            places = tuple(sorted({station for station, _ in both}))
            since = max(trip.opened_ms for _, trip in both)
            out.append(Noted(conflict=name, kind=KIND, what=tray, stations=places, at_ms=since))
    return out


def _counts(trip: Trip, void: set[str]) -> bool:
    if trip.let_go_ms is not None or trip.left_ms is not None:
        return False
    return trip.packed_ms is None or bool(set(labels_of(trip)) - void)


def labels_of(trip: Trip) -> tuple[str, ...]:
    """The numbers on the packages of a packed trip."""
    return trip.packages or ((trip.package,) if trip.package else ())


def _meet(one: tuple[str, Trip], other: tuple[str, Trip]) -> bool:
    """Two stations, and was each open before the other ended?"""
    (here, mine), (there, theirs) = one, other
    return here != there and mine.opened_ms < _until(theirs) and theirs.opened_ms < _until(mine)


def _until(trip: Trip) -> float:
    ends = [end for end in (trip.packed_ms, trip.back_ms) if end is not None]
    return min(ends, default=float("inf"))


def standing_conflicts(benches: Mapping[str, Bench]) -> list[Noted]:
    """What waits for a ruling: what stands against each other now, was noted, or holds a tray, and was not ruled."""
    every = {one.conflict: one for one in _remembered(benches)}
    every |= {one.conflict: one for one in same_trays(benches)}
    left = [one for one in every.values() if ruled(benches, one.conflict) is None]
    return [one for one in left if not any(_within(one.conflict, other.conflict) for other in left)]


def _remembered(benches: Mapping[str, Bench]) -> Iterator[Noted]:
    for station, one in benches.items():
        for trip in one.trips.values():
            for conflict in held_over(trip).values():
                tray = conflict.split(":")[1]
                yield Noted(conflict=conflict, kind=KIND, what=tray, stations=(station,), at_ms=trip.opened_ms)
    for one in benches.values():
        yield from (noted for noted in one.conflicts.values() if noted.kind == KIND)


def ruled(benches: Mapping[str, Bench], conflict: str) -> str | None:
    """The conflict whose ruling ends this one: itself, or one that a third station's trip was added to."""
    for other in sorted({name for one in benches.values() for name in one.rulings if name.startswith(f"{KIND}:")}):
        if (other == conflict or _within(conflict, other)) and ruling_of(benches.values(), other) is not None:
            return other
    return None


def _within(conflict: str, other: str) -> bool:
    mine, theirs = set(trips_of(conflict)), set(trips_of(other))
    return mine < theirs


def trip_of(benches: Mapping[str, Bench], trip: str) -> tuple[str, Trip] | None:
    """A trip, and where it is."""
    for station, one in benches.items():
        for each in passages(one):
            if each.id == trip:
                return station, each
    return None


def worse(one: Trip, other: Trip) -> bool:
    """Has the one, which is not packed, something open that the other has not: a finding, a piece out, a count?"""
    if one.packed_ms is not None:
        return False
    open_still = any(not (found.put_right or found.accepted) for found in one.findings)
    return open_still or any(map(_is_out, one.pieces.values())) or counts_differ(one, other)


@dataclass(frozen=True, slots=True, kw_only=True)
class Unseen:
    """What other records of a tray have and was not asked again here: `about` names it, for once and for all."""

    pieces: tuple[str, ...] = ()
    count: bool = False
    about: tuple[str, ...] = ()


def unseen(trip: Trip, others: Iterable[Trip]) -> Unseen:
    """A piece that is out here, and a record that was packed, ask for nothing."""
    pieces, counts = dict[str, None](), False
    about: list[str] = []
    for other in (each for each in others if each.packed_ms is None):
        for found in (each for each in other.findings if not (each.put_right or each.accepted)):
            mine, name = trip.pieces.get(found.piece), f"{other.id} finding {found.n}"
            if mine is not None and mine.disposition is None and name not in trip.asked_about:
                about.append(name)
                pieces[found.piece] = None
        told = [f"{other.id} out {piece.name}" for piece in other.pieces.values() if _is_out(piece)]
        if counts_differ(trip, other):
            told.append(f"{other.id} count {sorted(other.differences)}")
        new = [name for name in told if trip.counted and name not in trip.asked_about]
        about += new
        counts = counts or bool(new)
    return Unseen(pieces=tuple(pieces), count=counts, about=tuple(about))


def _is_out(piece: Piece) -> bool:
    return piece.disposition is not None and piece.name != TRAY


def counts_differ(one: Trip, other: Trip) -> bool:
    """Were both counted, and not found to hold the same?"""
    return one.counted and other.counted and set(one.differences) != set(other.differences)
