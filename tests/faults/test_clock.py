"""A clock that jumps in the middle of a shift: numbers, links and order stand, it is said, and it is trusted again."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field
from datetime import UTC, datetime
from itertools import pairwise
from pathlib import Path
from zoneinfo import ZoneInfo, ZoneInfoNotFoundError

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from kiosk.core import commands as c
from kiosk.core.desk import Now
from kiosk.core.glance import machine_notice
from kiosk.core.stamp import Kept
from kiosk.core.viewing.desk import clock_offer
from kiosk.devices.clock import AHEAD_MS, BEHIND_MS, HandClock, WatchedClock
from kiosk.store.trusted import last_trusted_ms
from tests.core.department import EAR, MORNING
from tests.faults.shifts import StoreShift

MINUTE, HOUR, DAY = 60_000, 3_600_000, 86_400_000
UP_MS = 2 * HOUR
"""The machine has been up so long when the program starts."""


@dataclass(slots=True)
class ClockShift(StoreShift):
    """A bench whose clock is watched; `jump` moves the wall clock, and no time passes."""

    hand: HandClock = field(default_factory=lambda: HandClock(at_ms=MORNING, steady=UP_MS))
    watched: WatchedClock = field(init=False)

    def __post_init__(self) -> None:
        self.watched = WatchedClock(self.hand, None)
        StoreShift.__post_init__(self)
        self.watched = WatchedClock(self.hand, last_trusted_ms(self.store.store))

    def begins_ms(self) -> int:
        return self.hand.at_ms

    def now(self) -> Now:
        self.hand.advance(max(0, self.at_ms - self.hand.at_ms))
        return self.watched.now()

    def jump(self, ms: int) -> None:
        self.now()
        self.hand.at_ms += ms
        self.at_ms = self.hand.at_ms

    def believe(self, _: Sequence[Kept]) -> None:
        self.watched.believe()

    @property
    def rail(self) -> str:
        return machine_notice(self.session.glance())


@pytest.fixture
def shift(tmp_path: Path) -> Iterator[ClockShift]:
    shift = ClockShift(folder=tmp_path / "store")
    shift.begin()
    shift.sign_in()
    shift.open(EAR)
    shift.count()
    yield shift
    shift.store.close()


def _holds(shift: ClockShift) -> None:
    rows = list(shift.store.log.rows())
    assert [row.seq for row in rows] == list(range(1, len(rows) + 1))
    assert all(a.hlc < b.hlc and a.id < b.id for a, b in pairwise(rows))
    assert shift.store.log.verify() is None


def _years(year: int) -> int:
    return int(datetime(year, 3, 1, tzinfo=UTC).timestamp() * 1000) - MORNING


@pytest.mark.parametrize("jump", [_years(2000), _years(2099), -HOUR], ids=["year 2000", "year 2099", "an hour back"])
def test_a_clock_that_jumped_is_said_marks_what_is_kept_and_is_trusted_when_it_is_set_right(
    jump: int, shift: ClockShift
) -> None:
    assert shift.rail == ""
    shift.yes()
    before = shift.store.log.head().seq
    shift.jump(jump)
    shift.yes()
    assert shift.rail == "Check the clock"
    between = shift.store.log.head().seq
    shift.jump(-jump)
    shift.yes()
    assert shift.rail == ""
    trusted = [bool(row.trusted) for row in shift.store.log.rows()]
    assert all(trusted[:before])
    assert not any(trusted[before:between])
    assert all(trusted[between:])
    _holds(shift)
    shift.store.close()


@pytest.mark.parametrize("jump", [_years(2000), _years(2099), -HOUR])
def test_a_clock_that_jumped_while_the_bench_was_off_is_said_at_the_start(jump: int, shift: ClockShift) -> None:
    shift.yes()
    before = shift.store.log.head().seq
    shift.store.close()
    hand = HandClock(at_ms=shift.hand.at_ms + 10 * MINUTE + jump, steady=UP_MS)
    again = ClockShift(folder=shift.folder, hand=hand)
    again.begin()
    assert again.rail == "Check the clock"
    again.sign_in()
    for _ in range(5):
        again.tap()
    assert again.store.log.head().seq > before
    assert not any(row.trusted for row in again.store.log.rows(before))
    _holds(again)
    again.store.close()


def test_a_night_or_a_weekend_off_is_no_doubt_and_a_month_is_until_the_supervisor_read_the_clock(
    shift: ClockShift,
) -> None:
    shift.store.close()
    for off, said in ((3 * DAY, ""), (40 * DAY, "Check the clock")):
        hand = HandClock(at_ms=shift.hand.at_ms + off, steady=UP_MS)
        again = ClockShift(folder=shift.folder, hand=hand)
        again.begin()
        assert again.rail == said
        if said:
            again.send(c.SignOut())
            again.sign_in("T2")
            again.send(c.SayClockRight())
            assert again.refused == "refused.not_at_desk"
            again.send(c.SignOut())
            again.sign_in("S1")
            offer = clock_offer(again.session.glance())
            assert offer is not None
            assert offer.send == c.SayClockRight()
            again.session.after.append(again.believe)
            again.must(c.SayClockRight())
            assert again.rail == ""
            assert clock_offer(again.session.glance()) is None
        again.store.close()
    after = ClockShift(folder=shift.folder, hand=HandClock(at_ms=hand.at_ms + HOUR, steady=UP_MS))
    assert after.rail == ""
    after.store.close()


def test_a_machine_that_was_up_all_the_while_may_be_as_far_ahead() -> None:
    month = 30 * DAY
    up = WatchedClock(HandClock(at_ms=MORNING + month, steady=month + HOUR), MORNING)
    down = WatchedClock(HandClock(at_ms=MORNING + month, steady=HOUR), MORNING)
    assert (up.now().trusted, down.now().trusted) == (True, False)


@pytest.mark.parametrize(
    ("off", "trusted"),
    [(-BEHIND_MS, True), (-BEHIND_MS - 1, False), (AHEAD_MS, True), (AHEAD_MS + 1, False), (0, True)],
)
def test_the_limits_are_five_minutes_behind_and_seven_days_ahead(off: int, trusted: bool) -> None:
    hand = HandClock(at_ms=MORNING, steady=UP_MS)
    clock = WatchedClock(hand, MORNING)
    assert clock.now().trusted
    hand.at_ms += off
    assert clock.now() == Now(at_ms=MORNING + off, offset_min=0, trusted=trusted)


@given(jumps=st.lists(st.integers(-40 * 365 * DAY, 100 * 365 * DAY), max_size=6))
@settings(max_examples=15)
def test_whatever_the_clock_does_the_log_stands(jumps: list[int], tmp_path_factory: pytest.TempPathFactory) -> None:
    shift = ClockShift(folder=tmp_path_factory.mktemp("clock") / "store")
    shift.begin()
    shift.sign_in()
    for jump in jumps:
        if 0 <= shift.hand.at_ms + jump < 1 << 47:  # what a clock of this century and the next can show
            shift.jump(jump)
        shift.tap()
    _holds(shift)
    kept = list(shift.store.read())
    assert len(kept) == shift.store.log.head().seq
    shift.store.close()


BERLIN = "Europe/Berlin"
CHANGES = {"spring": datetime(2031, 3, 30, 1, 0, tzinfo=UTC), "autumn": datetime(2031, 10, 26, 1, 0, tzinfo=UTC)}
"""When the European Union's clocks change: the last Sunday of March and October at 01:00 UTC (Directive 2000/84/EC,
from memory); the offsets themselves are those of the time zone database."""


@pytest.mark.parametrize("when", CHANGES)
def test_the_daylight_change_moves_what_is_shown_and_nothing_that_is_kept(when: str, tmp_path: Path) -> None:
    try:
        zone = ZoneInfo(BERLIN)
    except ZoneInfoNotFoundError:
        pytest.skip("this machine has no time zone database")

    @dataclass(slots=True)
    class Local(ClockShift):
        def now(self) -> Now:
            now = ClockShift.now(self)
            offset = datetime.fromtimestamp(now.at_ms / 1000, zone).utcoffset()
            assert offset is not None
            return Now(at_ms=now.at_ms, offset_min=int(offset.total_seconds() // 60), trusted=now.trusted)

    begins = int(CHANGES[when].timestamp() * 1000) - 10 * MINUTE
    shift = Local(folder=tmp_path / "store", hand=HandClock(at_ms=begins, steady=UP_MS))
    shift.begin()
    shift.sign_in()
    shift.open(EAR)
    shift.count()
    shift.must(c.StopHere(reason="break"))
    shift.minutes(20)
    shown = shift.session.glance().clock(shift.at_ms)
    assert shown == ("03:11" if when == "spring" else "02:11")
    shift.open(EAR)
    rows = list(shift.store.log.rows())
    assert [rows[0].offset_min, rows[-1].offset_min] == ([60, 120] if when == "spring" else [120, 60])
    resumed = next(kept.event for kept in shift.store.read() if type(kept.event).__name__ == "Resumed")
    assert getattr(resumed, "minutes", None) == 20
    assert all(row.trusted for row in rows)
    assert shift.rail == ""
    _holds(shift)
    shift.store.close()
