"""How long checks take, as the log has it: over all people and benches together, by method and by type of item.

A time is how long the question stood on the screen until its answer (`took_ms`), of one end where a check asks both.
Percentiles are those of Hyndman and Fan's definition 7 (The American Statistician 50, 1996): linear between the two
values around (n - 1) p + 1, as numpy and R take them where nothing else is asked.
"""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from math import floor

from kiosk.core.hours import CAP_S, LEAST, Minutes, Spread, Took
from kiosk.core.shift import Shifts
from kiosk.quality.span import Span, shifts_in
from kiosk.store.records import StoreRecords

_ANSWERS = "SELECT method, type, took_ms, day, minute FROM fact_answer WHERE day BETWEEN ? AND ?"


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
    """The times of a span. Raises Outage."""
    took: dict[tuple[str, str], list[int]] = {}
    moments = set()
    for method, kind, took_ms, day, minute in records.ask(_ANSWERS, span.between):
        took.setdefault((method, kind), []).append(took_ms)
        moments.add((day, minute))
    worked = shifts_in(moments, shifts)
    by_method: dict[str, list[int]] = {}
    by_type: dict[str, list[int]] = {}
    for (method, kind), each in took.items():
        by_method.setdefault(method, []).extend(each)
        by_type.setdefault(kind, []).extend(each)
    return Times(
        shifts=worked,
        whole=took_of("", "", [ms for each in took.values() for ms in each], worked),
        by_method=_sorted(took_of(method, "", each, worked) for method, each in by_method.items()),
        by_type=_sorted(took_of("", kind, each, worked) for kind, each in by_type.items()),
        by_both=_sorted(took_of(method, kind, each, worked) for (method, kind), each in took.items()),
    )


def took_of(method: str, kind: str, took_ms: Sequence[int], shifts: int) -> Took:
    """One row, of the times of all its answers in ms."""
    timed = sorted(ms / 1000 for ms in took_ms if 0 < ms <= CAP_S * 1000)
    enough = len(timed) >= LEAST
    return Took(
        method=method,
        type=kind,
        answers=len(took_ms),
        not_timed=sum(ms <= 0 for ms in took_ms),
        interrupted=sum(ms > CAP_S * 1000 for ms in took_ms),
        spread=spread_of(timed) if enough else None,
        minutes_a_shift=sum(timed) / 60 / shifts if enough and shifts else None,
    )


def spread_of(ordered: Sequence[float]) -> Spread:
    """The spread of times in seconds, the shortest first, at least one."""
    return Spread(
        n=len(ordered),
        p25_s=quantile(ordered, 0.25),
        median_s=quantile(ordered, 0.5),
        p75_s=quantile(ordered, 0.75),
        p90_s=quantile(ordered, 0.9),
        mean_s=sum(ordered) / len(ordered),
    )


def quantile(ordered: Sequence[float], share: float) -> float:
    """Hyndman and Fan's definition 7. `ordered`: the smallest first, at least one; `share` from 0 to 1."""
    place = (len(ordered) - 1) * share
    below = min(floor(place), len(ordered) - 1)
    above = min(below + 1, len(ordered) - 1)
    return ordered[below] + (place - below) * (ordered[above] - ordered[below])


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
