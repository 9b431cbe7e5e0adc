"""The days of a department: charts of findings (u, c) and charts that remember (EWMA, CUSUM), each with its limits."""

from collections.abc import Sequence
from dataclasses import replace
from math import sqrt

from kiosk.core.past.figures import Asked, Baseline, By, Figures, Spot
from kiosk.quality.charts import c_chart, u_chart
from kiosk.quality.exact_limits import ENOUGH_EXPECTED, judged, usual_most_counted
from kiosk.quality.memory_charts import DECISION, SLACK, WEIGHT, cusum_chart, ewma_chart
from kiosk.quality.points import SIGMAS, Point, Signal

Samples = Sequence[tuple[str, int, int]]
"""(label, found, of) of each day, in the order of time."""


def findings_figures(asked: Asked, days: Samples, looked: Sequence[int], baseline: Baseline | None) -> Figures:
    """Findings a lumen, a tray (u chart) or a day (c chart). `days`: (day, findings, units); a day's unit is 1.

    `looked`: lumens looked at on each of them; where they differ too much for a c chart, no point signals. Where few
    are expected the upper limits are exact, by Poisson.
    """
    labels, found, of = zip(*days, strict=True)
    usual = baseline.found / baseline.of if baseline and baseline.of else None
    whole = asked.by is By.A_DAY
    chart = c_chart(found, labels=labels, mean=usual) if whole else u_chart(found, of, labels=labels, rate=usual)
    spots, small = judged(chart, days, lambda units: usual_most_counted(chart.center * units), in_time=True)
    figures = Figures(
        asked=asked,
        spots=spots,
        center=chart.center,
        few=chart.runs is not None and chart.runs.few,
        small=small,
        fixed=baseline,
        looked=tuple(looked) if whole else (),
    )
    if not figures.uneven:
        return figures
    silent = tuple(replace(spot, above=False, below=False, run=False) for spot in spots)
    return replace(figures, spots=silent, few=False)


def remembering_figures(asked: Asked, days: Samples, baseline: Baseline | None) -> Figures:
    """The running average (EWMA) or the two running sums (CUSUM) of the days. `days`: (day, not clear, lumens).

    Days differ in what was looked at, so each enters as its distance from the usual share in standard deviations of
    its own size, (p - P) / sqrt(P (1 - P) / n): target 0, standard deviation 1. Source: D. C. Montgomery, Introduction
    to Statistical Quality Control, standardized chart of a share with unequal samples (from memory).
    """
    labels, found, of = zip(*days, strict=True)
    usual = baseline.found / baseline.of if baseline and baseline.of else sum(found) / sum(of)
    if not 0 < usual < 1:
        return Figures(asked=asked, spots=(), center=0.0, fixed=baseline, flat=True)
    sums = asked.by is By.SUMS
    away = [(some / all_ - usual) / sqrt(usual * (1 - usual) / all_) for some, all_ in zip(found, of, strict=True)]
    chart = (cusum_chart if sums else ewma_chart)(away, labels=labels, target=0.0, sd=1.0)
    spots = tuple(
        Spot(
            label=label,
            found=some,
            of=all_,
            lower=point.lower,
            upper=point.upper,
            above=Signal.ABOVE in point.signals,
            below=Signal.BELOW in point.signals,
            value=point.sums.up if point.sums else point.value,
            second=-point.sums.down if point.sums else None,
            since=_since(labels, place, point),
        )
        for place, (label, some, all_, point) in enumerate(zip(labels, found, of, chart.points, strict=True))
    )
    return Figures(
        asked=asked,
        spots=spots,
        center=chart.center,
        small=min(usual, 1 - usual) * min(of) < ENOUGH_EXPECTED,
        fixed=baseline,
        tuned=(SLACK, DECISION) if sums else (WEIGHT, SIGMAS),
    )


def _since(labels: Sequence[str], place: int, point: Point) -> str:
    """Where the sum that signals left 0: the change is taken to have begun there (Montgomery, tabular CUSUM)."""
    if point.sums is None or not point.signals:
        return ""
    up = Signal.ABOVE in point.signals
    return labels[place + 1 - (point.sums.up_for if up else point.sums.down_for)]
