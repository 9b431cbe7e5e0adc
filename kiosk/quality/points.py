"""What a control chart is made of: kind, points, signals; and the fault of data that cannot be charted."""

import math
from collections.abc import Sequence
from dataclasses import dataclass
from enum import StrEnum
from typing import TYPE_CHECKING

from kiosk.core.past.figures import LARGEST

if TYPE_CHECKING:
    from kiosk.quality.runs import Runs

FARTHEST = 1e100
"""The farthest from zero that a reading may be: a choice, so that no sum overflows."""
SIGMAS = 3.0
"""Standard deviations from the center to a limit, unless told otherwise."""


class Kind(StrEnum):
    """The kinds of chart."""

    P = "p"
    U = "u"
    C = "c"
    G = "g"
    EWMA = "ewma"
    CUSUM = "cusum"


class Signal(StrEnum):
    """What may stand at a point.

    `above` and `below` are the point's own: it lies beyond a limit; a point on the limit does not signal.
    `long run` and `few crossings` are of the whole chart: the first stands at every point of the run, the second at
    the chart's last point. See `kiosk.quality.runs`.
    """

    ABOVE = "above"
    BELOW = "below"
    LONG_RUN = "long run"
    FEW_CROSSINGS = "few crossings"


class ChartFault(ValueError):
    """Data that cannot be charted. `field`: column or setting; `point`: number of the point from 1, or None."""

    def __init__(self, sentence: str, *, field: str, point: int | None = None) -> None:
        """Keep where it is; the exception's text is the sentence alone."""
        super().__init__(sentence)
        self.field = field
        self.point = point


@dataclass(frozen=True, slots=True, kw_only=True)
class Sums:
    """The two sums of a tabular CUSUM at a point, in the unit of the readings, neither below 0.

    `up_for` and `down_for`: for how many points on end, this one included, the sum has been above 0. The change that
    a signal tells of is taken to have begun that many points ago.
    """

    up: float
    down: float
    up_for: int
    down_for: int


@dataclass(frozen=True, slots=True, kw_only=True)
class Point:
    """One point: what is drawn, its own limits, its signals. `label` names the period or sample whose trips it holds.

    `sums` is given for a CUSUM alone; `value` is then the larger of the two sums, the lower one with a minus sign.
    """

    value: float
    lower: float
    upper: float
    signals: tuple[Signal, ...] = ()
    label: str = ""
    sums: Sums | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Chart:
    """A chart with its points in the order of time.

    `baseline`: how many points, from the first, gave center and limits; 0 where target and sd were given. `runs`: the
    counts of the run rules, None for charts whose points share their past (EWMA, CUSUM). `least`: the smallest number
    that a point is expected to hold, of findings or, on a p chart, of pieces without one; None without counts.
    `target` and `sd`: of EWMA and CUSUM, in the unit of the readings.
    """

    kind: Kind
    center: float
    points: tuple[Point, ...]
    baseline: int
    runs: "Runs | None" = None
    least: float | None = None
    target: float | None = None
    sd: float | None = None


def beyond(value: float, lower: float, upper: float) -> tuple[Signal, ...]:
    """`above` or `below` for a value past a limit; on the limit, up to rounding in the twelfth figure, is within."""
    if value > upper and not math.isclose(value, upper, rel_tol=1e-12):
        return (Signal.ABOVE,)
    if value < lower and not math.isclose(value, lower, rel_tol=1e-12):
        return (Signal.BELOW,)
    return ()


def counted(values: Sequence[int], field: str, *, least: int = 0) -> None:
    """Raise ChartFault unless every value is a whole number from `least` to LARGEST."""
    for point, value in enumerate(values, 1):
        if value < 0:
            raise ChartFault("is less than 0", field=field, point=point)
        if value < least:
            raise ChartFault(f"is less than {least}", field=field, point=point)
        if value > LARGEST:
            raise ChartFault(f"is more than {LARGEST}", field=field, point=point)


def measured(values: Sequence[float], field: str) -> None:
    """Raise ChartFault unless every value is a finite number, no farther from 0 than FARTHEST."""
    for point, value in enumerate(values, 1):
        _within(value, field, point)


def setting(value: float, field: str, *, above: float = -math.inf) -> float:
    """The value. Raises ChartFault unless it is finite, above `above` and no farther from 0 than FARTHEST."""
    _within(value, field, None)
    if value <= above:
        raise ChartFault(f"is not above {above:g}", field=field)
    return value


def _within(value: float, field: str, point: int | None) -> None:
    if not math.isfinite(value):
        raise ChartFault("is not a finite number", field=field, point=point)
    if abs(value) > FARTHEST:
        raise ChartFault(f"is farther from 0 than {FARTHEST:g}", field=field, point=point)


def fixed_by(baseline: int | None, points: int) -> int:
    """How many points give center and limits: the baseline's, or all. Raises ChartFault if that cannot be."""
    if not points:
        raise ChartFault("there are no points", field="points")
    if baseline is None:
        return points
    if baseline < 1:
        raise ChartFault("takes at least 1 point", field="baseline")
    if baseline > points:
        raise ChartFault(f"asks for {baseline} points, there are {points}", field="baseline")
    return baseline


def named(labels: Sequence[str], points: int) -> Sequence[str]:
    """A label for every point; none given: empty ones. Raises ChartFault if their number differs."""
    if labels and len(labels) != points:
        raise ChartFault(f"names {len(labels)} points, there are {points}", field="label")
    return labels or [""] * points
