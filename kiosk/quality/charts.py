"""Control charts of counts, after Shewhart: p, u, c and g, with limits for each point and the run rules.

Limits lie `sigmas` standard deviations from the center, no lower than 0 and, for p, no higher than 1. Sources: for p, u
and c NIST/SEMATECH e-Handbook of Statistical Methods, 6.3.3; for g see `g_chart`. Center and limits come from the
baseline, the first points of the chart, or from all points where none is fixed.
"""

import math
from collections.abc import Sequence
from dataclasses import replace
from statistics import median

from kiosk.quality.points import (
    SIGMAS,
    Chart,
    ChartFault,
    Kind,
    Point,
    Signal,
    beyond,
    counted,
    fixed_by,
    named,
    setting,
)
from kiosk.quality.runs import Runs, run_rules


def p_chart(
    found: Sequence[int],
    of: Sequence[int],
    *,
    labels: Sequence[str] = (),
    baseline: int | None = None,
    sigmas: float = SIGMAS,
    share: float | None = None,
) -> Chart:
    """The share with a finding, `found` of `of`, 0 to 1; the limits step with each sample's size.

    Standard deviation: sqrt(p (1 - p) / n), binomial. `share`: what is usual, where it was fixed
    before; then no point of the chart sets it. Raises ChartFault.
    """
    first = _samples(found, of, baseline)
    for point, (some, all_) in enumerate(zip(found, of, strict=True), 1):
        if some > all_:
            raise ChartFault(f"is more than the {all_} looked at", field="found", point=point)
    if share is not None:
        first = _fixed_before(baseline, share, "share")
        if share > 1:
            raise ChartFault("is not a share from 0 to 1", field="share")
    else:
        share = sum(found[:first]) / sum(of[:first])
    return _chart(
        Kind.P,
        [some / all_ for some, all_ in zip(found, of, strict=True)],
        center=share,
        spread=[math.sqrt(share * (1 - share) / all_) for all_ in of],
        first=first,
        sigmas=sigmas,
        labels=labels,
        least=min(share, 1 - share) * min(of),
        highest=1.0,
    )


def u_chart(
    found: Sequence[int],
    of: Sequence[int],
    *,
    labels: Sequence[str] = (),
    baseline: int | None = None,
    sigmas: float = SIGMAS,
    rate: float | None = None,
) -> Chart:
    """Findings a unit, `found` in `of` units, of which one may hold several; the limits step with the units.

    Standard deviation: sqrt(u / n), Poisson. `rate`: what is usual, where it was fixed before. Raises ChartFault.
    """
    first = _samples(found, of, baseline)
    if rate is None:
        rate = sum(found[:first]) / sum(of[:first])
    else:
        first = _fixed_before(baseline, rate, "rate")
    return _chart(
        Kind.U,
        [some / units for some, units in zip(found, of, strict=True)],
        center=rate,
        spread=[math.sqrt(rate / units) for units in of],
        first=first,
        sigmas=sigmas,
        labels=labels,
        least=rate * min(of),
    )


def c_chart(
    found: Sequence[int],
    *,
    labels: Sequence[str] = (),
    baseline: int | None = None,
    sigmas: float = SIGMAS,
    mean: float | None = None,
) -> Chart:
    """Findings a period, for periods in which equally much was looked at. Standard deviation: sqrt(c), Poisson.

    `mean`: what is usual, where it was fixed before. Raises ChartFault.
    """
    first = fixed_by(baseline, len(found))
    counted(found, "found")
    if mean is None:
        mean = sum(found[:first]) / first
    else:
        first = _fixed_before(baseline, mean, "mean")
    return _chart(
        Kind.C,
        [float(some) for some in found],
        center=mean,
        spread=[math.sqrt(mean)] * len(found),
        first=first,
        sigmas=sigmas,
        labels=labels,
        least=mean,
    )


def g_chart(
    between: Sequence[int], *, labels: Sequence[str] = (), baseline: int | None = None, sigmas: float = SIGMAS
) -> Chart:
    """Units between one rare finding and the next, the units with the findings not counted; 0: two on end.

    Center: the mean g. Standard deviation: sqrt(g (g + 1)), of the geometric distribution that counts from 0. Sources:
    F. C. Kaminsky and others, J. Quality Technology 1992 24: 63-69; J. C. Benneyan, Health Care Management Science
    2001 4: 305-318. A geometric count is skewed and lies below its mean more often than above, so the run rules, which
    take both sides for equally likely, are counted about the baseline's median, as the R package qicharts2 does.
    Above means that findings became rarer; from 1 sigma on the lower limit is 0 and nothing is ever below. Raises
    ChartFault.
    """
    first = fixed_by(baseline, len(between))
    counted(between, "between")
    mean = sum(between[:first]) / first
    return _chart(
        Kind.G,
        [float(units) for units in between],
        center=mean,
        spread=[math.sqrt(mean * (mean + 1))] * len(between),
        first=first,
        sigmas=sigmas,
        labels=labels,
        middle=float(median(between[:first])),
    )


def _fixed_before(baseline: int | None, usual: float, field: str) -> int:
    """No point sets what is usual: it is given. Raises ChartFault."""
    if baseline is not None:
        raise ChartFault(f"fixes nothing: the {field} is given", field="baseline")
    if setting(usual, field) < 0:
        raise ChartFault("is not a share from 0 to 1" if field == "share" else "is less than 0", field=field)
    return 0


def _samples(found: Sequence[int], of: Sequence[int], baseline: int | None) -> int:
    if len(found) != len(of):
        raise ChartFault(f"gives {len(of)} samples, found gives {len(found)}", field="of")
    first = fixed_by(baseline, len(found))
    counted(found, "found")
    counted(of, "of", least=1)
    return first


def _chart(
    kind: Kind,
    values: Sequence[float],
    *,
    center: float,
    spread: Sequence[float],
    first: int,
    sigmas: float,
    labels: Sequence[str],
    least: float | None = None,
    middle: float | None = None,
    highest: float = math.inf,
) -> Chart:
    setting(sigmas, "sigmas", above=0)
    points = []
    for value, sd, label in zip(values, spread, named(labels, len(values)), strict=True):
        lower, upper = max(center - sigmas * sd, 0.0), min(center + sigmas * sd, highest)
        points.append(Point(value=value, lower=lower, upper=upper, signals=beyond(value, lower, upper), label=label))
    runs = run_rules(values, center if middle is None else middle)
    return Chart(kind=kind, center=center, points=_marked(points, runs), baseline=first, runs=runs, least=least)


def _marked(points: Sequence[Point], runs: Runs) -> tuple[Point, ...]:
    """The points with the signals of the whole chart: the long run at each of its points, few crossings at the last."""
    of_chart: dict[int, list[Signal]] = {place: [Signal.LONG_RUN] for place in runs.long}
    if runs.few:
        of_chart.setdefault(len(points) - 1, []).append(Signal.FEW_CROSSINGS)
    return tuple(
        replace(point, signals=(*point.signals, *of_chart[place])) if place in of_chart else point
        for place, point in enumerate(points)
    )
