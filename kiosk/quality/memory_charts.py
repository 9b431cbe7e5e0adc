"""Control charts that remember: EWMA and tabular CUSUM, for small changes of a reading that last.

Their points share their past, so the run rules do not apply: only limits signal. Target and standard deviation are
given, or come from the baseline: the mean, and the mean moving range of two over 2 / sqrt(pi) (1.128), as for a chart
of single readings in NIST/SEMATECH e-Handbook of Statistical Methods, 6.3.2.2.
"""

import math
from collections.abc import Iterator, Sequence
from itertools import pairwise

from kiosk.quality.points import (
    SIGMAS,
    Chart,
    ChartFault,
    Kind,
    Point,
    Signal,
    Sums,
    beyond,
    fixed_by,
    measured,
    named,
    setting,
)

WEIGHT = 0.2
"""Weight of the newest reading in an EWMA, unless told otherwise."""
SLACK = 0.5
"""k of a CUSUM, in standard deviations: half the change to be found."""
DECISION = 5.0
"""h of a CUSUM, in standard deviations: a sum above it signals."""


def ewma_chart(
    values: Sequence[float],
    *,
    labels: Sequence[str] = (),
    baseline: int | None = None,
    target: float | None = None,
    sd: float | None = None,
    weight: float = WEIGHT,
    sigmas: float = SIGMAS,
) -> Chart:
    """The exponentially weighted moving average z = w x + (1 - w) z before, which starts at the target.

    Limits are exact for each point, and widen to their last width: target +- L sd sqrt(w / (2 - w) (1 - (1 - w)^2i)).
    Values, target, sd and limits share one unit. Source: NIST/SEMATECH e-Handbook, 6.3.2.4; J. M. Lucas and M. S.
    Saccucci, Technometrics 1990 32: 1-12. Raises ChartFault.
    """
    first, target, sd = _settled(values, baseline, target, sd)
    setting(sigmas, "sigmas", above=0)
    if not 0 < weight <= 1:  # not a number is refused too
        raise ChartFault("is not a number above 0 and up to 1", field="weight")
    points, average = [], target
    for number, (value, label) in enumerate(zip(values, named(labels, len(values)), strict=True), 1):
        average = weight * value + (1 - weight) * average
        reach = sigmas * sd * math.sqrt(weight / (2 - weight) * (1 - (1 - weight) ** (2 * number)))
        lower, upper = target - reach, target + reach
        points.append(
            Point(value=average, lower=lower, upper=upper, signals=beyond(average, lower, upper), label=label)
        )
    return Chart(kind=Kind.EWMA, center=target, points=tuple(points), baseline=first, target=target, sd=sd)


def cusum_chart(
    values: Sequence[float],
    *,
    labels: Sequence[str] = (),
    baseline: int | None = None,
    target: float | None = None,
    sd: float | None = None,
    slack: float = SLACK,
    decision: float = DECISION,
) -> Chart:
    """The tabular CUSUM: two sums of what lies more than `slack` sd above and below the target, neither below 0.

    A sum above `decision` sd signals, and goes on; it starts at 0 and is not set back. Sums and limits are in the
    unit of the values; the chart's center is 0, the target stands in `target`. Source: NIST/SEMATECH e-Handbook,
    6.3.2.3; D. C. Montgomery, Introduction to Statistical Quality Control, tabular CUSUM. Raises ChartFault.
    """
    first, target, sd = _settled(values, baseline, target, sd)
    setting(decision, "decision", above=0)
    if setting(slack, "slack") < 0:
        raise ChartFault("is less than 0", field="slack")
    limit = decision * sd
    points = [
        Point(
            value=sums.up if sums.up >= sums.down else -sums.down,
            lower=-limit,
            upper=limit,
            signals=(
                *((Signal.ABOVE,) if beyond(sums.up, 0, limit) else ()),
                *((Signal.BELOW,) if beyond(sums.down, 0, limit) else ()),
            ),
            label=label,
            sums=sums,
        )
        for sums, label in zip(_sums(values, target, slack * sd), named(labels, len(values)), strict=True)
    ]
    return Chart(kind=Kind.CUSUM, center=0.0, points=tuple(points), baseline=first, target=target, sd=sd)


def moving_range_sd(values: Sequence[float]) -> float:
    """Standard deviation of single readings in the order of time, from the mean range of neighbors. Two or more."""
    ranges = [abs(after - before) for before, after in pairwise(values)]
    return sum(ranges) / len(ranges) * math.sqrt(math.pi) / 2


def _sums(values: Sequence[float], target: float, slack: float) -> Iterator[Sums]:
    up = down = 0.0
    up_for = down_for = 0
    for value in values:
        up = max(up + value - (target + slack), 0.0)
        down = max(down + (target - slack) - value, 0.0)
        up_for = up_for + 1 if up else 0
        down_for = down_for + 1 if down else 0
        yield Sums(up=up, down=down, up_for=up_for, down_for=down_for)


def _settled(
    values: Sequence[float], baseline: int | None, target: float | None, sd: float | None
) -> tuple[int, float, float]:
    """Points of the baseline, target and standard deviation: as given, or of the baseline's readings."""
    first = fixed_by(baseline, len(values))
    measured(values, "value")
    if target is not None and sd is not None:
        if baseline is not None:
            raise ChartFault("fixes nothing: target and sd are both given", field="baseline")
        return 0, setting(target, "target"), setting(sd, "sd", above=0)
    if target is None:
        target = math.fsum(values[:first]) / first
    setting(target, "target")
    if sd is None:
        if first < 2:
            raise ChartFault("has to be given: one reading has no spread", field="sd")
        sd = moving_range_sd(values[:first])
        if not sd:
            raise ChartFault("has to be given: the readings of the baseline are all alike", field="sd")
    return first, target, setting(sd, "sd", above=0)
