"""The panel: its colors, its millimeters, and the one guard of all its touches."""

import time
from collections.abc import Callable
from dataclasses import dataclass, field, replace

from PySide6.QtGui import QFont

from kiosk.ui.parts.gallery import Gallery
from kiosk.ui.parts.guard import BENCH_RULES, DECONTAM_RULES, Rules, TapGuard
from kiosk.ui.theme import BENCH, REGULAR, Metrics, T, Tokens, font


def steady_ms() -> int:
    """Milliseconds of a clock that never jumps."""
    return time.monotonic_ns() // 1_000_000


@dataclass(frozen=True, slots=True, kw_only=True)
class Glass:
    """What every part is made with: the panel as the person at it has set it.

    `touch_mm`: how far right of and below its aim a finger lands on this panel, on the glass itself.
    `yes_left`: the plates stand the other way round; `left_hand`: the hand rail's groups do; `still`: no light moves.
    `mirrored`: words run from right to left: text and hand rail change sides; lumen, ruler and answers do not.
    """

    tokens: Tokens
    metrics: Metrics
    guard: TapGuard
    gallery: Gallery = field(default_factory=Gallery)
    yes_left: bool = False
    left_hand: bool = False
    still: bool = False
    touch_mm: tuple[float, float] = (0.0, 0.0)
    mirrored: bool = False

    def mm(self, mm: float) -> float:
        """Pixels of a length in mm."""
        return self.metrics.mm(mm)

    def color(self, token: str) -> str:
        """A color by the name of its token."""
        value: str = getattr(self.tokens, token)
        return value

    def in_plain_letters(self) -> "Glass":
        """The same glass for somebody who asked for no larger letters: for what does not stand in those."""
        return replace(self, metrics=replace(self.metrics, larger=False)) if self.metrics.larger else self

    def font(self, size: T, weight: int = REGULAR, mono: bool = False) -> QFont:
        """The face at one of the sizes."""
        return font(self.metrics.px(size), weight, mono)


def new_glass(
    size_px: tuple[int, int],
    px_per_mm: float,
    tokens: Tokens = BENCH,
    clock: Callable[[], int] = steady_ms,
    rules: Rules = BENCH_RULES,
    scale: float = 1.0,
) -> Glass:
    """The glass of a panel of this many pixels; `scale` enlarges letters."""
    metrics = Metrics.for_screen(size_px, px_per_mm, scale)
    return Glass(tokens=tokens, metrics=metrics, guard=TapGuard(clock, rules))


MAGNIFIED = 1.35
"""Decontam reads through a fogged shield and touches with two wet gloves: everything is drawn so much larger."""

SMALLEST_MM = 280.0
"""A panel narrower than this has no room to magnify anything; it keeps the bench's sizes."""


def dirty_glass(
    size_px: tuple[int, int], px_per_mm: float, tokens: Tokens = BENCH, clock: Callable[[], int] = steady_ms
) -> Glass:
    """The glass of decontam's station: letters, targets and gaps 1.35 times as large, slower to take a touch."""
    larger = MAGNIFIED if size_px[0] / px_per_mm >= SMALLEST_MM else 1.0
    metrics = replace(Metrics.for_screen(size_px, px_per_mm * larger), magnified=larger, key_mm=WET_KEY_MM)
    return Glass(tokens=tokens, metrics=metrics, guard=TapGuard(clock, DECONTAM_RULES))


WET_KEY_MM = 21.0
"""Height of a key in the hand rail there, before it is magnified: 28 mm on the glass."""
