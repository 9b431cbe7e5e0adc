"""Who counts a second time, and what: a vendor's set the first time it is packed here, and implants by size."""

from kiosk.core.catalogue import CountLine
from kiosk.core.desk import Desk
from kiosk.core.state.bench import Bench
from kiosk.core.state.trip import Trip


def second_lines(bench: Bench, desk: Desk, trip: Trip) -> tuple[CountLine, ...]:
    """The lines that a second person counts blind, by policy; () where nobody else counts."""
    asks, tray = desk.policy.second_person, trip.tray
    known = any(tray.code in one.loaners for one in (bench, *desk.others.values()))
    if tray.loaner and not tray.loaner.returning and not known and "loaner_first_use" in asks:
        return tray.lines
    return tray.implants if "implant_count" in asks else ()


def second_due(bench: Bench, desk: Desk, trip: Trip) -> bool:
    """Is the second person's count still to come?"""
    return trip.counted and not trip.second_done and bool(second_lines(bench, desk, trip))


def used(trip: Trip, line: CountLine) -> int:
    """How many implants of a line were used in surgery and not put back: they are not missing."""
    if not line.implant:
        return 0
    gone, back = trip.implants.get(line.name, (0, 0))
    return max(0, gone - back)
