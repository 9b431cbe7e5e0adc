"""What the tests of agreement share: published cases, sets in few words, alpha by a reference library."""

import math
from collections.abc import Sequence
from typing import Any

import krippendorff
import numpy as np

from kiosk.quality.picture_set import PictureSet
from tests.lumen.bench import reference_cases

Rows = Sequence[Sequence[str | None]]

CASES: dict[str, dict[str, Any]] = {case["id"]: case for case in reference_cases("agreement.json")}
ANSWERS = "abcd"
"""From least to most, where a test takes them for steps."""


def picture_set(rows: Rows) -> PictureSet:
    return PictureSet(pictures=tuple(f"P{n}" for n in range(1, len(rows) + 1)), rows=tuple(tuple(row) for row in rows))


def of_observers(columns: Sequence[Sequence[int | None]]) -> PictureSet:
    return picture_set([[None if one is None else str(one) for one in row] for row in zip(*columns, strict=True)])


def by_krippendorff(rows: Rows, *, ordinal: bool) -> float:
    """The krippendorff package. It wants numbers, observers by units."""
    data = [[math.nan if one is None else float(ANSWERS.index(one)) for one in row] for row in rows]
    return float(
        krippendorff.alpha(
            np.array(data).T,
            value_domain=list(range(len(ANSWERS))),
            level_of_measurement="ordinal" if ordinal else "nominal",
        )
    )
