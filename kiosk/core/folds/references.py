"""The fold of the department's own reference pictures."""

from collections.abc import Callable
from dataclasses import replace
from typing import Any

from kiosk.core import events as e
from kiosk.core.references import Reference
from kiosk.core.stamp import Stamp
from kiosk.core.state.bench import Bench
from kiosk.core.state.trip import Trip


def _offered(bench: Bench, event: e.ReferenceOffered, stamp: Stamp) -> Bench:
    one = Reference(
        number=event.number,
        type=event.type,
        finding=event.finding,
        file=event.file,
        sha256=event.sha256,
        offered_ms=stamp.at_ms,
    )
    kept = bench.references
    return replace(bench, references=replace(kept, offered={**kept.offered, event.number: one}))


def _agreed(bench: Bench, event: e.ReferenceAgreed, stamp: Stamp) -> Bench:
    if stamp.who is None:
        return bench
    kept = bench.references
    mine = {stamp.who: stamp.at_ms, **kept.agreed.get(event.number, {})}
    return replace(bench, references=replace(kept, agreed={**kept.agreed, event.number: mine}))


def _taken_back(bench: Bench, event: e.ReferenceTakenBack, stamp: Stamp) -> Bench:
    if stamp.who is None:
        return bench
    kept = bench.references
    mine = {stamp.who: stamp.at_ms, **kept.taken_back.get(event.number, {})}
    return replace(bench, references=replace(kept, taken_back={**kept.taken_back, event.number: mine}))


BENCH: dict[type, Callable[[Bench, Any, Stamp], Bench]] = {
    e.ReferenceOffered: _offered,
    e.ReferenceAgreed: _agreed,
    e.ReferenceTakenBack: _taken_back,
}
TRIP: dict[type, Callable[[Trip, Any, Stamp], Trip]] = {}
