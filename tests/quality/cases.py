"""How near a value is to a published one."""

from typing import Any

import pytest


def is_near(got: Any, wanted: Any, tolerance: dict[str, float]) -> None:
    """Assert within the tolerance of a case (`abs`, `rel`); without one the same."""
    assert got is not None
    if not tolerance:
        assert got == wanted
        return
    flat = wanted if isinstance(wanted, list) else [wanted]
    mine = list(got) if isinstance(got, (list, tuple)) else [got]
    assert mine == pytest.approx(flat, abs=tolerance.get("abs", 0), rel=tolerance.get("rel", 0))
