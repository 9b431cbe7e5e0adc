"""The department's figures are those that a plain count of the log gives, whatever is asked."""

from collections import defaultdict
from collections.abc import Iterator
from datetime import date, datetime, timedelta
from itertools import pairwise
from pathlib import Path

import pytest
from scipy.stats import binom

from kiosk.core.past.figures import Asked, Baseline, By
from kiosk.core.shift import Shifts, shift_of
from kiosk.core.stamp import local_time
from kiosk.quality.department import Department
from kiosk.quality.exact_limits import PAST_THREE_SIGMA, usual_most
from kiosk.store.bench_store import BenchStore
from tests.quality.made_up import FIRST, OFFSET_MIN, SHIFTS, SINCE, TYPES, UNTIL, Look, made_up


@pytest.fixture(scope="module")
def looks() -> list[Look]:
    return made_up()[0]


@pytest.fixture(scope="module")
def bench(tmp_path_factory: pytest.TempPathFactory) -> Iterator[BenchStore]:
    """Their log in a store."""
    store = BenchStore(tmp_path_factory.mktemp("department") / "store", "B1")
    store.keep(made_up()[1])
    yield store
    store.close()


def _local(look: Look) -> datetime:
    return local_time(look.at_ms, OFFSET_MIN)


def _label(look: Look, by: By) -> str:
    if by is By.SHIFT:
        name, day = shift_of(_local(look), SHIFTS)
        return f"{day.isoformat()} {name}"
    return {By.DAY: _local(look).date().isoformat(), By.LOAD: look.load, By.TYPE: look.type}[by]


def _day(look: Look, by: By) -> date:
    return shift_of(_local(look), SHIFTS)[1] if by is By.SHIFT else _local(look).date()


def counted(looks: list[Look], asked: Asked) -> dict[str, tuple[int, int]]:
    """The plain count: label -> (found, of)."""
    sums: dict[str, list[int]] = defaultdict(lambda: [0, 0])
    for look in looks:
        label = _label(look, asked.by)
        if not label or not asked.since <= _day(look, asked.by) <= asked.until or asked.type not in {"", look.type}:
            continue
        sums[label][0] += any(asked.group in {"", group} for _, group, _ in look.found)
        sums[label][1] += 1
    return {label: (found, of) for label, (found, of) in sums.items()}


@pytest.mark.parametrize("type_", ["", "trocar_cannula"])
@pytest.mark.parametrize("group", ["", "soil", "wet"])
@pytest.mark.parametrize("by", [By.DAY, By.SHIFT, By.LOAD, By.TYPE])
def test_lumens_are_counted_once_where_they_were_first_looked_at(
    bench: BenchStore, looks: list[Look], by: By, group: str, type_: str
) -> None:
    asked = Asked(by=by, since=SINCE, until=UNTIL, group=group, type=type_)
    figures = Department(bench.records.ask).figures(asked, SHIFTS)
    told = {spot.label: (spot.found, spot.of) for spot in figures.spots}
    assert told == counted(looks, asked)
    assert figures.found > 0


def test_points_stand_in_the_order_of_time_and_a_night_belongs_to_the_day_it_began_on(bench: BenchStore) -> None:
    asked = Asked(by=By.SHIFT, since=SINCE, until=UNTIL)
    labels = [spot.label for spot in Department(bench.records.ask).figures(asked, SHIFTS).spots]
    begins = {"day": 7, "late": 15, "night": 23}
    assert labels == sorted(labels, key=lambda label: (label[:10], begins[label[11:]]))
    assert {label[:10] for label in labels} <= {(SINCE + timedelta(days=n)).isoformat() for n in range(30)}


@pytest.mark.parametrize(
    "shifts",
    [
        {"early": ("06:15", "13:45"), "night": ("22:30", "05:10")},  # hours that are in no shift
        {"first": ("09:00", "11:30"), "second": ("10:00", "15:00")},  # the first that covers a moment has it
        {"whole": ("04:00", "04:00")},
        {},
    ],
)
@pytest.mark.parametrize("type_", ["", TYPES[0]])
def test_a_lumen_belongs_to_the_shift_of_its_minute_whatever_the_shifts_of_the_policy(
    bench: BenchStore, looks: list[Look], shifts: Shifts, type_: str
) -> None:
    wanted: dict[str, list[int]] = defaultdict(lambda: [0, 0])
    for look in looks:
        name, day = shift_of(_local(look), shifts)
        if name and SINCE <= day <= UNTIL and type_ in {"", look.type}:
            wanted[f"{day} {name}"][0] += bool(look.found)
            wanted[f"{day} {name}"][1] += 1
    asked = Asked(by=By.SHIFT, since=SINCE, until=UNTIL, type=type_)
    spots = Department(bench.records.ask).figures(asked, shifts).spots
    assert {spot.label: [spot.found, spot.of] for spot in spots} == wanted


