"""What is said of a set that was read: the group's figures, the pictures that split it. Nobody is named or ranked."""

from collections.abc import Callable

from kiosk.core.composing.parts import ReportOrder, moment, report_foot
from kiosk.core.glance import Glance
from kiosk.core.papers import Pictured, Report, Section, SheetLine
from kiosk.core.readings import GroupFigure, ReadingSet, Split
from kiosk.core.together import kept_readings as kept

SPLIT_ON_PAPER = 6
"""Pictures that the page shows: those that split the readers most. The others are counted; all stand at the desk."""


def asked_words(g: Glance, found: ReadingSet) -> str:
    """How many pictures, since when, until when."""
    many, since = len(found.pictures), moment(g, found.made_ms)
    if found.ended_ms is None:
        return g.words.say("readings.about_open", n=many, since=since)
    return g.words.say("readings.about", n=many, since=since, until=moment(g, found.ended_ms))


def share_words(g: Glance, part: int, whole: int, percent: float | None) -> str:
    """Both numbers, and the percentage where there are enough for one."""
    told = g.words.say("readings.of", part=part, whole=whole)
    return told if percent is None else g.words.say("readings.percent", percent=f"{percent:.1f}", told=told)


def figure_lines(g: Glance, found: GroupFigure) -> tuple[SheetLine, ...]:
    """The figures, each with its limits or why it has none."""
    say = g.words.say
    lines = [
        SheetLine(
            label=say("readings.figure.pairs"),
            value=share_words(g, found.agreeing, found.pairs, found.percent),
            note=say("readings.figure.pairs_note"),
        ),
        SheetLine(label=say("readings.figure.alike"), value=share_words(g, found.alike, found.compared, None)),
    ]
    drawn = say("readings.figure.drawn", n=found.resamples, seed=found.seed)
    lines.append(_coefficient(g, "alpha", found.alpha, f"{_limits(g, found, found.alpha_limits)} {drawn}"))
    if found.readers == 2:
        lines.append(_coefficient(g, "cohen", found.cohen, _limits(g, found, found.cohen_limits)))
    lines.append(_coefficient(g, "fleiss", found.fleiss, say("readings.figure.fleiss_note")))
    return tuple(lines)


def _coefficient(g: Glance, name: str, value: float | None, note: str) -> SheetLine:
    label = g.words.say(f"readings.figure.{name}")
    if value is None:
        return SheetLine(label=label, value="–", note=g.words.say(f"readings.figure.{name}_none"))
    return SheetLine(label=label, value=f"{value:z.2f}", note=note)


def _limits(g: Glance, found: GroupFigure, limits: tuple[float, float] | None) -> str:
    if limits is None:
        return g.words.say("readings.figure.no_limits")
    low, high = (f"{edge:z.2f}" for edge in limits)
    return g.words.say("readings.figure.limits", level=f"{found.level:.0%}".rstrip("%"), low=low, high=high)


def readers_words(g: Glance, found: GroupFigure) -> str:
    """How many pictures and readers a figure stands on."""
    return g.words.say("readings.readers", pictures=found.pictures, readers=found.readers)


def split_words(g: Glance, one: Split) -> str:
    """How often each answer was given: "YES 3 · NO 2"."""
    return " · ".join(g.words.say(f"readings.said.{says}", n=n) for says, n in one.answers)


def reading_report(g: Glance, order: ReportOrder) -> Report:
    """The page for the huddle: the figures, how far they reach, the pictures that split the readers most."""
    say = g.words.say
    found = kept.set_called(g.bench, g.desk, order.about)
    figure = kept.figure_of(g.bench, g.desk, found) if found else None
    named = found.name if found else ""
    return Report(
        doc=order.doc,
        title=say("readings.paper.title", name=named),
        number=order.number,
        about=asked_words(g, found) if found else "",
        headline=(readers_words(g, figure), say("readings.caution")) if figure else (say("readings.too_few"),),
        sections=_sections(g, figure) if figure else (),
        foot=report_foot(g, order),
    )


def _sections(g: Glance, figure: GroupFigure) -> tuple[Section, ...]:
    say = g.words.say
    first = figure.split[:SPLIT_ON_PAPER]
    rest = len(figure.split) - len(first)
    pictures = tuple(
        Pictured(
            file=one.picture.file,
            sha256=one.picture.sha256,
            words=f"{one.picture.name}: {split_words(g, one)}",
            gone=say("pictures.not_printed"),
        )
        for one in first
    )
    return (
        Section(title=say("readings.paper.figures"), lines=figure_lines(g, figure)),
        Section(
            title=say("readings.paper.split"),
            paragraphs=(say("readings.paper.split_help") if first else say("readings.split_none"),),
            pictures=pictures,
            note=say("readings.paper.more", n=rest) if rest else "",
        ),
        Section(title=say("readings.paper.reach"), paragraphs=g.words.lines("readings.limits_of_method")),
    )


REPORTS: dict[str, Callable[[Glance, ReportOrder], Report]] = {"reading_report": reading_report}
