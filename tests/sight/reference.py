"""Published values for the sight tests: tests/reference, each with its source."""

import json
from pathlib import Path
from typing import Any

REFERENCE = Path(__file__).resolve().parents[1] / "reference"


def color_cases() -> list[dict[str, Any]]:
    cases: list[dict[str, Any]] = json.loads((REFERENCE / "color_difference.json").read_text(encoding="utf-8"))["cases"]
    return cases
