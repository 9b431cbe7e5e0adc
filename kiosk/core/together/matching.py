"""Shorts and extras held against each other: own bench first, then the stations that told something, then by load."""

from collections.abc import Iterator
from dataclasses import dataclass

from kiosk.core.catalogue import CountLine, Item
from kiosk.core.desk import Desk
from kiosk.core.state.bench import Bench
from kiosk.core.state.trip import Trip


@dataclass(frozen=True, slots=True, kw_only=True)
class Match:
    """A tray that may hold what is missing here, or miss what is too many here.

    `station` "" is this bench. `line`: its line of the same pattern. `differs`: how many too many (or, below 0, too
    few) it was counted with; 0 where its count agreed, or was not made. `same_load`: out of the same washer load.
    """

    station: str
    trip: Trip
    line: str
    differs: int
    same_load: bool

    @property
    def packed(self) -> bool:
        """Was it packed already?"""
        return self.trip.packed_ms is not None


def matches(bench: Bench, desk: Desk, trip: Trip, line: str) -> tuple[Match, ...]:
    """The trays that a line's difference may belong to, the likeliest first.

    First what was counted the other way round, own bench before others, same load before others; then the trays of the
    same load that have such a line at all, whatever their count said.
    """
    mine = next((row for row in trip.differences if row[0] == line), None)
    here = 0 if mine is None else mine[2] - mine[1]
    found = [match for match in _all(bench, desk, trip, line) if _fits(match, here)]
    return tuple(sorted(found, key=lambda m: (m.differs * here >= 0, bool(m.station), not m.same_load, m.trip.id)))


def _fits(match: Match, here: int) -> bool:
    return match.differs * here < 0 or (match.differs == 0 and match.same_load)


def _all(bench: Bench, desk: Desk, trip: Trip, line: str) -> Iterator[Match]:
    pattern = pattern_of(trip, line)
    for station, other in (("", bench), *sorted(desk.others.items())):
        for each in (other.packed | other.trips).values():
            if (not station and each.id == trip.id) or each.back_ms is not None or each.let_go_ms is not None:
                continue
            same = next((row for row in each.tray.lines if pattern_of(each, row.name) == pattern), None)
            if same is None:
                continue
            differs = next((have - want for name, want, have in each.differences if name == same.name), 0)
            same_load = each.load is not None and each.load == trip.load
            yield Match(station=station, trip=each, line=same.name, differs=differs, same_load=same_load)


def pattern_of(trip: Trip, line: str) -> tuple[object, ...]:
    """What makes two lines alike: the name as written, and for a lumened item its kind and its sizes."""
    row: CountLine | None = next((row for row in trip.tray.lines if row.name == line), None)
    item: Item | None = next((item for item in trip.tray.items if row and item.id == row.item), None)
    if item is None:
        return (line.casefold(),)
    return (item.name.casefold(), item.type, tuple((way.inside_mm, way.length_mm) for way in item.lumens))


def mixed_elsewhere(bench: Bench, desk: Desk) -> tuple[Trip, str, str] | None:
    """A packed tray of this bench that another station found mixed: the trip, that station, its tray's code."""
    mine = f"B{desk.bench_number}"
    for station, other in desk.others.items():
        for trip in (other.packed | other.trips).values():
            for one in trip.mixed:
                known = (bench.packed | bench.trips).get(one.trip)
                if one.station == mine and known is not None and known.packed_ms is not None:
                    return known, station, trip.tray.code
    return None
