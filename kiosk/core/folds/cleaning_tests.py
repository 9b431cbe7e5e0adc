"""The fold of cleaning tests. Results stand by themselves: no piece, hold or plan is touched by one."""

from collections.abc import Callable, Iterable
from dataclasses import replace
from typing import Any

from kiosk.core import events as e
from kiosk.core.cleaning_tests import Grade, KeptTest, LevelFault, Levels, Marker, Result, plain_number
from kiosk.core.stamp import Stamp
from kiosk.core.state.bench import Bench
from kiosk.core.state.trip import Trip

MOST = 500
"""Results that stay at hand (a choice); one at its action level stays until it is answered. Paper reads the log."""


def test_of(event: e.CleaningTestKept, at_ms: int) -> KeptTest | None:
    """The result that an event tells, with the levels of then. None: it is no number.

    A kind that only a newer program knows stands under its own name, without levels.
    """
    known = event.kind in set(Marker)
    if (value := plain_number(event.value)) is None:
        return None
    result = Result(
        marker=Marker(event.kind) if known else Marker.OTHER,
        value=value,
        unit=event.unit,
        method=event.method,
        meter=event.meter,
    )
    levels = _levels(event, result) if known else None
    what = event.what if known else event.kind
    test = KeptTest(
        number=event.number, result=result, what=what, about=event.about, trip=event.trip, at_ms=at_ms, levels=levels
    )
    try:
        _ = test.grade
    except LevelFault:
        return replace(test, levels=None)
    return test


def _levels(event: e.CleaningTestKept, result: Result) -> Levels | None:
    alert, action = plain_number(event.alert), plain_number(event.action)
    if alert is None and action is None:
        return None
    return Levels(
        marker=result.marker,
        unit=event.level_unit,
        alert=alert,
        action=action,
        source="",
        reached=event.reached,
        meter=event.meter if result.light else "",
    )


def _kept(bench: Bench, event: e.CleaningTestKept, stamp: Stamp) -> Bench:
    tests, test = bench.tests, test_of(event, stamp.at_ms)
    kept = _at_hand((*tests.kept, test), tests.done) if test else tests.kept
    return replace(bench, tests=replace(tests, kept=kept, made=tests.made + 1))


def _at_hand(kept: tuple[KeptTest, ...], done: Iterable[str]) -> tuple[KeptTest, ...]:
    waits = (test for test in kept[:-MOST] if test.grade is Grade.ACTION and test.number not in done)
    return (*waits, *kept[-MOST:])


def _answered(bench: Bench, event: e.CleaningTestAnswered, stamp: Stamp) -> Bench:
    done = {**bench.tests.done, event.test: event.done}
    return replace(bench, tests=replace(bench.tests, done=dict(list(done.items())[-2 * MOST :])))


BENCH: dict[type, Callable[[Bench, Any, Stamp], Bench]] = {
    e.CleaningTestKept: _kept,
    e.CleaningTestAnswered: _answered,
}
TRIP: dict[type, Callable[[Trip, Any, Stamp], Trip]] = {}
