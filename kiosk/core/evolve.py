"""The fold: the bench before, an event, the bench after. Pure, total, and never refuses what was kept."""

from dataclasses import replace

from kiosk.core import events as e
from kiosk.core import tries
from kiosk.core.evolve_trip import evolve_trip
from kiosk.core.folds import BENCH, turnouts
from kiosk.core.stamp import Kept, Stamp
from kiosk.core.state.asked import Pause
from kiosk.core.state.bench import Bench
from kiosk.core.state.scopes import ScopeState
from kiosk.core.state.trip import Trip


def evolve(bench: Bench, kept: Kept) -> Bench:
    """The bench after `kept`."""
    event, stamp = kept.event, kept.stamp
    match event:
        case e.SignedIn():
            bench = tries.forgiven(bench, event.person, stamp.at_ms)
            return replace(bench, who=event.person, signed_in=(stamp.at_ms, stamp.offset_min))
        case e.SignInRefused():
            when = {**bench.refused_ms, event.person: stamp.at_ms}
            return replace(bench, refused={**bench.refused, event.person: event.tries}, refused_ms=when)
        case e.SignedOut():
            return replace(bench, who=None, left=(bench.who or "", stamp.at_ms), left_quiet=event.reason == "idle")
        case e.StartupAnswered():
            answer = (event.yes, stamp.at_ms, stamp.offset_min)
            return replace(bench, startup={**bench.startup, event.question: answer})
        case e.StartupAgain():
            return replace(bench, startup={})
        case e.ScopeStartOk():
            return bench
        case e.ScopeCleaned():
            return _scope(bench, event.scope, ScopeState())
        case e.ScopeOutOfUse():
            return _scope(bench, event.scope, replace(_scope_of(bench, event.scope), out_of_use=event.why))
        case e.LabelTimeSet():
            return replace(bench, label_minutes=event.minutes)
        case e.PrinterRestored():
            return replace(bench, printer_down="")
        case e.PowerLost():
            return _power_lost(bench, event)
        case e.PowerRestored() | e.WrongScan() | e.LeadTold():
            return bench
        case e.TrayOpened():
            return _opened(bench, event, stamp)
        case e.TrayReopened() if stamp.trip in bench.packed and stamp.trip not in bench.trips:
            bench = replace(bench, trips={**bench.trips, stamp.trip: bench.packed[stamp.trip]})
    if stamp.trip is not None and stamp.trip in bench.trips:
        bench = _of_trip(bench, event, stamp)
    more = BENCH.get(type(event))
    return more(bench, event, stamp) if more else bench


def _of_trip(bench: Bench, event: e.Event, stamp: Stamp) -> Bench:
    """An event of a trip: the trip first, then what the bench counts."""
    assert stamp.trip is not None
    trip = evolve_trip(bench.trips[stamp.trip], event, stamp)
    bench = replace(bench, trips={**bench.trips, trip.id: trip})
    bench = turnouts.after(_numbers(bench, event), trip, event, stamp)
    match event:
        case e.Paused() if bench.current == trip.id:
            return _set_aside(bench, trip, event)
        case e.Resumed():
            return replace(bench, current=trip.id)
        case e.CheckYes() | e.CheckNo() if event.key.endswith("scope") and event.tool:
            state = replace(_scope_of(bench, event.tool), used_on=(trip.id, event.piece))
            return _scope(bench, event.tool, state)
        case e.BenchStepDone() | e.BenchCleaned():
            return _wet(bench, event, stamp)
        case e.PrinterLost():
            return replace(bench, printer_down=event.why)
    return bench


def _opened(bench: Bench, event: e.TrayOpened, stamp: Stamp) -> Bench:
    assert stamp.trip is not None
    assert stamp.who is not None
    trip = Trip(
        id=stamp.trip,
        tray=event.tray,
        load=event.load,
        opened_ms=stamp.at_ms,
        opened_offset=stamp.offset_min,
        opened_by=stamp.who,
        policy=stamp.policy,
        record=stamp.record,
    )
    going = {key: old for key, old in bench.trips.items() if not old.ended}
    packed = _packed(bench, stamp.at_ms)
    trips = {**going, trip.id: trip}
    return replace(bench, trips=trips, packed=packed, current=trip.id, trips_begun=bench.trips_begun + 1)


PACKED_KEPT_MS = 48 * 3_600_000
"""How long a packed trip is kept at hand, to be opened again (a choice: no package waits longer for a sterilizer)."""


def _packed(bench: Bench, now_ms: int) -> dict[str, Trip]:
    """The packed trips at hand: what leaves the open trips comes in, what is old falls out."""
    packed = bench.packed | {key: trip for key, trip in bench.trips.items() if trip.packed_ms is not None}
    return {key: trip for key, trip in packed.items() if now_ms - (trip.packed_ms or 0) < PACKED_KEPT_MS}


def _set_aside(bench: Bench, trip: Trip, event: e.Paused) -> Bench:
    """Set aside. A tray found at a sign-in was left when the last person went, not now."""
    if event.reason in {"away", "other_person"} and trip.pause is not None:
        trip = replace(trip, pause=replace(trip.pause, at_ms=bench.left[1]))
    return replace(bench, trips={**bench.trips, trip.id: trip}, current=None)


def _power_lost(bench: Bench, event: e.PowerLost) -> Bench:
    trips = dict(bench.trips)
    if bench.current and not trips[bench.current].ended:
        trip = trips[bench.current]
        pause = Pause(reason="power", at_ms=event.at_ms, by=bench.who or trip.opened_by)
        trips[trip.id] = replace(trip, pause=pause, power_lost_ms=(*trip.power_lost_ms, event.at_ms))
        bench = replace(bench, current=None)
    return replace(bench, trips=trips, who=None)


def _numbers(bench: Bench, event: e.Event) -> Bench:
    match event:
        case e.ItemBack() | e.TrayBack():
            return replace(bench, tickets_issued=bench.tickets_issued + 1)
        case e.RepairTagged() | e.Quarantined() | e.Discarded():
            return replace(bench, tags_issued=bench.tags_issued + 1)
        case e.HoldPlaced():
            return replace(bench, holds_placed=bench.holds_placed + 1)
        case e.Packed() | e.PackedShort():
            return replace(bench, packages=bench.packages + max(1, len(event.parts)))
        case e.LabelVoided() if event.new:
            return replace(bench, packages=bench.packages + 1)
        case _:
            return bench


def _scope_of(bench: Bench, scope: str) -> ScopeState:
    return bench.scopes.get(scope, ScopeState())


def _scope(bench: Bench, scope: str, state: ScopeState) -> Bench:
    return replace(bench, scopes={**bench.scopes, scope: state})


def _wet(bench: Bench, event: e.BenchStepDone | e.BenchCleaned, stamp: Stamp) -> Bench:
    """The wet time runs from the step before the last, the wiping, to the confirmation."""
    if isinstance(event, e.BenchCleaned):
        return replace(bench, wet_since_ms=None)
    return replace(bench, wet_since_ms=stamp.at_ms) if event.step == WIPING_STEP else bench


FOLD = 46
"""Raised with every change to what this fold or the bench's records mean, so that no old snapshot is taken for ours."""

WIPING_STEP = 2
"""Of the steps of a full bench cleaning, the one that wets the bench (from 0)."""
