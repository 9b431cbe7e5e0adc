"""Seconds a check: percentiles against general libraries and a handbook, groups and counts on a log written by hand."""

import re
import statistics
from collections.abc import Iterator
from datetime import date
from pathlib import Path

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.stats.mstats import mquantiles

from kiosk.core.past.hours import Minutes, Spread
from kiosk.quality import bench_need, times, trips
from kiosk.quality.span import Span, SpanFault, shifts_in
from kiosk.quality.times import minutes_of, quantile, spread_of, took_of
from kiosk.store.bench_store import BenchStore
from kiosk.store.chain import COLUMNS
from kiosk.store.database import Store
from kiosk.store.log import Log
from kiosk.sync.beside import Beside
from tests.lumen.bench import default_policy
from tests.quality.small_log import WEEK, answers, at, opening, store_of, told
from tests.store.older import copied

SHIFTS = default_policy().shifts
SECONDS = st.lists(st.integers(1, 600_000).map(lambda ms: ms / 1000), min_size=2, max_size=60)


@given(SECONDS, st.floats(0, 1))
def test_a_percentile_is_that_of_the_general_libraries(seconds: list[float], share: float) -> None:
    """Sources: numpy.quantile (method "linear") and scipy mquantiles (1, 1), both definition 7 of Hyndman and Fan."""
    ordered = sorted(seconds)
    assert quantile(ordered, share) == pytest.approx(np.quantile(seconds, share, method="linear"), rel=1e-9)
    assert quantile(ordered, share) == pytest.approx(mquantiles(seconds, share, alphap=1, betap=1)[0], rel=1e-9)


@given(SECONDS)
def test_the_spread_is_that_of_the_standard_library(seconds: list[float]) -> None:
    cuts = statistics.quantiles(seconds, n=20, method="inclusive")
    spread = spread_of(sorted(seconds))
    got = (spread.p25_s, spread.median_s, spread.p75_s, spread.p90_s, spread.mean_s)
    assert got == pytest.approx((cuts[4], cuts[9], cuts[14], cuts[17], statistics.fmean(seconds)))
    assert spread.median_s == pytest.approx(statistics.median(seconds))


def test_the_ninetieth_percentile_of_a_handbook_s_measurements() -> None:
    """Data: NIST/SEMATECH e-Handbook 7.2.6.2, with its other rule, 1 + p (N - 1) = k + d, by hand. From memory."""
    gauge = [95.1772, 95.1567, 95.1937, 95.1959, 95.1442, 95.0610, 95.1591, 95.1195, 95.1065, 95.0925, 95.1990, 95.1682]
    assert quantile(sorted(gauge), 0.9) == pytest.approx(95.1937 + 0.9 * (95.1959 - 95.1937), abs=1e-9)  # k 10, d 0.9


@pytest.fixture
def store(tmp_path: Path) -> Iterator[BenchStore]:
    """Monday by day twenty swabs of 1 to 20 s, one without a time, one of 11 minutes; Tuesday late five lights."""
    made = store_of(
        tmp_path / "store",
        opening("1-000001", at(0, "09:00")),
        answers("swab", [*range(1, 21), 0, 660], at(0, "09:01")),
        opening("1-000002", at(1, "15:30")),
        answers("light", [4] * 5, at(1, "15:31"), "1-000002"),
        answers("basket", [9], at(1, "15:40"), "1-000002", piece="@tray"),
        opening("1-000003", at(7, "09:00")),
        answers("swab", [300] * 30, at(7, "09:01"), "1-000003"),  # the Monday after
    )
    yield made
    made.close()


def test_answers_without_a_time_and_interrupted_ones_are_counted_beside_and_in_no_figure(store: BenchStore) -> None:
    swab = next(row for row in times.times(store.records, WEEK, SHIFTS).by_method if row.method == "swab")
    assert (swab.answers, swab.timed, swab.not_timed, swab.interrupted) == (22, 20, 1, 1)
    assert swab.spread is not None
    assert (swab.spread.n, swab.spread.median_s) == (20, 10.5)
    assert swab.spread.p90_s == pytest.approx(18.1)  # by hand: the 1 + 0.9 x 19 = 18.1st of 1 to 20


