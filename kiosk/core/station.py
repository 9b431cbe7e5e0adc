"""What belongs to one station's machine and its panel: kept beside its store, never in the log."""

from dataclasses import dataclass
from math import hypot

MOST_OFFSET_MM = 4.0
"""A finger that lands further off than this was no aim at the dot: the mean is cut to it (look.md 2.8)."""

DIM_MINUTES, HIDE_MINUTES = 1.5, 5.0
"""Quiet before the glass dims (look.md 3.13: 90 s) and before it hides what it shows (a choice, no source)."""

CARD_MM = (85.60, 53.98)
"""The badge card ID-1 of ISO/IEC 7810."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Station:
    """How a station is set up. `answered`: pages of the set-up that were answered, in their order.

    `bench` 0: not said yet. `px_per_mm` 0: not measured; it holds for the panel of `panel` ("1920x1080") only.
    `touch_mm`: how far right of and below its aim a finger lands. `printer` "": papers become files in the store.
    `camera`: a source of pictures as the option --sight takes it, "" none. Minutes of 0: never.
    """

    language: str = ""
    bench: int = 0
    px_per_mm: float = 0.0
    panel: str = ""
    touch_mm: tuple[float, float] = (0.0, 0.0)
    printer: str = ""
    camera: str = ""
    dim_minutes: float = DIM_MINUTES
    hide_minutes: float = HIDE_MINUTES
    answered: tuple[str, ...] = ()


def mean_offset(aimed: tuple[tuple[float, float], ...], most_mm: float = MOST_OFFSET_MM) -> tuple[float, float]:
    """The mean of the offsets (mm right, mm down) from the dots, no longer than `most_mm`. (0, 0) of none."""
    if not aimed:
        return 0.0, 0.0
    x, y = (sum(each[axis] for each in aimed) / len(aimed) for axis in (0, 1))
    long = hypot(x, y)
    share = min(1.0, most_mm / long) if long else 1.0
    return round(x * share, 2), round(y * share, 2)
