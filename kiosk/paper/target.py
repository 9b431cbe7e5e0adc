"""The test target for scopes, printed at 1:1: frame, gray steps, slanted edge, colors; in three sizes, with a rule.

The one page of ours that needs a printer of colors; what it prints is held only against its own first day.
"""

from math import radians, tan

from reportlab.lib.colors import Color
from reportlab.lib.units import mm
from reportlab.pdfgen.canvas import Canvas

from kiosk.core.papers import TargetPage
from kiosk.core.scope_target import (
    BAND_MM,
    COLORS,
    EDGE_AT_MM,
    EDGE_BOTTOM_MM,
    EDGE_DARK,
    EDGE_DEG,
    EDGE_LEFT_MM,
    EDGE_LIGHT,
    EDGE_RIGHT_MM,
    EDGE_TOP_MM,
    FRAME_MM,
    GRAYS,
    SIZES,
)
from kiosk.paper.page import Box, Form, Pen, gap, press
from kiosk.paper.type import BOLD, HEAVY, paragraph

PAGES_MM = {"letter": (215.9, 279.4), "a4": (210.0, 297.0)}
EDGE_MM = 18.0
FIRST_MM = 78.0
RULE_MM = 50
WORDS_MM = 3.2


def draw_target(page: TargetPage, size: str) -> bytes:
    """The PDF, the same every time. Raises DoesNotFit."""
    wide, high = PAGES_MM[size]
    box = Box(left=EDGE_MM, top=EDGE_MM, width=wide - 2 * EDGE_MM, height=high - 2 * EDGE_MM)
    form = Form(id="target", frames=(box,), draw=lambda pen: _draw(pen, page))
    return press((wide, high), (form,), [gap(1)], page.title)


def _draw(pen: Pen, page: TargetPage) -> None:
    wide = pen.width - 2 * EDGE_MM
    top = EDGE_MM
    top += pen.block(paragraph(page.title, 6.0, HEAVY), EDGE_MM, top, wide) + 3
    for line in page.lines:
        top += pen.block(paragraph(line, WORDS_MM, BOLD, pitch=1.5), EDGE_MM, top, wide) + 2
    left = EDGE_MM
    for n, times in enumerate(sorted(SIZES)):
        _target(pen, left, FIRST_MM, times)
        words = paragraph(page.names[n], WORDS_MM, BOLD, pitch=1.4)
        pen.block(words, left, FIRST_MM + FRAME_MM[1] * times + 4, max(30.0, FRAME_MM[0] * times))
        left += max(30.0, FRAME_MM[0] * times) + 12
    _rule(pen, page.rule)
    pen.foot(page.title, page.number, page.foot, left=EDGE_MM, right=EDGE_MM, bottom=10)


def _target(pen: Pen, left: float, top: float, times: float) -> None:
    """One target, its frame's upper left corner there."""
    canvas = pen.canvas
    canvas.saveState()
    canvas.translate(left * mm, (pen.height - top) * mm)
    canvas.scale(times * mm, -times * mm)
    wide, high = FRAME_MM
    _fill(canvas, (0, 0, 0), [(0, 0), (wide, 0), (wide, high), (0, high)])
    inner = [(BAND_MM, BAND_MM), (wide - BAND_MM, BAND_MM)]
    inner += [(x, high - BAND_MM) for x, _ in reversed(inner)]
    _fill(canvas, (255, 255, 255), inner)
    for patch in (*GRAYS, *COLORS):
        right, foot = patch.left + patch.width, patch.top + patch.height
        _fill(canvas, patch.color, [(patch.left, patch.top), (right, patch.top), (right, foot), (patch.left, foot)])
    lean = tan(radians(EDGE_DEG)) * (EDGE_BOTTOM_MM - EDGE_TOP_MM) / 2
    upper, lower = (EDGE_AT_MM + lean, EDGE_TOP_MM), (EDGE_AT_MM - lean, EDGE_BOTTOM_MM)
    for side, color in ((EDGE_LEFT_MM, EDGE_DARK), (EDGE_RIGHT_MM, EDGE_LIGHT)):
        _fill(canvas, color, [(side, EDGE_TOP_MM), upper, lower, (side, EDGE_BOTTOM_MM)])
    canvas.restoreState()


def _fill(canvas: Canvas, color: tuple[int, int, int], corners: list[tuple[float, float]]) -> None:
    path = canvas.beginPath()
    path.moveTo(*corners[0])
    for corner in corners[1:]:
        path.lineTo(*corner)
    path.close()
    canvas.setFillColor(Color(*(step / 255 for step in color)))
    canvas.drawPath(path, stroke=0, fill=1)


def _rule(pen: Pen, words: str) -> None:
    """A rule of 50 mm: the page is at 1:1 where it measures so."""
    top = FIRST_MM + FRAME_MM[1] * max(SIZES) + 34
    pen.bar(EDGE_MM, top, RULE_MM, 0.4)
    for n in range(0, RULE_MM + 1, 10):
        pen.bar(EDGE_MM + n - 0.125, top - 3, 0.25, 3)
    pen.block(paragraph(words, WORDS_MM, BOLD, pitch=1.4), EDGE_MM + RULE_MM + 6, top - 4, pen.width - 2 * EDGE_MM - 60)
