"""The fold of washer loads: a supervisor's word, the rack, packages by number, soiled pieces by load."""

from dataclasses import replace
from typing import Any

from kiosk.core import events as e
from kiosk.core.stamp import Stamp
from kiosk.core.state.bench import Bench
from kiosk.core.state.packs import LoadWord, Pack
from kiosk.core.state.trip import Trip, every_load_of, loads_of
from kiosk.core.together.seen import FEW, spoken
from kiosk.core.vocabulary import Group

KEPT_PACKS = 3000
"""Package numbers that a bench knows by heart, newest last (a choice: some months of one bench); the log has all."""

DAY_MS = 86_400_000


def released(bench: Bench, event: e.LoadReleased, stamp: Stamp) -> Bench:
    """Signed for."""
    return _said(bench, event, stamp, released=True)


def withdrawn(bench: Bench, event: e.LoadWithdrawn, stamp: Stamp) -> Bench:
    """Found bad."""
    return _said(bench, event, stamp, released=False, why=event.why)


def _said(bench: Bench, event: e.LoadReleased | e.LoadWithdrawn, stamp: Stamp, **says: Any) -> Bench:
    before = bench.load_words.get(event.load, ())
    last = before[-1] if before else None
    mark, over = spoken(event.over, last, event.load, says["released"], stamp.at_ms, stamp.who)
    word = LoadWord(at_ms=stamp.at_ms, by=stamp.who or "", mark=mark, over=over, **says)
    return replace(bench, load_words={**bench.load_words, event.load: (*before[1 - FEW :], word)})


def rack(bench: Bench, event: e.RackTaken, stamp: Stamp) -> Bench:
    """The rack that the next trays come from."""
    return replace(bench, rack=event.load)


def added(trip: Trip, event: e.LoadAdded, stamp: Stamp) -> Trip:
    """A further load of the tray."""
    return replace(trip, more_loads=(*trip.more_loads, event.load), load_ok=None)


def packed(bench: Bench, event: Any, stamp: Stamp) -> Bench:
    """Packages by their numbers: of which tray, trip and loads. `event` is `packed` or `packed_short`."""
    trip = bench.trips.get(stamp.trip or "")
    if trip is None:
        return bench
    new = {number: _pack(trip, stamp, number) for number in trip.packages or (event.number,)}
    kept = list(bench.packs.items())[-KEPT_PACKS + len(new) :]
    return replace(bench, packs={**dict(kept), **new})


def _pack(trip: Trip, stamp: Stamp, number: str) -> Pack:
    at = trip.packages.index(number) + 1 if number in trip.packages else 0
    return Pack(
        tray=trip.tray.code,
        name=trip.tray.name,
        trip=trip.id,
        at_ms=stamp.at_ms,
        loads=every_load_of(trip),
        part=at,
        of=len(trip.packages),
    )


def voided(bench: Bench, event: e.LabelVoided, stamp: Stamp) -> Bench:
    """A void number stays known as void; the number that takes its place is the same package's."""
    packs = dict(bench.packs)
    if event.new and event.number in packs:
        packs[event.new] = packs[event.number]
    return replace(bench, packs=packs, void={**bench.void, event.number: event.why})


def fetched(bench: Bench, event: e.PackageFetched, stamp: Stamp) -> Bench:
    """It is here."""
    return replace(bench, fetched=bench.fetched | {event.number})


def soiled(bench: Bench, event: Any, stamp: Stamp) -> Bench:
    """The soiled pieces of the event's trip, anew; those of more than a day ago are no shift's any more."""
    trip = bench.trips.get(stamp.trip or "")
    if trip is None:
        return bench
    found = [f for f in (*trip.returned, *trip.findings) if f.group == Group.SOIL and not f.put_right]
    rows = tuple(dict.fromkeys((load, f.piece, f.at_ms) for f in found for load in loads_of(trip)))
    kept = {key: old for key, old in bench.soiled.items() if old and old[-1][2] > stamp.at_ms - DAY_MS}
    kept.pop(trip.id, None)
    return replace(bench, soiled={**kept, trip.id: rows} if rows else kept)


def alerted(bench: Bench, event: e.LoadAlerted, stamp: Stamp) -> Bench:
    """So many soiled pieces of one load in one shift; it is told anew."""
    told = bench.alerts_told - {event.load}
    return replace(bench, alerts={**bench.alerts, event.load: stamp.at_ms}, alerts_told=told)


def told(bench: Bench, event: e.LoadAlertTold, stamp: Stamp) -> Bench:
    """Told here."""
    return replace(bench, alerts_told=bench.alerts_told | {event.load})
