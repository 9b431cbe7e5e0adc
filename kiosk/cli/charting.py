"""`throughlight chart`: a control chart of a CSV file, as a table or as JSON."""

import argparse
from collections.abc import Callable
from dataclasses import asdict
from pathlib import Path
from typing import TYPE_CHECKING, Any

from kiosk.cli.call import CallFault, date_of, print_json

if TYPE_CHECKING:
    from kiosk.cli.chart_file import ChartFile
    from kiosk.quality.points import Chart, Kind

KIND_HELP = (
    "p: share with a finding; u: findings a unit; c: findings a period; g: units between rare findings; "
    "ewma, cusum: small lasting changes of a reading. The exit status is 1 where a point signals"
)
FILE_HELP = (
    "CSV with a line of columns, in any order, then a line for each point, oldest first. p and u: found,of; "
    "c: found; g: between (units passed between one finding and the next, the found ones not counted; 0: two on end); "
    "ewma and cusum: value. Every kind may have label besides (a date, a sample)"
)
BASELINE_HELP = "the first N points fix center and limits (default: all points)"
DATED_HELP = "date on which the supervisor fixed the baseline; it stands over the table"
SIGMAS_HELP = "standard deviations from center to limit (default 3); not for cusum"
WEIGHT_HELP = "ewma: weight of the newest reading, above 0 and up to 1 (default 0.2)"
TARGET_HELP = "ewma, cusum: the target (default: mean of the baseline)"
SD_HELP = "ewma, cusum: standard deviation of one reading (default: from the baseline's moving ranges)"
SLACK_HELP = "cusum: k, half the change to be found, in standard deviations (default 0.5)"
DECISION_HELP = "cusum: h, the sum that signals, in standard deviations (default 5)"

_OPTIONS = (
    ("--baseline", "N", int, BASELINE_HELP),
    ("--dated", "DATE", date_of, DATED_HELP),
    ("--sigmas", "L", float, SIGMAS_HELP),
    ("--weight", "W", float, WEIGHT_HELP),
    ("--target", "X", float, TARGET_HELP),
    ("--sd", "S", float, SD_HELP),
    ("--slack", "K", float, SLACK_HELP),
    ("--decision", "H", float, DECISION_HELP),
)
_SHEWHART = frozenset({"sigmas"})
_TAKES = {
    "p": _SHEWHART,
    "u": _SHEWHART,
    "c": _SHEWHART,
    "g": _SHEWHART,
    "ewma": frozenset({"target", "sd", "weight", "sigmas"}),
    "cusum": frozenset({"target", "sd", "slack", "decision"}),
}


def options(parser: argparse.ArgumentParser) -> None:
    """The arguments of the command, but for --json. A setting that is not given is None."""
    parser.add_argument("kind", metavar="KIND", help=KIND_HELP)
    parser.add_argument("file", metavar="FILE.csv", type=Path, help=FILE_HELP)
    for name, metavar, kind, words in _OPTIONS:
        parser.add_argument(name, metavar=metavar, type=kind, help=words)


def chart(args: argparse.Namespace) -> int:
    """Chart a file. 0: nothing signals; 1: a point does. CallFault for a call or a file that is wrong."""
    from kiosk.cli.chart_file import read_chart_file
    from kiosk.quality.points import ChartFault, Kind

    if args.kind not in list(Kind):
        raise CallFault(f"{args.kind}: is no kind of chart; there are {', '.join(Kind)}")
    if getattr(args, "dated", None) and getattr(args, "baseline", None) is None:
        raise CallFault("--dated: dates a baseline; give --baseline too")
    kind = Kind(args.kind)
    settings = _settings(args, kind)
    file = read_chart_file(Path(args.file), kind)
    try:
        drawn = _drawn(kind, file, settings)
    except ChartFault as fault:
        if fault.point is None:
            raise CallFault(f"{file.name}: --{fault.field} {fault}") from fault
        raise file.fault(fault.field, fault.point - 1, str(fault)) from fault
    if args.json:
        print_json(_as_json(drawn))
    else:
        from kiosk.cli.chart_table import table

        print("\n".join(table(drawn, settings, getattr(args, "dated", None))))
    return int(any(point.signals for point in drawn.points))


def _settings(args: argparse.Namespace, kind: "Kind") -> dict[str, Any]:
    """The settings given, by name. Raises CallFault for one that the kind does not know."""
    given = {name: getattr(args, name, None) for name in ("sigmas", "weight", "target", "sd", "slack", "decision")}
    for name, value in given.items():
        if value is not None and name not in _TAKES[kind]:
            raise CallFault(f"--{name}: is not for {kind} charts")
    kept = {name: value for name, value in given.items() if value is not None and name in _TAKES[kind]}
    return kept | {"baseline": getattr(args, "baseline", None)}


def _drawn(kind: "Kind", file: "ChartFile", settings: dict[str, Any]) -> "Chart":
    from kiosk.quality import charts, memory_charts
    from kiosk.quality.points import Kind

    make: Callable[..., Chart]
    if kind in (Kind.EWMA, Kind.CUSUM):
        make = memory_charts.ewma_chart if kind is Kind.EWMA else memory_charts.cusum_chart
        return make(file.readings("value"), labels=file.labels, **settings)
    if kind in (Kind.P, Kind.U):
        make = charts.p_chart if kind is Kind.P else charts.u_chart
        return make(file.counts("found"), file.counts("of"), labels=file.labels, **settings)
    if kind is Kind.C:
        return charts.c_chart(file.counts("found"), labels=file.labels, **settings)
    return charts.g_chart(file.counts("between"), labels=file.labels, **settings)


def _as_json(drawn: "Chart") -> dict[str, Any]:
    """Center and points; a point of a CUSUM has its two sums besides, `up` and `down`, and for how long they stood."""
    points: list[dict[str, Any]] = [
        {"value": point.value, "lower": point.lower, "upper": point.upper, "signals": [str(s) for s in point.signals]}
        | (asdict(point.sums) if point.sums else {})
        for point in drawn.points
    ]
    return {"center": drawn.center, "points": points}
