"""The reading practice as all stations kept it: sets, and what was read of them by which mark. Pure."""

from collections.abc import Mapping
from dataclasses import replace

from kiosk.core.desk import Desk
from kiosk.core.readings import GroupFigure, Reader, ReadingSet, answers, mark_of, still_to_read
from kiosk.core.state.bench import Bench
from kiosk.core.together.stations import every_bench


def every_set(bench: Bench, desk: Desk) -> list[ReadingSet]:
    """The sets that are known here, the newest first; ended where any station ended them.

    Of two under one number the own one stands; one that could not have been made here is passed over.
    """
    stations, found = every_bench(bench, desk), dict[str, ReadingSet]()
    for one in (one for each in stations for one in each.readings.sets.values() if one.sound):
        found.setdefault(one.id, one)
    ended = [(name, at_ms) for each in stations for name, at_ms in each.readings.ended.items()]
    for name, at_ms in sorted(ended, key=lambda one: -one[1]):
        if name in found:
            found[name] = replace(found[name], ended_ms=at_ms)
    return sorted(found.values(), key=lambda one: (-one.made_ms, one.id))


def set_called(bench: Bench, desk: Desk, set_id: str) -> ReadingSet | None:
    """The set of this number, if it is known here."""
    return next((one for one in every_set(bench, desk) if one.id == set_id), None)


def readers_of(bench: Bench, desk: Desk, set_id: str) -> dict[str, Reader]:
    """What was read of a set, by mark. Of two answers to one picture the first one stands, at whichever station."""
    joined: dict[str, Reader] = {}
    for each in every_bench(bench, desk):
        for mark, reader in each.readings.read.get(set_id, {}).items():
            joined[mark] = _joined(joined[mark], reader) if mark in joined else reader
    return joined


def _joined(one: Reader, other: Reader) -> Reader:
    said = dict(one.said)
    for picture, word in other.said.items():
        said[picture] = min(said.get(picture, word), word)
    seeds = [each.seed for each in (one, other) if each.seed]  # 0: only answers are known there
    return Reader(seed=min(seeds, default=0), said=said)


def own_reading(bench: Bench, desk: Desk, found: ReadingSet) -> Reader | None:
    """How far the person signed in is; None before they began."""
    return readers_of(bench, desk, found.id).get(mark_of(found.id, bench.who or ""))


def open_for(bench: Bench, desk: Desk) -> ReadingSet | None:
    """The oldest set that has not ended and that the person signed in has not read to its end."""
    if bench.who is None:
        return None
    sets = (one for one in reversed(every_set(bench, desk)) if one.ended_ms is None)
    return next((one for one in sets if still_to_read(one, own_reading(bench, desk, one))), None)


def how_many(bench: Bench, desk: Desk, found: ReadingSet) -> tuple[int, int]:
    """How many have read the whole set, and how many are in the middle of it."""
    readers: Mapping[str, Reader] = readers_of(bench, desk, found.id)
    whole = sum(not still_to_read(found, reader) for reader in readers.values())
    return whole, len(readers) - whole


def figure_of(bench: Bench, desk: Desk, found: ReadingSet) -> GroupFigure | None:
    """The group's figure of a set that has ended; None before, and where nobody reckons here.

    Before its end there is none: what others say must not lead whoever still reads.
    """
    if found.ended_ms is None or desk.agreeing is None:
        return None
    return desk.agreeing(found.pictures, answers(found, readers_of(bench, desk, found.id)))
