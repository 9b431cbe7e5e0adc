"""A chart on paper: its drawing with its limits in words, and its points as a table."""

from collections.abc import Sequence

from kiosk.core.composing import charted
from kiosk.core.composing.chart_words import axis_words, limits_lines
from kiosk.core.glance import Glance
from kiosk.core.papers import Section, SheetLine
from kiosk.core.past.figures import FEW, OF_FINDINGS, REMEMBERING, By, Figures, Spot


def chart_section(g: Glance, figures: Figures, *, titled: bool = True) -> Section:
    """The drawing under its title, unless the paper is called so itself; then what is usual, how it is counted, what
    the method can not say."""
    asked = figures.asked
    axis = axis_words(g, asked.by)
    return Section(
        title=charted.chart_title(g, asked) if titled else "",
        drawing=charted.chart_drawing(g, figures),
        note=" ".join((*((f"{axis}.",) if axis else ()), *limits_lines(g, figures))),
    )


def point_lines(g: Glance, figures: Figures, spots: Sequence[Spot]) -> tuple[SheetLine, ...]:
    """A line a point: both numbers, its percentage from 50 on, and what stands out about it."""
    by = figures.asked.by
    share = by is not By.BETWEEN and by not in OF_FINDINGS | REMEMBERING
    return tuple(
        SheetLine(
            label=charted.label_words(g, by, spot.label),
            value=charted.spot_words(g, figures, spot)
            + (percent_words(g, spot.found, spot.of) if share else _far(spot)),
            note=charted.state_words(g, figures, spot),
        )
        for spot in spots
    )


def _far(spot: Spot) -> str:
    return f" · {far}" if (far := charted.reached(spot)) else ""


def percent_words(g: Glance, found: int, of: int) -> str:
    """ " (12 %)"; "" under 50 looked at."""
    return f" ({charted.share_words(g, found / of)})" if of >= FEW else ""
