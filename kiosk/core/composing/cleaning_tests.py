"""Cleaning tests on paper: each kind, unit and, of light units, meter by itself; no names."""

from collections.abc import Callable, Sequence

from kiosk.core import events as e
from kiosk.core.cleaning_tests import Grade, KeptTest, by_scale, highest
from kiosk.core.composing.parts import ReportOrder, moment, report_foot
from kiosk.core.folds.cleaning_tests import test_of
from kiosk.core.glance import Glance
from kiosk.core.papers import Report, Section, SheetLine
from kiosk.core.together.kept_tests import MISTYPED, done_about

DAYS = 30
"""How far back the page goes (a choice: a month; the records go back to their beginning)."""


def about_words(g: Glance, about: str) -> str:
    """What was sampled, in words: "Ear set · TR-0007", "piece M-12", "load W-2204"."""
    kind, _, code = about.partition("=")
    tray = g.desk.catalogue.trays.get(code) if kind == "tray" else None
    if tray is not None:
        return f"{tray.name} · {code}"
    return code if kind in {"tray", "other"} else g.words.say(f"cleaning.about.{kind}", code=code)


def kind_words(g: Glance, test: KeptTest) -> str:
    """What was measured, in words."""
    return test.what or g.words.say(f"cleaning.kind.{test.result.marker}")


def scale_words(g: Glance, test: KeptTest) -> str:
    """The scale a result stands on: "ATP · RLU · meter LUM-7"."""
    of = test.result
    meter = g.words.say("cleaning.meter", meter=of.meter) if of.light else ""
    return " · ".join(filter(None, (kind_words(g, test), of.unit, meter)))


def grade_words(g: Glance, test: KeptTest) -> str:
    """Where it lay by the levels of then; or that it was typed wrong."""
    if done_about(g.bench, g.desk, test.number) == MISTYPED:
        return g.words.say("cleaning.wrong")
    name = test.grade.name.lower() if test.grade else "none"
    return g.words.say(f"cleaning.grade.{name}")


def levels_words(g: Glance, test: KeptTest) -> str:
    """The levels as they were then."""
    levels = test.levels
    if levels is None:
        return g.words.say("cleaning.level.none")
    figures = (("alert", levels.alert), ("action", levels.action))
    told = ", ".join(g.words.say(f"cleaning.level.{at}", value=f"{each:f}") for at, each in figures if each is not None)
    over = not levels.reached
    return g.words.say("cleaning.level.over", told=told, unit=levels.unit) if over else f"{told} {levels.unit}"


def value_words(test: KeptTest) -> str:
    """The value with its unit."""
    return f"{test.result.value:f} {test.result.unit}"


def counted(g: Glance, tests: Sequence[KeptTest]) -> list[KeptTest]:
    """Without those that were typed wrong."""
    return [test for test in tests if done_about(g.bench, g.desk, test.number) != MISTYPED]


def page_of_tests(g: Glance, order: ReportOrder) -> Report:
    """The results of the last days of every station, a section for what may stand beside each other."""
    say = g.words.say
    since = g.now.at_ms - DAYS * 86_400_000
    told = [kept for _, kept in g.desk.records.kept("cleaning_test_kept", since_ms=since)]
    made = (test_of(k.event, k.stamp.at_ms) for k in told if isinstance(k.event, e.CleaningTestKept))
    tests = [test for test in made if test is not None]
    good = counted(g, tests)
    counts = {"n": len(good), "wrong": len(tests) - len(good)}
    counts |= {grade.name.lower(): sum(test.grade is grade for test in good) for grade in Grade}
    without = sum(test.grade is None for test in good)
    headline = [say("paper.cleaning.without", n=without, of=len(good))] if without else []
    headline += [say("paper.cleaning.headline", **counts)] if without < len(good) or not good else []
    headline += [say("paper.cleaning.wrong", n=counts["wrong"])] if counts["wrong"] else []
    return Report(
        doc=order.doc,
        title=say("paper.cleaning.title"),
        number=order.number,
        about=say("paper.cleaning.about", days=DAYS, time=moment(g, g.now.at_ms)),
        headline=tuple(headline),
        sections=(
            *(_section(g, each) for each in by_scale(tests).values()),
            Section(title=say("paper.cleaning.unknown"), paragraphs=g.words.lines("paper.cleaning.not_known")),
        ),
        foot=report_foot(g, order),
    )


def _section(g: Glance, tests: Sequence[KeptTest]) -> Section:
    good = counted(g, tests)
    top = highest(good) if good else None
    note = g.words.say("paper.cleaning.highest", value=value_words(top), number=top.number) if top else ""
    return Section(title=scale_words(g, tests[0]), lines=tuple(_line(g, test) for test in tests), note=note)


def _line(g: Glance, test: KeptTest) -> SheetLine:
    done = done_about(g.bench, g.desk, test.number)
    told = (
        test.number,
        g.words.say(f"cleaning.method.{test.result.method}"),
        "" if test.result.light or not test.result.meter else g.words.say("cleaning.meter", meter=test.result.meter),
        g.words.say("paper.cleaning.levels", levels=levels_words(g, test)) if test.levels else "",
        g.words.say("paper.cleaning.done", done=done_words(g, done)) if done and done != MISTYPED else "",
    )
    return SheetLine(
        label=f"{moment(g, test.at_ms)}  {about_words(g, test.about)}",
        value=f"{value_words(test)}: {grade_words(g, test)}",
        note=" · ".join(filter(None, told)),
    )


def done_words(g: Glance, done: str) -> str:
    """What was done about a result, on one line."""
    return g.words.say(f"cleaning.done.{done}").replace("\n", " ")


REPORTS: dict[str, Callable[[Glance, ReportOrder], Report]] = {"cleaning_tests": page_of_tests}
