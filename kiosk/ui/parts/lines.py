"""Text in boxes: it wraps, it steps down a size where that is allowed, it says when it does not fit. Nothing is cut."""

import re
from dataclasses import dataclass
from functools import lru_cache
from itertools import combinations, pairwise

from PySide6.QtCore import QSizeF
from PySide6.QtGui import QFont, QFontMetricsF

from kiosk.ui.parts.glass import Glass
from kiosk.ui.theme import CAPITAL_EM, LINE_PITCH, REGULAR, T, font

DESCENT_EM = 0.22
DESCENDING = frozenset("gjpqy,;Q()")

Choices = tuple[tuple[T, int], ...]
"""Sizes to try, each with the most lines it may take, the best first."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Fitted:
    """Text as it will stand: its lines, font, measures in px, and whether it stays inside its box."""

    lines: tuple[str, ...]
    font: QFont
    widths: tuple[float, ...]
    capital: float
    pitch: float
    fits: bool

    @property
    def height(self) -> float:
        """From the top of the first capital to the last baseline."""
        return self.capital + self.pitch * (len(self.lines) - 1)

    @property
    def descent(self) -> float:
        return self.capital / CAPITAL_EM * DESCENT_EM


def hangs(text: str) -> bool:
    """Does any of its letters hang below the line?"""
    return not DESCENDING.isdisjoint(text)


def fit_lines(
    glass: Glass,
    text: str,
    box: QSizeF,
    choices: Choices,
    weight: int = REGULAR,
    *,
    mono: bool = False,
    pitch: float = LINE_PITCH,
) -> Fitted:
    """The first size and wrapping that stays inside a box in px; else the last one tried, with `fits` False."""
    tries = [(glass.metrics.tries(size), most) for size, most in choices]
    sizes = tuple((px[n], most) for n in range(len(tries[0][0])) for px, most in tries) if tries else ()
    return _fit(text, box.width(), box.height(), sizes, weight, mono, pitch)


@lru_cache(maxsize=4096)
def _fit(
    text: str, width: float, height: float, sizes: tuple[tuple[int, int], ...], weight: int, mono: bool, pitch: float
) -> Fitted:
    fitted: Fitted | None = None
    for px, most in sizes:
        face = font(px, weight, mono)
        metrics = QFontMetricsF(face)
        lines = wrap(text, metrics, width)
        widths = tuple(metrics.horizontalAdvance(line) for line in lines)
        capital = face.pixelSize() * CAPITAL_EM
        tall = capital * (1 + pitch * (len(lines) - 1))
        fits = len(lines) <= most and max(widths, default=0) <= width + 0.5 and tall <= height + 0.5
        fitted = Fitted(lines=lines, font=face, widths=widths, capital=capital, pitch=capital * pitch, fits=fits)
        if fits:
            break
    if fitted is None:
        raise ValueError("no size to try")
    return fitted


def wrap(text: str, metrics: QFontMetricsF, width: float) -> tuple[str, ...]:
    """As few lines as the width allows; two lines are balanced. A line break in the text stays one."""
    return tuple(line for part in together(text).split("\n") for line in _wrap_part(part, metrics, width))


_UNITS = r"mm|cm|m|kPa|kg|lb|g|s|min|h|Fr|%"
_PAIRS = re.compile(rf"(?<=\d) (?=(?:{_UNITS})(?!\w))|(?<=\d{{4}}-\d\d-\d\d) (?=\d\d:\d\d)| (?==)|(?<==) (?=\d)")


def together(text: str) -> str:
    """A number keeps its unit, a date its time and an equation its result on one line."""
    return _PAIRS.sub("\u00a0", text)


def _wrap_part(text: str, metrics: QFontMetricsF, width: float) -> list[str]:
    lines: list[str] = []
    words = text.split(" ")
    for word in words:
        if lines and metrics.horizontalAdvance(f"{lines[-1]} {word}") <= width:
            lines[-1] = f"{lines[-1]} {word}"
        else:
            lines.append(word)
    if len(lines) not in (2, 3):
        return lines
    breaks = combinations(range(1, len(words)), len(lines) - 1)
    splits = [(split, max(map(metrics.horizontalAdvance, split))) for split in (_split(words, at) for at in breaks)]
    least = min(wide for _, wide in splits)
    slack = 1.05 if len(lines) == 2 else 1.0  # of two splits that are about as wide, the one that begins longer
    near = [split for split, wide in splits if wide <= min(least * slack, max(width, least))]
    return max(near, key=lambda split: metrics.horizontalAdvance(split[0]))


def _split(words: list[str], breaks: tuple[int, ...]) -> list[str]:
    ends = (0, *breaks, len(words))
    return [" ".join(words[a:b]) for a, b in pairwise(ends)]
