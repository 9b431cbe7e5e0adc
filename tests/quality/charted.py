"""Reference cases of control charts, and where a chart signals."""

import json
from pathlib import Path
from typing import Any

from kiosk.quality.points import Chart, Signal

REFERENCE = Path(__file__).resolve().parents[1] / "reference" / "control_charts.json"
CASES: dict[str, dict[str, Any]] = {
    case["id"]: case for case in json.loads(REFERENCE.read_text(encoding="utf-8"))["cases"]
}


def beyond_limits(chart: Chart) -> list[int]:
    """Numbers, from 1, of the points beyond a limit."""
    return signaling(chart, Signal.ABOVE, Signal.BELOW)


def signaling(chart: Chart, *signals: Signal) -> list[int]:
    return [n for n, point in enumerate(chart.points, 1) if set(signals) & set(point.signals)]
