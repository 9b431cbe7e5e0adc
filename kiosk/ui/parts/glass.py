"""The panel: its colors, its millimeters, and the one guard of all its touches."""

import time
from collections.abc import Callable
from dataclasses import dataclass, field

from PySide6.QtGui import QFont

from kiosk.ui.parts.gallery import Gallery
from kiosk.ui.parts.guard import BENCH_RULES, Rules, TapGuard
from kiosk.ui.theme import BENCH, REGULAR, Metrics, T, Tokens, font


def steady_ms() -> int:
    """Milliseconds of a clock that never jumps."""
    return time.monotonic_ns() // 1_000_000


@dataclass(frozen=True, slots=True, kw_only=True)
class Glass:
    """What every part is made with: the panel as the person at it has set it.

    `yes_left`: the plates stand the other way round; `left_hand`: the hand rail's groups do; `still`: no light moves.
    """

    tokens: Tokens
    metrics: Metrics
    guard: TapGuard
    gallery: Gallery = field(default_factory=Gallery)
    yes_left: bool = False
    left_hand: bool = False
    still: bool = False

    def mm(self, mm: float) -> float:
        """Pixels of a length in mm."""
        return self.metrics.mm(mm)

    def color(self, token: str) -> str:
        """A color by the name of its token."""
        value: str = getattr(self.tokens, token)
        return value

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
