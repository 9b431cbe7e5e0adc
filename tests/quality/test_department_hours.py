"""The hours of the desk are the figures of the functions behind them, counted anew when ten minutes old."""

import json
from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path
from threading import Event, Thread

import numpy as np
import pytest
from scipy.stats import poisson

from kiosk.core.past.hours import LEAST_DAYS
from kiosk.quality.bench_need import bench_need
from kiosk.quality.department_hours import KEPT_S, DepartmentHours
from kiosk.quality.every_lumen import every_lumen
from kiosk.quality.policy_replay import replay
from kiosk.quality.span import Span, SpanFault, shifts_in
from kiosk.quality.times import minutes_of, times
from kiosk.quality.trips import first_plans, opened_in
from kiosk.store.bench_store import BenchStore
from tests.lumen.bench import default_kit, default_policy
from tests.quality.four_weeks import HOURS, RARE, four_weeks, last_days
from tests.quality.small_log import WEEK, answers, at, opening, store_of

POLICY, KIT = default_policy(), default_kit()
SWAB_ONLY = default_policy(by_size={"wide": ["light"], "middle": ["swab"], "narrow": ["swab"], "tiny": ["air"]})
SINCE, UNTIL = last_days(28)
SPAN = Span(first=SINCE, last=UNTIL)


class Steady:
    """Seconds that a test moves on."""

    now = 0.0

    def __call__(self) -> float:
        return self.now


@pytest.fixture(scope="module")
def store(tmp_path_factory: pytest.TempPathFactory) -> Iterator[BenchStore]:
    made = store_of(tmp_path_factory.mktemp("hours") / "store", four_weeks()[0])
    yield made
    made.close()


@pytest.fixture
def hours(store: BenchStore) -> DepartmentHours:
    return DepartmentHours(store.records, "B1")


def test_the_times_are_those_of_the_log_by_check_and_by_item_type(hours: DepartmentHours) -> None:
    """Percentiles against numpy's default (Hyndman and Fan, definition 7)."""
    told, seconds = hours.times(SINCE, UNTIL, POLICY.shifts), four_weeks()[1]
    assert (told.days, told.short, told.whole.answers) == (28, False, sum(map(len, seconds.values())) + 2 * 28)
    for took in told.by_method:
        each = [value for (method, _), values in seconds.items() if method == took.method for value in values]
        assert (took.timed, took.spread is None) == (len(each), took.method == RARE)
        if took.spread is not None:
            assert [took.spread.median_s, took.spread.p90_s] == pytest.approx(np.percentile(each, [50, 90]))
            assert took.minutes_a_shift == pytest.approx(sum(each) / 60 / told.shifts)
    for took in told.by_type:
        each = [value for (_, kind), values in seconds.items() if kind == took.type for value in values]
        assert took.spread is not None
        assert [took.spread.median_s, took.spread.p90_s] == pytest.approx(np.percentile(each, [50, 90]))
    assert {took.method: took.not_timed for took in told.by_method if took.not_timed} == {"dry": 28}
    assert {took.method: took.interrupted for took in told.by_method if took.interrupted} == {"swab": 28}


def test_every_lumen_benches_and_a_draft_are_the_figures_of_their_functions(
    hours: DepartmentHours, store: BenchStore
) -> None:
    opened = opened_in(store.records, SPAN)
    seconds = times(store.records, SPAN, POLICY.shifts).seconds
    shifts = shifts_in(opened.moments, POLICY.shifts)
    every, own = hours.every_lumen(SINCE, UNTIL, POLICY, KIT), every_lumen(opened.trays, POLICY, KIT, seconds, shifts)
    for name in ("low", "middle", "high", "mean", "unknown"):
        assert getattr(every.now, name) == getattr(own.now, name)
        assert getattr(every.every, name) == getattr(own.every, name)
    assert (every.trays, every.lumens, every.shifts) == (own.trays, own.lumens, shifts)
    need, line = hours.need(SINCE, UNTIL, 20), bench_need(store.records, SPAN, opened, 20)
    assert need.mean_min == line.stays.mean_min
    assert [(hour.hour, hour.trays, hour.benches) for hour in need.hours] == [
        (hour.hour, hour.trays, hour.needs.people if hour.needs else None) for hour in line.hours
    ]
    both = hours.compared(SINCE, UNTIL, POLICY, SWAB_ONLY, KIT)
    played = replay(opened.trays, POLICY, SWAB_ONLY, KIT, first_plans(store.records, SPAN))
    assert both.more == played.more
    assert both.minutes.middle == minutes_of(played.more, seconds).middle
    assert (both.known, both.alike, both.elsewhere) == (played.compared, played.alike, 0)