@pytest.mark.parametrize("by", [By.METHOD, By.SCOPE, By.LOT])
def test_answers_are_counted_by_check_scope_and_lot_without_those_who_could_not_tell(
    bench: BenchStore, looks: list[Look], by: By
) -> None:
    sums: dict[str, list[int]] = defaultdict(lambda: [0, 0])
    for look in looks:
        for n, answer in enumerate(look.answers):
            day = local_time(look.at_ms + 1000 * n, OFFSET_MIN).date()
            method, tool, lot, _ = answer
            label = {By.METHOD: method, By.SCOPE: tool if method == "scope" else "", By.LOT: lot}[by]
            if label and answer[3] >= 0 and SINCE <= day <= UNTIL:
                sums[label][0] += answer[3] == 0
                sums[label][1] += 1
    figures = Department(bench.records.ask).figures(Asked(by=by, since=SINCE, until=UNTIL), SHIFTS)
    assert {spot.label: [spot.found, spot.of] for spot in figures.spots} == sums


def test_between_two_finds_lie_the_lumens_looked_at_after_the_one_and_before_the_other(
    bench: BenchStore, looks: list[Look]
) -> None:
    here = sorted((look for look in looks if SINCE <= _local(look).date() <= UNTIL), key=lambda look: look.at_ms)
    finds = [n for n, look in enumerate(here) if look.found]
    figures = Department(bench.records.ask).figures(Asked(by=By.BETWEEN, since=SINCE, until=UNTIL), SHIFTS)
    assert [spot.found for spot in figures.spots] == [b - a - 1 for a, b in pairwise(finds)]


@pytest.mark.parametrize("by", list(By))
def test_behind_a_point_stand_its_trips_those_with_findings_first(bench: BenchStore, looks: list[Look], by: By) -> None:
    department = Department(bench.records.ask)
    asked = Asked(by=by, since=SINCE, until=UNTIL)
    spots = department.figures(asked, SHIFTS).spots
    spot = max(spots, key=lambda spot: spot.found / spot.of)
    trips = department.trips(asked, spot.label, SHIFTS)
    finds = [found for _, found in trips]
    assert finds == sorted(finds, reverse=True)
    assert finds[0] > 0
    if by in {By.DAY, By.SHIFT, By.LOAD, By.TYPE}:
        wanted = {look.trip for look in looks if _label(look, by) == spot.label and SINCE <= _day(look, by) <= UNTIL}
        assert {trip for trip, _ in trips} == wanted
        assert sum(len(look.found) for look in looks if look.trip == trips[0][0]) >= finds[0]


def test_findings_by_code_and_type_and_their_places_are_those_that_stand(bench: BenchStore, looks: list[Look]) -> None:
    codes: dict[str, int] = defaultdict(int)
    types: dict[str, int] = defaultdict(int)
    shares, unplaced = [], 0
    for look in looks:
        if SINCE <= _local(look).date() <= UNTIL:  # no trip of these is near midnight with a finding after it
            for code, _, share in look.found:
                codes[code] += 1
                types[look.type] += 1
                unplaced += share is None
                shares += [] if share is None else [share]
    department = Department(bench.records.ask)
    assert {bar.what: bar.n for bar in department.codes(SINCE, UNTIL)} == codes
    assert {bar.what: bar.n for bar in department.types(SINCE, UNTIL)} == types
    marks = department.marks(SINCE, UNTIL)
    assert list(marks.shares) == pytest.approx(sorted(shares))
    assert marks.unplaced == unplaced


def test_a_baseline_sets_what_is_usual_and_no_point_of_the_chart_does(bench: BenchStore) -> None:
    asked = Asked(by=By.DAY, since=SINCE, until=UNTIL)
    usual = Baseline(since=FIRST, until=SINCE, found=30, of=1000)
    figures = Department(bench.records.ask).figures(asked, SHIFTS, usual)
    assert figures.center == 0.03
    spot = figures.spots[0]
    assert spot.upper == usual_most(spot.of, 0.03) / spot.of  # so little is found that the limits are exact


def test_days_without_a_lumen_give_no_point_and_a_store_without_any_gives_none(tmp_path: Path) -> None:
    store = BenchStore(tmp_path / "store", "B1")
    department = Department(store.records.ask)
    for by in By:
        assert department.figures(Asked(by=by, since=SINCE, until=UNTIL), SHIFTS).spots == ()
    assert department.codes(SINCE, UNTIL) == []
    assert department.marks(SINCE, UNTIL).shares == ()
    store.close()


@pytest.mark.parametrize(
    ("found", "of", "share"),
    [(2, 20, 0.01), (4, 56, 0.0101), (6, 111, 0.01), (1, 5, 0.2), (12, 3000, 0.002), (9, 9, 0.5)],
)
def test_the_exact_limit_is_that_of_the_binomial_distribution(found: int, of: int, share: float) -> None:
    """Source: scipy.stats.binom, survival function."""
    assert (found > usual_most(of, share)) == (binom.sf(found - 1, of, share) <= PAST_THREE_SIGMA)
