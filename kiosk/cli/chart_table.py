"""A control chart as lines of text: an aligned table, what signals, and the limits of the method."""

import math
from collections.abc import Iterator, Mapping, Sequence
from datetime import date
from typing import Any

from kiosk.quality.points import Chart, Kind, Point, Signal

FEW = 5
"""Expected findings in a sample under which p, u and c limits are called rough: a common rule of thumb."""
SHORT = 20
"""Points under which limits are called rough: the usual advice of 20 to 25, from memory."""
FEW_USEFUL = 10
"""Points off the center under which the run rules tell little: where the tables of their source begin."""


def table(chart: Chart, settings: Mapping[str, Any], dated: date | None) -> list[str]:
    """The lines to print. The last two: the points that signal, and the limits of the method."""
    figures = _figures(chart)
    labeled = any(point.label for point in chart.points)
    cells = (_cells(point, figures, labeled=labeled) for point in chart.points)
    rows = [_head(chart, labeled=labeled), *([str(n), *each] for n, each in enumerate(cells, 1))]
    return [
        *_said_first(chart, figures, settings, dated),
        "",
        *_aligned(rows),
        "",
        f"Signals: {_signals(chart)}.",
        f"Limits of the method: {'; '.join(_cautions(chart))}.",
    ]


def _said_first(chart: Chart, figures: int, settings: Mapping[str, Any], dated: date | None) -> Iterator[str]:
    if chart.sd is None:
        yield f"{chart.kind} chart, {len(chart.points)} points, center {chart.center:.{figures}f}"
    else:
        yield (
            f"{chart.kind} chart, {len(chart.points)} points, target {chart.target:.{figures}f}, "
            f"sd {chart.sd:.{figures}f}"
        )
    if settings.get("baseline") is not None:
        first, last = chart.points[0].label, chart.points[chart.baseline - 1].label
        named = f" ({first} to {last})" if first or last else ""
        fixed = f", fixed on {dated:%Y-%m-%d}" if dated else ""
        yield f"Baseline: the first {chart.baseline} points{named}{fixed}"


def _head(chart: Chart, *, labeled: bool) -> list[str]:
    figures = ["up", "down", "limit"] if chart.kind is Kind.CUSUM else ["value", "lower", "upper"]
    return ["point", *(["label"] if labeled else []), *figures, "signals"]


def _cells(point: Point, figures: int, *, labeled: bool) -> list[str]:
    numbers = (point.value, point.lower, point.upper)
    if point.sums:
        numbers = (point.sums.up, point.sums.down, point.upper)
    shown = [f"{number:.{figures}f}" for number in numbers]
    return [*([point.label] if labeled else []), *shown, ", ".join(point.signals)]


def _figures(chart: Chart) -> int:
    """Decimals that show the narrowest limits in four figures."""
    spans = [point.upper - point.lower for point in chart.points if point.upper > point.lower]
    size = min(spans) if spans else max(abs(point.value) for point in chart.points) or 1.0
    return min(max(3 - math.floor(math.log10(size)), 0), 12)


def _aligned(rows: Sequence[Sequence[str]]) -> Iterator[str]:
    """Numbers to the right, the words of label and signals to the left."""
    widths = [max(map(len, column)) for column in zip(*rows, strict=True)]
    words = {place for place, name in enumerate(rows[0]) if name in ("label", "signals")}
    for row in rows:
        cells = [
            cell.ljust(width) if place in words else cell.rjust(width)
            for place, (cell, width) in enumerate(zip(row, widths, strict=True))
        ]
        yield "  ".join(cells).rstrip()


def _signals(chart: Chart) -> str:
    said = []
    for signal in Signal:
        at = [n for n, point in enumerate(chart.points, 1) if signal in point.signals]
        if not at:
            continue
        words = f"{signal} at {_spans(at)}"
        if chart.runs and signal is Signal.LONG_RUN:
            words += f" ({chart.runs.longest} on one side of the center, up to {chart.runs.longest_usual} are usual)"
        if chart.runs and signal is Signal.FEW_CROSSINGS:
            words += f", for the whole chart ({chart.runs.crossings}; {chart.runs.fewest_usual} or more are usual)"
        if (sums := chart.points[at[0] - 1].sums) and signal in (Signal.ABOVE, Signal.BELOW):
            since = sums.up_for if signal is Signal.ABOVE else sums.down_for
            words += f" (that sum has been above 0 since point {at[0] - since + 1})"
        said.append(words)
    return "; ".join(said) or "none"


def _spans(numbers: Sequence[int]) -> str:
    """1, 2, 3, 7 as "1 to 3, 7"."""
    spans: list[list[int]] = []
    for number in numbers:
        if spans and number == spans[-1][-1] + 1:
            spans[-1].append(number)
        else:
            spans.append([number])
    return ", ".join(f"{span[0]} to {span[-1]}" if len(span) > 1 else str(span[0]) for span in spans)


def _cautions(chart: Chart) -> Iterator[str]:
    if chart.kind is Kind.EWMA:
        yield "each point carries the ones before it, so no run rules are used"
    elif chart.kind is Kind.CUSUM:
        yield "a sum signals until it falls back by itself; each point carries the ones before it, so no run rules"
    else:
        yield "limits and run rules overlap and together raise more false alarms than one rule alone"
    if chart.kind is Kind.G:
        yield "above means rarer; a count of this kind has no lower limit, and runs are counted about the median"
    if chart.least is not None and chart.least < FEW:
        yield (
            f"few counts: the smallest sample is expected to hold {chart.least:.1f} of the rarer kind, under {FEW} "
            "limits and run rules are rough, and a g chart fits rare findings better"
        )
    if 0 < chart.baseline < SHORT:
        yield f"center and limits come from {chart.baseline} points, fewer than {SHORT} make them rough"
    if chart.runs and chart.runs.useful < FEW_USEFUL:
        yield f"only {chart.runs.useful} points lie off the center, with fewer than {FEW_USEFUL} run rules tell little"
    yield "a signal says where to look, not why"
