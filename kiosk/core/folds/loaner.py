"""The fold of vendors' sets and implants: the second count, used and refilled, instructions on file, going home."""

from dataclasses import replace

from kiosk.core import events as e
from kiosk.core.stamp import Stamp
from kiosk.core.state.bench import Bench
from kiosk.core.state.trip import Trip


def used(trip: Trip, event: e.ImplantUsed, stamp: Stamp) -> Trip:
    """Used in surgery, and refilled."""
    return replace(trip, implants={**trip.implants, event.line: (event.used, event.refilled)})


def second_line(trip: Trip, event: e.SecondLineCounted, stamp: Stamp) -> Trip:
    """A number of the second person."""
    return replace(trip, second_counts={**trip.second_counts, event.line: event.have})


def second_done(trip: Trip, event: e.SecondCounted, stamp: Stamp) -> Trip:
    """Both counts agree; or both count these lines again."""
    if not event.differs:
        return replace(trip, second_done=True, second_counted_by=stamp.who or "")
    first = {line: have for line, have in trip.counts.items() if line not in event.differs}
    again = replace(trip, counts=first, counted=False, second_counts={})
    return replace(again, differences=tuple(row for row in trip.differences if row[0] not in event.differs))


def filed(trip: Trip, event: e.IfuFiled, stamp: Stamp) -> Trip:
    """The instructions are on file."""
    return replace(trip, ifu_filed=True)


def went_home(trip: Trip, event: e.LoanerReturned, stamp: Stamp) -> Trip:
    """The trip ends."""
    return replace(trip, left_ms=stamp.at_ms)


def packed_here(bench: Bench, event: e.Packed | e.PackedShort, stamp: Stamp) -> Bench:
    """A vendor's set that was packed here is known from now on."""
    trip = bench.trips.get(stamp.trip or "")
    return replace(bench, loaners=bench.loaners | {trip.tray.code}) if trip and trip.tray.loaner else bench


def forgotten(bench: Bench, event: e.LoanerReturned, stamp: Stamp) -> Bench:
    """It went home: the next time it comes, it is used here for the first time again."""
    trip = bench.trips.get(stamp.trip or "")
    return replace(bench, loaners=bench.loaners - {trip.tray.code}) if trip else bench
