"""Looking back through three steps on five years of checks, against DuckDB's recursive query over the same rows."""

from datetime import UTC, date, datetime

import pytest

from kiosk.core.past.chains import STEPS, Start
from tests.speed.chain_questions import REACHED
from tests.speed.conftest import Tell
from tests.speed.figures import Figure, in_turn
from tests.speed.five_years import AGAINST, ANSWERS, Department

pytestmark = [pytest.mark.slow, pytest.mark.timeout(3600)]

DAY, LAST, SCOPE = date(2029, 5, 15), date(2029, 6, 14), "SC-31"
USED = (
    "SELECT trip, min(at_ms) FROM fact_answer WHERE method = 'scope' AND tool = ? AND day = ? AND at_ms >= ? "
    "AND at_ms < ? GROUP BY trip"
)
RUNS = 5


def _ms(day: date) -> int:
    return int(datetime(day.year, day.month, day.day, tzinfo=UTC).timestamp()) * 1000


def test_three_steps_from_the_trips_of_a_scope_on_one_day_against_a_recursive_query(
    department: Department, tell: Tell
) -> None:
    """What a scope that was not in order on one day may have led to within a month: by scopes and by lent pieces."""
    records, until = department.opened().records, _ms(LAST)
    between = (SCOPE, DAY.isoformat(), _ms(DAY), _ms(DAY) + 2 * 86_400_000)

    def ours() -> tuple[set[tuple[str, int, int]], int]:
        starts = [Start(trip=trip, at_ms=at_ms) for trip, at_ms in records.ask(USED, between)]
        found = records.chains(starts, STEPS, until)
        return {(one.trip, one.at_ms, one.steps) for one in found.trips}, found.further

    asked = {"day": DAY.isoformat(), "last": LAST.isoformat(), "scope": SCOPE, "until": until, "most": STEPS}

    def others() -> tuple[set[tuple[str, int, int]], int]:
        rows = department.columns.execute(REACHED, asked).fetchall()
        within = {row for row in rows if row[2] <= STEPS}
        return within, len({row[0] for row in rows} - {row[0] for row in within})

    trips, further = ours()
    assert (trips, further) == others()
    assert {steps for _, _, steps in trips} == set(range(1, STEPS + 1))
    mine, base = in_turn(ours, others, runs=RUNS)
    what = f"lookback through three steps to {len(trips):,} trips, of {ANSWERS:,} checks"
    tell(Figure(what=what, against=f"recursive query of {AGAINST}", ours=mine, base=base, goal=1.0))
