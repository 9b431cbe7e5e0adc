"""How long checks take, as the log has it: over all people and benches together, by method and by type of item.

A time is how long the question stood on the screen until its answer (`took_ms`), of one end where a check asks both.
Percentiles are those of Hyndman and Fan's definition 7 (The American Statistician 50, 1996): linear between the two
values around (n - 1) p + 1, as numpy and R take them where nothing else is asked.
"""

import json
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from math import floor
from typing import TYPE_CHECKING

from kiosk.core.past.hours import CAP_S, LEAST, Minutes, Spread, Took
from kiosk.core.shift import Shifts
from kiosk.quality.span import Span, parts_of_day, shifts_in
from kiosk.store.records import StoreRecords

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

_TOOK = "SELECT method, type, took FROM fact_took WHERE day BETWEEN ? AND ?"
_WORKED = (
    "SELECT d.value, p.value ->> 0 FROM json_each(?) d, json_each(?) p WHERE EXISTS (SELECT 1 FROM fact_minute m "
    "WHERE m.day = d.value AND m.minute >= p.value ->> 0 AND m.minute < p.value ->> 1)"
)


@dataclass(frozen=True, slots=True, kw_only=True)
class Times:
    """All of a span, most answers first. `shifts`: shifts with an answer in them, all benches together."""

    shifts: int
    whole: Took
    by_method: tuple[Took, ...]
    by_type: tuple[Took, ...]
    by_both: tuple[Took, ...]

    @property
    def seconds(self) -> dict[str, Spread]:
        """What each method takes, of those that were measured often enough."""
        return {row.method: row.spread for row in self.by_method if row.spread is not None}


def times(records: StoreRecords, span: Span, shifts: Shifts) -> Times:
    """The times of a span. Raises Outage.

    Read a row a day, method and type of item, in which all times of its answers stand (`fact_took`).
    """
    import numpy as np

    told: dict[tuple[str, str], list[str]] = {}
    for method, kind, times_ms in records.ask(_TOOK, span.between):
        told.setdefault((method, kind), []).append(times_ms)
    took = {both: np.fromstring(",".join(each), dtype=np.int64, sep=",") for both, each in told.items()}
    worked = _worked(records, span, shifts)
    by_method: dict[str, list[NDArray[np.int64]]] = {}
    by_type: dict[str, list[NDArray[np.int64]]] = {}
    for (method, kind), ms in took.items():
        by_method.setdefault(method, []).append(ms)
        by_type.setdefault(kind, []).append(ms)
    return Times(
        shifts=worked,
        whole=took_of("", "", np.concatenate([*took.values(), np.array([], dtype=np.int64)]), worked),
        by_method=_sorted(took_of(method, "", np.concatenate(each), worked) for method, each in by_method.items()),
        by_type=_sorted(took_of("", kind, np.concatenate(each), worked) for kind, each in by_type.items()),
        by_both=_sorted(took_of(method, kind, each, worked) for (method, kind), each in took.items()),
    )


def _worked(records: StoreRecords, span: Span, shifts: Shifts) -> int:
    """Shifts in which anything was answered: one look for each part of each day."""
    asked = json.dumps([day.isoformat() for day in span]), json.dumps(parts_of_day(shifts))
    return shifts_in(((day, minute) for day, minute in records.ask(_WORKED, asked)), shifts)


def took_of(method: str, kind: str, took_ms: "Sequence[int] | NDArray[np.int64]", shifts: int) -> Took:
    """One row, of the times of all its answers in ms."""
    import numpy as np

    ordered = np.sort(np.asarray(took_ms, dtype=np.int64))
    not_timed, up_to_cap = (int(np.searchsorted(ordered, most, "right")) for most in (0, CAP_S * 1000))
    timed = ordered[not_timed:up_to_cap] / 1000
    enough = len(timed) >= LEAST
    return Took(
        method=method,
        type=kind,
        answers=len(ordered),
        not_timed=not_timed,
        interrupted=len(ordered) - up_to_cap,
        spread=spread_of(timed) if enough else None,
        minutes_a_shift=float(timed.sum()) / 60 / shifts if enough and shifts else None,
    )


def spread_of(ordered: "Sequence[float] | NDArray[np.float64]") -> Spread:
    """The spread of times in seconds, the shortest first, at least one."""
    import numpy as np

    return Spread(
        n=len(ordered),
        p25_s=quantile(ordered, 0.25),
        median_s=quantile(ordered, 0.5),
        p75_s=quantile(ordered, 0.75),
        p90_s=quantile(ordered, 0.9),
        mean_s=float(np.mean(ordered)),
    )


def quantile(ordered: "Sequence[float] | NDArray[np.float64]", share: float) -> float:
    """Hyndman and Fan's definition 7. `ordered`: the smallest first, at least one; `share` from 0 to 1."""
    place = (len(ordered) - 1) * share
    below = min(floor(place), len(ordered) - 1)
    above = min(below + 1, len(ordered) - 1)
    return float(ordered[below] + (place - below) * (ordered[above] - ordered[below]))


def minutes_of(asked: Mapping[str, int], seconds: Mapping[str, Spread]) -> Minutes:
    """What so many checks of each method take. Of fewer than before (below zero) the limits change places."""
    low = middle = high = mean = 0.0
    for method, n in asked.items():
        if (took := seconds.get(method)) is not None:
            quick, slow = (took.p25_s, took.p75_s) if n > 0 else (took.p75_s, took.p25_s)
            low, middle = low + n * quick / 60, middle + n * took.median_s / 60
            high, mean = high + n * slow / 60, mean + n * took.mean_s / 60
    unknown = {method: n for method, n in asked.items() if n and method not in seconds}
    return Minutes(low=low, middle=middle, high=high, mean=mean, unknown=unknown)


def _sorted(rows: Iterable[Took]) -> tuple[Took, ...]:
    return tuple(sorted(rows, key=lambda row: (-row.answers, row.method, row.type)))
