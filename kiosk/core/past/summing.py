"""From a shift's book to what its summary holds: figures with their denominators, and the rows beside them. Pure.

What a print of a shift that is over held is kept whole in its event, so that no later print can say anything else.
"""

import re
from collections import Counter
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass

from kiosk.core import events as e
from kiosk.core.desk import Desk, Now
from kiosk.core.past.counters import COUNTERS, Book, Entry, Shift
from kiosk.core.past.records import is_over, shift_text, told_trip
from kiosk.core.stamp import Kept
from kiosk.core.state.bench import Bench
from kiosk.core.state.trip import Trip

GROUPS = ("soil", "foreign", "wet", "blocked", "damage", "identity")
OF: Mapping[str, str] = {
    **dict.fromkeys(GROUPS[:5], "pieces_checked"),
    "repeat_items": "pieces_checked",
    "lumens_not_seen": "lumens_checked",
    "dried_again": "wet",
    "trays_packed": "trays_ended",
    "trays_packed_short": "trays_ended",
    "trays_back": "trays_ended",
    "tickets_waiting": "tickets",
    "first_pass": "pieces_checked",
}
"""A figure -> the figure it is a part of, where it is a part of one in plain sense."""

LEAST = 50
"""Under so many no percentage is shown: it would say more than is known (a choice of the look, 3.10)."""

_AT = re.compile(r" ?\d+ mm$")
"""The millimeters of a place: places are told together by way or landmark."""

