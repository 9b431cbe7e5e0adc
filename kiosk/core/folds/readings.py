"""The fold of the reading practice."""

from collections.abc import Callable
from dataclasses import replace
from typing import Any

from kiosk.core import events as e
from kiosk.core.readings import MOST_SETS, SAYS, Reader, ReadingSet
from kiosk.core.stamp import Stamp
from kiosk.core.state.bench import Bench
from kiosk.core.state.trip import Trip


def _made(bench: Bench, event: e.ReadingSetMade, stamp: Stamp) -> Bench:
    made = ReadingSet(id=event.set, name=event.name, pictures=event.pictures, made_ms=stamp.at_ms)
    sets = dict(list({**bench.readings.sets, event.set: made}.items())[-MOST_SETS:])
    return replace(bench, readings=replace(bench.readings, sets=sets))


def _begun(bench: Bench, event: e.ReadingBegun, stamp: Stamp) -> Bench:
    before = bench.readings.read.get(event.set, {}).get(event.reader)
    return bench if before else _reader(bench, event.set, event.reader, Reader(seed=event.seed))


def _read(bench: Bench, event: e.PictureRead, stamp: Stamp) -> Bench:
    reader = bench.readings.read.get(event.set, {}).get(event.reader, Reader())
    if event.picture in reader.said or event.says not in SAYS:
        return bench
    said = {**reader.said, event.picture: (stamp.at_ms, event.says)}
    return _reader(bench, event.set, event.reader, replace(reader, said=said))


def _reader(bench: Bench, set_id: str, mark: str, reader: Reader) -> Bench:
    mine = {**bench.readings.read.get(set_id, {}), mark: reader}
    read = dict(list({**bench.readings.read, set_id: mine}.items())[-MOST_SETS:])
    return replace(bench, readings=replace(bench.readings, read=read))


def _ended(bench: Bench, event: e.ReadingSetEnded, stamp: Stamp) -> Bench:
    ended = dict(list({event.set: stamp.at_ms, **bench.readings.ended}.items())[:MOST_SETS])
    return replace(bench, readings=replace(bench.readings, ended=ended))


BENCH: dict[type, Callable[[Bench, Any, Stamp], Bench]] = {
    e.ReadingSetMade: _made,
    e.ReadingBegun: _begun,
    e.PictureRead: _read,
    e.ReadingSetEnded: _ended,
}
TRIP: dict[type, Callable[[Trip, Any, Stamp], Trip]] = {}
