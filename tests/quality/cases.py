"""Published cases from tests/reference, and how near is near enough."""

import json
from pathlib import Path
from typing import Any

import pytest

FOLDER = Path(__file__).parents[1] / "reference"


def cases(name: str) -> list[dict[str, Any]]:
    """The cases of one file, each with its inputs, what is expected, how near, and its source."""
    found: list[dict[str, Any]] = json.loads((FOLDER / name).read_text("utf-8"))["cases"]
    return found


def is_near(got: Any, wanted: Any, tolerance: dict[str, float]) -> None:
    """Assert within the tolerance of a case (`abs`, `rel`); without one the same."""
    assert got is not None
    if not tolerance:
        assert got == wanted
        return
    flat = wanted if isinstance(wanted, list) else [wanted]
    mine = list(got) if isinstance(got, (list, tuple)) else [got]
    assert mine == pytest.approx(flat, abs=tolerance.get("abs", 0), rel=tolerance.get("rel", 0))
