"""The folds of the parts of the work, by event. `kiosk.core.evolve` and `kiosk.core.evolve_trip` ask here.

A part's module holds `BENCH` (the bench before, what was kept, the bench after) and `TRIP` (the trip before, what was
kept, the trip after). An event of a trip goes through `TRIP` first and then through `BENCH`. Where several parts fold
the same event, each does, in their order.
"""

from collections.abc import Callable, Iterable, Mapping
from typing import Any

from kiosk.core.folds import (
    cleaning_tests,
    counting,
    decontam,
    desk,
    keeping,
    kit,
    looking,
    overrides,
    readings,
    references,
    safety,
    staff,
    stills,
    trays,
)
from kiosk.core.stamp import Stamp
from kiosk.core.state.bench import Bench
from kiosk.core.state.trip import Trip

_PARTS = (
    cleaning_tests,
    counting,
    decontam,
    desk,
    keeping,
    kit,
    looking,
    overrides,
    readings,
    references,
    safety,
    staff,
    stills,
    trays,
)

Fold = Callable[[Any, Any, Stamp], Any]


def _joined(tables: Iterable[Mapping[type, Fold]]) -> dict[type, Fold]:
    joined: dict[type, Fold] = {}
    for table in tables:
        for kind, fold in table.items():
            joined[kind] = _then(joined[kind], fold) if kind in joined else fold
    return joined


def _then(first: Fold, second: Fold) -> Fold:
    def both(before: Any, event: Any, stamp: Stamp) -> Any:
        return second(first(before, event, stamp), event, stamp)

    return both


BENCH: dict[type, Callable[[Bench, Any, Stamp], Bench]] = _joined(part.BENCH for part in _PARTS)
TRIP: dict[type, Callable[[Trip, Any, Stamp], Trip]] = _joined(part.TRIP for part in _PARTS)