def test_a_shift_s_minutes_are_those_of_all_shifts_in_which_something_was_answered(store: BenchStore) -> None:
    found = times.times(store.records, WEEK, SHIFTS)
    assert found.shifts == 2  # Monday's day shift, Tuesday's late
    (swab,) = (row for row in found.by_method if row.method == "swab")
    assert swab.minutes_a_shift == pytest.approx(210 / 60 / 2)  # 1 + ... + 20 s over two shifts


def test_of_a_few_answers_only_the_count_is_told(store: BenchStore) -> None:
    found = times.times(store.records, WEEK, SHIFTS)
    (light,) = (row for row in found.by_method if row.method == "light")
    assert (light.answers, light.spread, light.minutes_a_shift) == (5, None, None)
    assert set(found.seconds) == {"swab"}
    assert took_of("light", "", [4000] * 19, 1).spread is None
    assert took_of("light", "", [4000] * 20, 1).spread is not None


def test_an_answer_at_the_cap_still_counts_and_one_over_it_was_interrupted() -> None:
    row = took_of("scope", "", [600_000, 600_001, 0, -5], 1)
    assert (row.answers, row.timed, row.interrupted, row.not_timed) == (4, 1, 1, 2)


def test_answers_are_told_by_type_of_item_and_the_tray_s_own_apart(store: BenchStore) -> None:
    found = times.times(store.records, WEEK, SHIFTS)
    assert [(row.type, row.answers) for row in found.by_type] == [("suction_tube", 27), ("", 1)]
    assert [(row.method, row.type, row.answers) for row in found.by_both] == [
        ("swab", "suction_tube", 22), ("light", "suction_tube", 5), ("basket", "", 1),
    ]  # fmt: skip
    assert found.whole.answers == 28


def test_the_same_log_by_one_person_and_by_many_gives_the_same_figures(tmp_path: Path, store: BenchStore) -> None:
    said = [(kept.event, kept.stamp.at_ms, kept.stamp.trip) for kept in store.read()]
    many = store_of(tmp_path / "many", (told(*each, f"P-{n % 7}") for n, each in enumerate(said)))
    assert times.times(many.records, WEEK, SHIFTS) == times.times(store.records, WEEK, SHIFTS)
    assert trips.opened_in(many.records, WEEK) == trips.opened_in(store.records, WEEK)
    assert bench_need.stays_in(many.records, WEEK) == bench_need.stays_in(store.records, WEEK)
    many.close()


def test_what_other_stations_tell_counts_once_however_often_it_is_told(tmp_path: Path, store: BenchStore) -> None:
    kepts = list(store.read())
    with Store(tmp_path / "first", "B2") as other:
        Log(other).append(kepts[:9])
        there = copied(tmp_path / "first", tmp_path / "there")
    with Store(there, "B2") as moved:  # a log that goes on in a copy begins with what the first one tells
        Log(moved).append(kepts[9:])
    here = BenchStore(tmp_path / "here", "B1")
    for folder in (there, tmp_path / "first"):
        ear = Beside(folder)
        while rows := ear.fetch(here.heard.heads()):
            here.heard.take(rows.origin, rows.rows, was=rows.was, public_key=rows.public_key)
        ear.close()
    assert len(here.records.ask("SELECT DISTINCT origin FROM remote_event")) == 2
    assert times.times(here.records, WEEK, SHIFTS) == times.times(store.records, WEEK, SHIFTS)
    own, heard = trips.opened_in(store.records, WEEK), trips.opened_in(here.records, WEEK)
    assert [each.trip for each in heard.trays] == [each.trip for each in own.trays]
    assert {each.bench for each in heard.trays} == {"B2"}
    assert bench_need.stays_in(here.records, WEEK) == bench_need.stays_in(store.records, WEEK)
    here.close()


