"""The department's time, read from the log of a store and remembered for ten minutes (`kiosk/core/past/hours.py`).

Reading and planning every tray of four weeks takes a while, so the same question is not answered twice within that
time. The glass and the worker that makes papers may ask at once.
"""

import time
from collections.abc import Callable
from datetime import date
from threading import Lock
from typing import Any, TypeVar

from kiosk.core.catalogue import Kit
from kiosk.core.past import hours
from kiosk.core.policy import Policy
from kiosk.core.shift import Shifts
from kiosk.quality.bench_need import Hour, bench_need
from kiosk.quality.every_lumen import every_lumen
from kiosk.quality.policy_replay import WayChange, other_keys, replay
from kiosk.quality.span import Span, shifts_in
from kiosk.quality.times import Times, minutes_of, times
from kiosk.quality.trips import first_plans, opened_in
from kiosk.store.records import StoreRecords

KEPT_S = 600.0
"""So long a figure stands before it is counted anew: nobody waits twice for a page, none is older (a choice)."""

MOST = 4
"""Answers remembered of one kind: a question for each wait."""

_DAYS = "SELECT count(DISTINCT day) FROM fact_took WHERE day BETWEEN ? AND ?"
_SIGHT = {
    "newly seen": "newly",
    "not seen any more": "not_more",
    "seen further": "further",
    "seen less far": "less_far",
}

T = TypeVar("T")


class DepartmentHours:
    """The hours of a store (`kiosk.core.past.hours.Hours`). Its methods raise Outage, SpanFault, LineFault."""

    def __init__(self, records: StoreRecords, station: str, steady_s: Callable[[], float] = time.monotonic) -> None:
        self._records, self._station, self._steady_s = records, station, steady_s
        self._lock = Lock()
        self._known: dict[str, list[tuple[float, tuple[Any, ...], Any]]] = {}

    def times(self, since: date, until: date, shifts: Shifts) -> hours.Times:
        """Seconds a check by method and by item type, and what all of them take a shift."""
        span = Span(first=since, last=until)
        took = self._times(span, shifts)
        return hours.Times(
            days=self._once("days", (span,), lambda: int(self._records.ask(_DAYS, span.between)[0][0])),
            shifts=took.shifts,
            whole=took.whole,
            by_method=took.by_method,
            by_type=took.by_type,
        )

    def every_lumen(self, since: date, until: date, policy: Policy, kit: Kit) -> hours.EveryLumen:
        """What checking every lumen costs a shift."""
        span = Span(first=since, last=until)
        return self._once("every", (span, policy, kit), lambda: self._every(span, policy, kit))

    def need(self, since: date, until: date, wait_min: float) -> hours.Need:
        """Benches for a wanted wait in minutes."""
        span = Span(first=since, last=until)
        return self._once("need", (span, wait_min), lambda: self._need(span, wait_min))

    def compared(self, since: date, until: date, now: Policy, then: Policy, kit: Kit) -> hours.Compared:
        """The trays of these days planned again under both policies."""
        span = Span(first=since, last=until)
        return self._once("compared", (span, now, then, kit), lambda: self._compared(span, now, then, kit))

    def _once(self, what: str, about: tuple[Any, ...], make: Callable[[], T]) -> T:
        """What was made of this less than KEPT_S ago, or what is made now. Nobody waits for what another one asked."""
        known: T | None = next((value for _, key, value in self._fresh(what) if key == about), None)
        if known is None:
            known = make()
            with self._lock:
                self._known[what] = [*self._fresh(what), (self._steady_s(), about, known)][-MOST:]
        return known

    def _fresh(self, what: str) -> list[tuple[float, tuple[Any, ...], Any]]:
        now = self._steady_s()
        return [one for one in self._known.get(what, []) if now - one[0] < KEPT_S]

    def _times(self, span: Span, shifts: Shifts) -> Times:
        return self._once("times", (span, shifts), lambda: times(self._records, span, shifts))

    def _every(self, span: Span, policy: Policy, kit: Kit) -> hours.EveryLumen:
        opened = opened_in(self._records, span)
        worked = shifts_in(opened.moments, policy.shifts)
        found = every_lumen(opened.trays, policy, kit, self._times(span, policy.shifts).seconds, worked)
        return hours.EveryLumen(
            shifts=found.shifts,
            trays=found.trays,
            lumens=found.lumens,
            now=found.now,
            every=found.every,
            now_asked=found.now_asked,
            all_asked=found.all_asked,
            no_size=found.replay.now.holds.get("unknown_lumen", 0),
        )

    def _need(self, span: Span, wait_min: float) -> hours.Need:
        need = bench_need(self._records, span, opened_in(self._records, span), wait_min)
        stays = need.stays
        return hours.Need(
            days=need.days,
            wait_min=need.wait_min,
            share=need.share,
            packed=stays.packed,
            back=stays.back,
            left_lying=stays.left_lying,
            not_ended=stays.not_ended,
            median_min=stays.median_min,
            p90_min=stays.p90_min,
            mean_min=stays.mean_min,
            hours=tuple(map(_hour, need.hours)),
        )

    def _compared(self, span: Span, now: Policy, then: Policy, kit: Kit) -> hours.Compared:
        opened = opened_in(self._records, span)
        both = replay(opened.trays, now, then, kit, first_plans(self._records, span))
        seconds = self._times(span, now.shifts).seconds
        return hours.Compared(
            shifts=shifts_in(opened.moments, now.shifts),
            trays=both.trays,
            elsewhere=sum(each.bench != self._station for each in opened.trays),
            known=both.compared,
            alike=both.alike,
            now_asked=both.now.asked,
            then_asked=both.then.asked,
            minutes=minutes_of(both.more, seconds),
            now_held=both.now.trays_held,
            then_held=both.then.trays_held,
            lumens=tuple(map(_lumen, both.ways)),
            other=other_keys(now, then),
        )


def _hour(of: Hour) -> hours.Hour:
    return hours.Hour(
        hour=of.hour,
        trays=of.trays,
        an_hour=of.an_hour,
        at_work=of.at_work,
        benches=of.needs.people if of.needs else None,
        load=of.needs.load if of.needs else None,
        wait_min=of.needs.wait_min if of.needs else None,
        grows=of.as_now is not None and of.as_now.grows,
    )


def _lumen(way: WayChange) -> hours.LumenChange:
    now, then = way.now, way.then
    before, after = now.touched_mm2 or 0, then.touched_mm2 or 0
    other = now.hold != then.hold
    return hours.LumenChange(
        tray=way.tray,
        item=way.item,
        name=way.name,
        lumen=way.lumen,
        times=way.times,
        sight=_SIGHT.get(way.sight, ""),
        touched=(after > before) - (after < before),
        proof=then.proof - now.proof,
        size=(then.seen_mm2 is not None) - (now.seen_mm2 is not None),
        held=then.hold or "" if other else "",
        freed=now.hold or "" if other else "",
    )