def test_a_draft_that_leaves_out_the_scope_saves_its_median_for_every_bore(hours: DepartmentHours) -> None:
    """By hand: five trays a day of two tubes, one scope check each, at numpy's median of the scope's seconds."""
    scope = [value for (method, _), values in four_weeks()[1].items() if method == "scope" for value in values]
    both = hours.compared(SINCE, UNTIL, POLICY, SWAB_ONLY, KIT)
    bores = 2 * len(HOURS) * 28
    assert both.more == {"scope": -bores}
    assert both.minutes.middle == pytest.approx(-bores * float(np.median(scope)) / 60)
    assert both.minutes.low == pytest.approx(-bores * float(np.percentile(scope, 75)) / 60)
    assert {(one.sight, one.lumen, one.proof) for one in both.lumens} == {("not_more", "bore", 0)}
    assert sum(one.times for one in both.lumens) == bores
    there = hours.compared(SINCE, UNTIL, SWAB_ONLY, POLICY, KIT)
    assert {one.sight for one in there.lumens} == {"newly"}


def test_the_benches_told_are_the_fewest_that_keep_the_wait(hours: DepartmentHours) -> None:
    """Erlang C from scipy's Poisson distribution: B = pmf(c) / cdf(c), C = B / (1 - rho (1 - B))."""
    need = hours.need(SINCE, UNTIL, 5)
    told = [hour for hour in need.hours if hour.benches is not None]
    assert told
    for hour in told:
        assert hour.benches is not None
        assert need.mean_min is not None
        load = hour.an_hour * need.mean_min / 60
        assert hour.load == pytest.approx(load)

        def in_time(people: int, load: float = load, minutes: float = need.mean_min) -> float:
            if people <= load:
                return 0.0
            turned = poisson.pmf(people, load) / poisson.cdf(people, load)
            waits = turned / (1 - load / people * (1 - turned))
            return float(1 - waits * np.exp(-(people - load) * 5 / minutes))

        assert in_time(hour.benches) >= need.share > in_time(hour.benches - 1)


def test_a_figure_is_counted_anew_after_ten_minutes_and_not_before(tmp_path: Path) -> None:
    steady = Steady()
    store = store_of(tmp_path / "store", opening("1-000001", at(0, "09:00")), answers("swab", [5] * 30, at(0, "09:01")))
    hours = DepartmentHours(store.records, "B1", steady)
    first = hours.times(WEEK.first, WEEK.last, POLICY.shifts)
    trays = hours.every_lumen(WEEK.first, WEEK.last, POLICY, KIT).trays
    store.keep([*opening("1-000002", at(1, "09:00")), *answers("swab", [9] * 30, at(1, "09:01"), "1-000002")])
    steady.now = KEPT_S - 1
    assert hours.times(WEEK.first, WEEK.last, POLICY.shifts) == first
    assert hours.every_lumen(WEEK.first, WEEK.last, POLICY, KIT).trays == trays == 1
    steady.now = KEPT_S
    assert hours.times(WEEK.first, WEEK.last, POLICY.shifts).whole.answers == 60
    assert hours.every_lumen(WEEK.first, WEEK.last, POLICY, KIT).trays == 2
    store.close()


def test_another_draft_or_another_wait_is_never_answered_from_what_was_remembered(hours: DepartmentHours) -> None:
    same = hours.compared(SINCE, UNTIL, POLICY, replace(POLICY, version=POLICY.version + 1), KIT)
    other = hours.compared(SINCE, UNTIL, POLICY, SWAB_ONLY, KIT)
    assert (same.more, bool(other.more)) == ({}, True)
    for wait in (15, 30, 60, 15):
        assert hours.need(SINCE, UNTIL, wait).wait_min == wait


def test_trays_of_other_stations_are_counted_as_such(store: BenchStore) -> None:
    both = DepartmentHours(store.records, "B2").compared(SINCE, UNTIL, POLICY, SWAB_ONLY, KIT)
    assert both.elsewhere == both.trays == len(HOURS) * 28


def test_fewer_days_than_a_week_are_no_span_and_few_days_of_answers_are_short(tmp_path: Path) -> None:
    few = store_of(tmp_path / "few", four_weeks(days=LEAST_DAYS - 1)[0])
    hours = DepartmentHours(few.records, "B1")
    told = hours.times(SINCE, UNTIL, POLICY.shifts)
    assert (told.days, told.short) == (LEAST_DAYS - 1, True)
    with pytest.raises(SpanFault, match="under 7 days"):
        hours.times(*last_days(6), POLICY.shifts)
    few.close()


def test_no_figure_holds_a_person(hours: DepartmentHours) -> None:
    told = [
        hours.times(SINCE, UNTIL, POLICY.shifts),
        hours.every_lumen(SINCE, UNTIL, POLICY, KIT),
        hours.need(SINCE, UNTIL, 30),
        hours.compared(SINCE, UNTIL, POLICY, SWAB_ONLY, KIT),
    ]
    assert "P-014" not in json.dumps([repr(one) for one in told])


def test_a_page_does_not_wait_for_what_a_paper_asked(hours: DepartmentHours) -> None:
    asked, may_end = Event(), Event()

    def slow() -> str:
        asked.set()
        assert may_end.wait(20)
        return "paper"

    paper = Thread(target=hours._once, args=("paper", (), slow))
    paper.start()
    assert asked.wait(20)
    assert hours.times(SINCE, UNTIL, POLICY.shifts).days == 28
    may_end.set()
    paper.join(20)
    assert hours._once("paper", (), lambda: "again") == "paper"