def test_events_that_two_logs_tell_count_once(store: BenchStore) -> None:
    """A log told again under a new name brings its events a second time, with the same ids."""
    before = times.times(store.records, WEEK, SHIFTS), trips.opened_in(store.records, WEEK)
    stays = bench_need.stays_in(store.records, WEEK)
    again = "0a0a0a0a-0a0a-0a0a-0a0a-0a0a0a0a0a0a"
    columns = ", ".join(COLUMNS)
    with store.store.transaction() as connection:
        connection.execute(
            f"INSERT INTO remote_event (origin, {columns}) SELECT '{again}', {columns} FROM event ORDER BY seq"
        )
    assert len(store.records.ask("SELECT 1 FROM remote_event")) == len(list(store.read()))
    assert (times.times(store.records, WEEK, SHIFTS), trips.opened_in(store.records, WEEK)) == before
    assert bench_need.stays_in(store.records, WEEK) == stays


def test_no_question_to_the_tables_names_a_person() -> None:
    asked = [sql for module in (times, trips, bench_need) for sql in vars(module).values() if "SELECT" in str(sql)[:9]]
    assert len(asked) == 7
    assert not [sql for sql in asked if re.search(r"\bwho\b|person_|badge", sql)]


def test_days_fewer_than_a_week_are_refused_for_they_would_be_one_person_s() -> None:
    with pytest.raises(SpanFault, match="the work of one or two people"):
        Span(first=date(2031, 3, 3), last=date(2031, 3, 8))
    with pytest.raises(SpanFault, match="is before"):
        Span(first=date(2031, 3, 3), last=date(2031, 3, 2))
    assert WEEK.days == 7


def test_a_night_is_one_shift_over_midnight() -> None:
    assert shifts_in([("2031-03-03", 23 * 60), ("2031-03-04", 60), ("2031-03-04", 419)], SHIFTS) == 1
    assert shifts_in([("2031-03-04", 419), ("2031-03-04", 420)], SHIFTS) == 2  # 06:59 and 07:00
    assert shifts_in([], SHIFTS) == 0


def spread(p25: float, median: float, p75: float, mean: float) -> Spread:
    return Spread(n=100, p25_s=p25, median_s=median, p75_s=p75, p90_s=2 * p75, mean_s=mean)


def test_minutes_of_fewer_checks_have_their_limits_the_other_way_round_and_unknown_methods_are_told() -> None:
    seconds = {"swab": spread(12, 18, 30, 24), "light": spread(3, 6, 9, 6)}
    assert minutes_of({"swab": 10, "light": -20, "air": 4, "scope": 0}, seconds) == Minutes(
        low=10 * 12 / 60 - 20 * 9 / 60,
        middle=10 * 18 / 60 - 20 * 6 / 60,
        high=10 * 30 / 60 - 20 * 3 / 60,
        mean=10 * 24 / 60 - 20 * 6 / 60,
        unknown={"air": 4},
    )


@given(st.dictionaries(st.sampled_from(["swab", "light"]), st.integers(-500, 500)))
def test_the_median_lies_between_the_limits(asked: dict[str, int]) -> None:
    minutes = minutes_of(asked, {"swab": spread(12, 18, 30, 24), "light": spread(3, 6, 9, 6)})
    assert minutes.low <= minutes.middle + 1e-9
    assert minutes.middle <= minutes.high + 1e-9


def test_the_published_time_of_a_set_is_the_sum_of_its_instruments_times() -> None:
    """80 simple instruments at 38 s and 8 with lumens at 86 s are 3,728 s.

    Source: Toor and others, Canadian Journal of Surgery 2022 65(2): E275, table 1 (38 s simple, 86 s complex or with a
    lumen, for the whole reprocessing); the sum is reckoned.
    """

    def took(seconds: float) -> Spread:
        return Spread(n=20, p25_s=seconds, median_s=seconds, p75_s=seconds, p90_s=seconds, mean_s=seconds)

    minutes = minutes_of({"simple": 80, "lumened": 8}, {"simple": took(38), "lumened": took(86)})
    assert {round(each * 60) for each in (minutes.low, minutes.middle, minutes.high, minutes.mean)} == {3728}
    assert minutes.unknown == {}
