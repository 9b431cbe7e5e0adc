"""Failed checks of one piece (by its mark, or by its line) over all stations, in the order of their time. Pure."""

from collections.abc import Iterable

from kiosk.core.desk import Desk
from kiosk.core.folds.turnouts import row_of
from kiosk.core.state.bench import Bench
from kiosk.core.state.looked import Turnout
from kiosk.core.state.piece import FindingOn
from kiosk.core.state.trip import Trip

DAY_MS = 86_400_000


def visits(bench: Bench, desk: Desk, row: str) -> tuple[Turnout, ...]:
    """What every station knows of the row, oldest first. The stations' clocks are trusted alike."""
    known = [each for station in (bench, *desk.others.values()) for each in station.turnouts.get(row, ())]
    return tuple(sorted(known, key=_when))


def _when(turnout: Turnout) -> int:
    return turnout.at_ms


def in_a_row(turnouts: Iterable[Turnout]) -> int:
    """How many failed checks stand at the end, without a pass between."""
    count = 0
    for turnout in turnouts:
        count = count + 1 if turnout.failed else 0
    return count


def effort(bench: Bench, trip: Trip, finding: FindingOn, desk: Desk) -> int:
    """This failed check is number so many in a row; 0 where the finding is none. Counted once a trip."""
    if not finding.fails:
        return 0
    row = row_of(trip, finding.piece)
    return in_a_row(visits(bench, desk, row)) + (row not in trip.failed_rows)


def within(turnouts: Iterable[Turnout], now_ms: int, days: int) -> int:
    """Failed checks in the last so many days, whatever passed between."""
    return sum(each.failed and now_ms - each.at_ms <= days * DAY_MS for each in turnouts)


def often(bench: Bench, desk: Desk, now_ms: int) -> dict[str, tuple[Turnout, ...]]:
    """The rows that reached the limit in policy's window, most failed checks first."""
    days, limit = desk.policy.repeat_window_days, desk.policy.fail_limit
    rows = {row for station in (bench, *desk.others.values()) for row in station.turnouts}
    known = {row: visits(bench, desk, row) for row in rows}
    listed = {row: each for row, each in known.items() if within(each, now_ms, days) >= limit}
    return dict(sorted(listed.items(), key=lambda pair: (-within(pair[1], now_ms, days), pair[0])))