TOP = 5
"""Places that stand on the summary, the most frequent first."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Summary:
    """A shift's summary as it stands or as it was first printed.

    `number` "": not printed yet. `printed_ms`: of the first print. `since`: what changed after it, by how much.
    """

    shift: Shift
    until_ms: int
    over: bool
    figures: Mapping[str, int]
    rows: tuple[e.SummaryRow, ...]
    number: str = ""
    printed_ms: int = 0
    since: Mapping[str, int]

    def share(self, name: str) -> tuple[int, int | None]:
        """A figure and what it is a part of, or None where it is no part."""
        return self.figures[name], self.figures.get(OF[name]) if name in OF else None

    def of(self, kind: str) -> tuple[e.SummaryRow, ...]:
        """The rows of one kind: place, load, ticket, hold, override, refused, again."""
        return tuple(row for row in self.rows if row.kind == kind)


def percent(n: int, of: int | None) -> str:
    """ "7 %", or "" where there are too few, or it is no part. Never rounded to none or to all."""
    if not of or of < LEAST or n > of:
        return ""
    whole = (200 * n + of) // (2 * of)
    return f"{min(max(whole, 1 if n else 0), 99 if n < of else 100)} %"


def figures(book: Book) -> dict[str, int]:
    """All counters, and two sums that they are parts of: trays ended, pieces without any finding."""
    found = {(entry.trip, entry.piece) for group in GROUPS for entry in book.of(group)}
    first = sum((entry.trip, entry.piece) not in found for entry in book.of("pieces_checked"))
    ended = book["trays_packed"] + book["trays_packed_short"] + book["trays_back"]
    return {**book.counts, "trays_ended": ended, "first_pass": first}


def rows(book: Book, desk: Desk, bench: Bench) -> tuple[e.SummaryRow, ...]:
    """What stands beside the figures: places, loads, tickets and holds that wait, overrides, failed again."""
    trips = trips_known(desk, bench)
    named = {entry.trip for name in ("tickets_waiting", "repeat_items") for entry in book.of(name)}
    told = (told_trip(desk.records.of_trip(trip)) for trip in sorted(named - trips.keys() - {""}))
    return tuple(_rows(book, trips | {trip.id: trip for trip in told if trip}))


def trips_known(desk: Desk, bench: Bench) -> dict[str, Trip]:
    """The trips that are open, or ended last, at any station."""
    return {trip.id: trip for one in (bench, *desk.others.values()) for trip in one.trips.values()}


def _rows(book: Book, trips: Mapping[str, Trip]) -> Iterator[e.SummaryRow]:
    places = Counter((one.kind, _AT.sub("", one.where)) for group in GROUPS[:4] for one in book.of(group) if one.kind)
    for (kind, where), n in sorted(places.items(), key=_most)[:TOP]:
        yield e.SummaryRow(kind="place", what=kind, where=where, n=n)
    loads = Counter(entry.load for entry in book.of("soil") if entry.load)
    for load, n in sorted(loads.items(), key=_most):
        yield e.SummaryRow(kind="load", what=load, n=n)
    for entry in book.of("tickets_waiting"):
        yield e.SummaryRow(kind="ticket", what=entry.what, where=_tray(entry, trips), at_ms=entry.at_ms)
    for entry in book.of("holds_open"):
        yield e.SummaryRow(
            kind="hold", what=entry.what, where=_tray(entry, trips), waits=_waits(entry, trips), at_ms=entry.at_ms
        )
    for name, kind in (("overrides", "override"), ("overrides_refused", "refused")):
        for what, n in sorted(Counter(entry.what for entry in book.of(name)).items(), key=_most):
            yield e.SummaryRow(kind=kind, what=what, n=n)
    for entry in book.of("repeat_items"):
        piece = _piece(entry.trip, entry.piece, trips)
        yield e.SummaryRow(kind="again", what=piece, where=_tray(entry, trips), at_ms=entry.at_ms)


def _most(counted: tuple[object, int]) -> tuple[int, str]:
    return -counted[1], str(counted[0])


def _tray(entry: Entry, trips: Mapping[str, Trip]) -> str:
    trip = trips.get(entry.trip)
    return f"{trip.tray.name} · {trip.tray.code}" if trip else entry.tray or entry.trip


def _piece(trip_id: str, piece: str, trips: Mapping[str, Trip]) -> str:
    trip = trips.get(trip_id)
    return trip.pieces[piece].plan.name or piece if trip and piece in trip.pieces else piece


def _waits(entry: Entry, trips: Mapping[str, Trip]) -> str:
    return ", ".join(dict.fromkeys(_piece(entry.trip, name, trips) for name in entry.where.split(", ")))


def summary_of(shift: Shift, desk: Desk, bench: Bench, now: Now) -> Summary:
    """The shift's summary: as it was first printed after its end, else as counted now."""
    book = desk.records.book(shift, desk.policy, now.at_ms)
    counted = figures(book)
    kept = first_print(shift, desk)
    if kept is not None:
        event, stamp = kept.event, kept.stamp
        assert isinstance(event, e.SummaryCounted)
        since = {name: counted[name] - event.figures.get(name, 0) for name in COUNTERS}
        return Summary(
            shift=shift, until_ms=event.until_ms, over=True, figures={**dict.fromkeys(counted, 0), **event.figures},
            rows=event.rows, number=event.number, printed_ms=stamp.at_ms,
            since={name: more for name, more in since.items() if more},
        )  # fmt: skip
    over = is_over(shift, desk.policy.shifts, now.offset_min, now.at_ms)
    return Summary(
        shift=shift, until_ms=book.until_ms, over=over, figures=counted, rows=rows(book, desk, bench), since={}
    )


def first_print(shift: Shift, desk: Desk) -> Kept | None:
    """What was counted for the first print after the shift's end, at whichever station."""
    told = (kept for _, kept in prints(shift, desk))
    return next((kept for kept in told if isinstance(kept.event, e.SummaryCounted) and kept.event.over), None)


def prints(shift: Shift, desk: Desk) -> Iterable[tuple[str, Kept]]:
    """Every counting of this shift for a print, the oldest first."""
    name, day = shift_text(shift).split("/")
    for station, kept in desk.records.kept("summary_counted", holding=day):
        event = kept.event
        if isinstance(event, e.SummaryCounted) and (event.shift, event.date) == (name, day):
            yield station, kept
