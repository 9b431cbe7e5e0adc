"""One chart as a paper of its own: what to do next, the drawing, its limits in words, the points as a table."""

from kiosk.core.composing import charted
from kiosk.core.composing.chart_sections import chart_section, point_lines
from kiosk.core.composing.chart_words import next_words
from kiosk.core.composing.parts import ReportOrder, report_foot
from kiosk.core.glance import Glance
from kiosk.core.papers import Report, Section
from kiosk.core.past.figures import IN_TIME, Figures, asked_in_print

TOGETHER = 32
"""Points of a table that stand together; more of them with their notes are more than a page holds (a choice)."""


def chart_page(g: Glance, order: ReportOrder) -> Report:
    """The chart that the order is about, over its very days, as counted now. Raises ValueError."""
    say, numbers = g.words.say, g.desk.numbers
    asked = asked_in_print(order.about)
    figures = charted.figures_of(g, numbers, asked) if numbers else Figures(asked=asked, spots=(), center=0.0)
    since, until = asked.since.isoformat(), asked.until.isoformat()
    return Report(
        doc=order.doc,
        title=charted.chart_title(g, asked),
        number=order.number,
        about=say("numbers.printed.about", since=since, until=until),
        headline=(*_counted(g, figures), next_words(g, figures)),
        sections=_sections(g, figures) if figures.spots else (),
        foot=report_foot(g, order),
    )


def _counted(g: Glance, figures: Figures) -> tuple[str, ...]:
    return (charted.answer_words(g, figures),) if figures.spots else ()


def _sections(g: Glance, figures: Figures) -> tuple[Section, ...]:
    by, spots = figures.asked.by, charted.drawn_spots(figures)
    in_time = by in IN_TIME
    tables = (
        Section(
            title="" if n else g.words.say("numbers.printed.table"),
            lines=point_lines(g, figures, spots[n : n + TOGETHER]),
            columns=2 if in_time else 1,
        )
        for n in range(0, len(spots), TOGETHER)
    )
    return chart_section(g, figures, titled=False), *tables


REPORTS = {"chart_page": chart_page}
