"""The default policy and the demo bench's kit, as the lumen tests use them."""

from typing import Any

import pytest

from kiosk.core.catalogue import Kit
from kiosk.core.policy import Policy
from tests.lumen.bench import default_kit, default_policy


@pytest.fixture(scope="session")
def policy() -> Policy:
    return default_policy()


@pytest.fixture(scope="session")
def kit() -> Kit:
    return default_kit()


@pytest.fixture(scope="session")
def kit_row() -> dict[str, Any]:
    return {
        "scopes": [{"id": "SC-1", "od_mm": 1.9, "reach_mm": 400, "bends": True}],
        "swabs": {"heads_mm": [1.2, 2.0], "reach_mm": 350, "max_over": 1.5},
        "air_station": True,
        "gauge_pins": False,
    }
