"""The quality desk's pages on the glass: nothing cut, nothing close, and each point leads to its trips."""

import re
from collections.abc import Iterator
from dataclasses import replace
from datetime import UTC, date, datetime
from functools import partial
from typing import Any

import pytest
from pypdfium2 import PdfDocument  # type: ignore[import-untyped]
from PySide6.QtWidgets import QApplication
from statsmodels.stats.proportion import proportion_confint

from kiosk import resources
from kiosk.core import commands as c
from kiosk.core import events as e
from kiosk.core import views as v
from kiosk.core.commands import Page
from kiosk.core.composing import ReportOrder, compose_report
from kiosk.core.past.figures import Asked, By
from kiosk.core.shift import Shifts
from kiosk.core.stamp import local_time
from kiosk.paper.render import render
from kiosk.quality.department import Department
from kiosk.quality.memory_charts import DECISION, SLACK, WEIGHT
from kiosk.quality.points import SIGMAS
from kiosk.store.bench_store import BenchStore
from tests.core.department import Shift, desk
from tests.paper.reading import words_of
from tests.quality.made_up import OFFSET_MIN, made_up
from tests.store.shift import kept
from tests.ui.samples import PANELS
from tests.ui.screens.audited import wrong_on

LATER_MS = int(datetime(2031, 4, 3, 14, tzinfo=UTC).timestamp() * 1000)
WIDEST = tuple(sorted(resources.item_types(), key=lambda code: -len(resources.item_types()[code].name))[:8])
"""The item types with the longest names."""
CHARTS = (*By, "codes", "types", "where", "day/soil", "day//" + WIDEST[0], "where//" + WIDEST[0])


@pytest.fixture(scope="module")
def store(tmp_path_factory: pytest.TempPathFactory) -> Iterator[BenchStore]:
    store = BenchStore(tmp_path_factory.mktemp("numbers") / "store", "B1")
    store.keep(made_up(types=WIDEST)[1])
    yield store
    store.close()


@pytest.fixture
def shift(store: BenchStore) -> Shift:
    """S1 at the desk, four weeks of work behind."""
    shift = Shift(desk=desk(), at_ms=LATER_MS)
    shift.sign_in("S1")
    over = replace(shift.session.desk, records=store.records, numbers=Department(store.records.ask))
    shift.session.desk = over
    shift.session._loaded = over
    return shift


def view(shift: Shift, page: Page, subject: str = "", number: int = 0) -> Any:
    shift.send(c.Turn(page=page, subject=subject, number=number))
    return shift.session.view()


def since_march_7(at_ms: int) -> bool:
    """In the four weeks up to 2031-04-03, by the station's own clock."""
    return "2031-03-07" <= f"{local_time(at_ms, OFFSET_MIN):%Y-%m-%d}" <= "2031-04-03"


def subjects() -> list[str]:
    found = []
    for what in CHARTS:
        first, _, rest = str(what).partition("/")
        group, _, type_ = rest.partition("/")
        found.append(f"28/{first}/{group}/{type_}")
    return found


def pages(shift: Shift) -> Iterator[tuple[str, Any]]:
    """Every page of the numbers."""
    yield "numbers", view(shift, Page.NUMBERS)
    yield "charts", view(shift, Page.CHARTS)
    yield "one", view(shift, Page.CHARTS, "one")
    for number in (0, 1):
        yield f"kinds {number}", view(shift, Page.CHARTS, "kinds", number)
    for subject in subjects():
        yield subject, view(shift, Page.CHART, subject)
        yield f"how {subject}", view(shift, Page.CHART, f"{subject}?")
        if any(key.name == "fix the usual" for key in view(shift, Page.CHART, subject).others):
            yield f"fix {subject}", view(shift, Page.FIX_USUAL, subject)
        points = view(shift, Page.POINTS, subject)
        yield f"points {subject}", points
        if points.rows:
            yield f"point {subject}", view(shift, Page.POINT, points.rows[0].send.subject)


@pytest.mark.slow
@pytest.mark.parametrize("language", ["en", "es"])
@pytest.mark.parametrize("panel", sorted(PANELS))
def test_no_chart_on_which_much_stands_out_is_cut_or_crowded(
    qapp: QApplication, shift: Shift, store: BenchStore, panel: str, language: str
) -> None:
    worse(shift, store).session.words = resources.words(language)

    def charts() -> Iterator[tuple[str, Any]]:
        for by in (By.DAY, By.TYPE, By.PER_LUMEN, By.AVERAGE, By.SUMS):
            yield by, view(shift, Page.CHART, f"28/{by}//")

    assert wrong_on(charts, shift, panel) == ""


@pytest.mark.slow
@pytest.mark.parametrize("language", ["en", "es"])
@pytest.mark.parametrize("panel", sorted(PANELS))
def test_no_page_of_the_numbers_is_cut_or_crowded(qapp: QApplication, shift: Shift, panel: str, language: str) -> None:
    shift.session.words = resources.words(language)
    assert wrong_on(partial(pages, shift), shift, panel) == ""


def test_the_answer_stands_first_in_words_with_both_its_numbers(shift: Shift) -> None:
    first = view(shift, Page.NUMBERS)
    assert isinstance(first, v.PanelsView)
    looks = [look for look in made_up(types=WIDEST)[0] if since_march_7(look.at_ms)]
    unclear = sum(bool(look.found) for look in looks)
    assert first.title == f"{len(looks)} lumens looked at. {unclear} were not clear."
    assert [type(panel.drawing).__name__ for panel in first.panels] == [
        "ChartDrawing", "BarsDrawing", "MarksDrawing", "BarsDrawing",
    ]  # fmt: skip


def test_a_point_opens_its_trips_and_a_trip_its_record(shift: Shift) -> None:
    points = view(shift, Page.POINTS, "28/day//")
    trips = shift.send(points.rows[0].send) or shift.session.view()
    assert isinstance(trips, v.ListView)
    assert trips.rows[0].sub in {"1 found", "2 found", "3 found", "4 found"}
    assert trips.rows[0].title == "Sinus set · TR-0100"
    assert trips.rows[0].send is not None
    shift.send(trips.rows[0].send)
    record = shift.session.view()
    assert isinstance(record, v.ListView)
    assert record.title == "Sinus set · TR-0100"


@pytest.mark.parametrize(
    ("subject", "to"),
    [
        ("28/day//", c.Turn(page=Page.NUMBERS)),
        ("91/codes//", c.Turn(page=Page.NUMBERS)),
        ("28/load//", c.Turn(page=Page.CHARTS)),
        ("28/day/soil/", c.Turn(page=Page.CHARTS, subject="one")),
        ("28/where//" + WIDEST[0], c.Turn(page=Page.CHARTS, subject="one")),
        ("28/average//", c.Turn(page=Page.CHARTS, subject="kinds")),
    ],
)
def test_back_leads_to_the_page_that_leads_here(shift: Shift, subject: str, to: c.Turn) -> None:
    assert [key.send for key in view(shift, Page.CHART, subject).hand.left] == [to]


@pytest.mark.parametrize(("subject", "number"), [("", 0), ("one", 0), ("one", 1), ("kinds", 0), ("kinds", 1)])
def test_back_from_a_chart_leads_to_the_very_page_of_charts_one_came_from(
    shift: Shift, subject: str, number: int
) -> None:
    page = view(shift, Page.CHARTS, subject, number)
    sends = [key.send for key in page.keys] if isinstance(page, v.MenuView) else [row.send for row in page.rows]
    charts = [send for send in sends if isinstance(send, c.Turn) and send.page is Page.CHART]
    assert len(charts) >= 2
    for send in charts:
        chart = view(shift, Page.CHART, send.subject)
        assert chart.hand.left[0].send == c.Turn(page=Page.CHARTS, subject=subject, number=number)
        (longer,) = [key.send for key in chart.others if key.name == "days"]
        assert view(shift, Page.CHART, longer.subject).hand.left[0].send == chart.hand.left[0].send


@pytest.mark.parametrize("small", [False, True])
def test_the_days_stand_on_every_page_of_figures(shift: Shift, small: bool) -> None:
    shift.session.small = small
    for page, subject in (
        (Page.NUMBERS, ""),
        (Page.CHART, "28/day//"),
        (Page.POINTS, "28/day//"),
        (Page.CHARTS, "one"),
    ):
        rail = view(shift, page, subject).head
        assert "7 Mar to 3 Apr" in (rail.short if small else rail.sub)


def test_of_very_many_loads_those_farthest_over_their_limit_are_drawn_and_all_are_listed(shift: Shift) -> None:
    page = view(shift, Page.CHART, "28/load//")
    numbers = shift.session.desk.numbers
    assert numbers is not None
    asked = Asked(by=By.LOAD, since=date(2031, 3, 7), until=date(2031, 4, 3))
    spots = numbers.figures(asked, shift.session.desk.policy.shifts).spots
    assert len(spots) > len(page.panels[0].drawing.dots) == 24
    worst = sorted(spots, key=lambda spot: spot.found / spot.of - spot.upper, reverse=True)[:24]
    drawn = [(dot.value, dot.upper) for dot in page.panels[0].drawing.dots]
    assert drawn == [(spot.found, pytest.approx(spot.upper * spot.of)) for spot in worst]
    assert f"24 of {len(spots)}" in " ".join(page.lines)
    assert view(shift, Page.POINTS, "28/load//").pages == -(-len(spots) // 4)


def test_few_looked_at_stand_as_counts_and_never_as_percentages(shift: Shift) -> None:
    days = view(shift, Page.CHART, "28/day//").panels[0].drawing
    checks = view(shift, Page.CHART, "28/method//").panels[0].drawing
    assert not any("%" in words for _, words in days.ticks)  # about 22 lumens a day
    assert all("%" in words for _, words in checks.ticks)  # hundreds of answers a check


def test_a_rate_stands_with_both_numbers_and_its_limits_and_few_looked_at_without_a_percentage(shift: Shift) -> None:
    """Source of the limits: statsmodels, proportion_confint, method wilson."""
    for by in ("day", "type", "average"):
        line = view(shift, Page.CHART, f"28/{by}//").lines[0]
        found, of = map(int, re.findall(r"Usual is (\d+) of (\d+)", line)[0])
        low, high = proportion_confint(found, of, method="wilson")
        assert f"That is {100 * found / of:.0f} %" in line
        assert f"between {100 * low:.0f} % and {100 * high:.0f} % with 95 % confidence (Wilson)" in line
    for by, enough in (("type", True), ("day", False)):
        points = view(shift, Page.POINTS, f"28/{by}//")
        page = shift.send(points.rows[0].send) or shift.session.view()
        assert isinstance(page, v.ListView)
        found, of = map(int, re.findall(r" · (\d+) of (\d+)$", page.title)[0])
        assert (of >= 50) == enough == ("%" in page.help)
        assert enough or page.help.startswith("Under 50 looked at it stays a count, without a percentage.")
        if enough:
            low, high = proportion_confint(found, of, method="wilson")
            assert f"between {charted_share(low)} and {charted_share(high)}" in page.help


def charted_share(share: float) -> str:
    """Two figures, as the pages say a share."""
    return f"{100 * share:.0f} %" if share >= 0.1 else f"{100 * share:.1f} %"


class _Worse(Department):
    """The same department with three item types that stand out above the others, and ever more findings by day."""

    def _samples(self, asked: Asked, shifts: Shifts) -> list[tuple[str, int, int]]:
        told = super()._samples(asked, shifts)
        types, days = (1, 3, 4), range(len(told) // 2 + 1, len(told))
        places, more = {By.TYPE: (types, 30), By.DAY: (days, 3)}.get(asked.by, ((), 0))
        return [(label, min(of, found + more * (n in places)), of) for n, (label, found, of) in enumerate(told)]


def worse(shift: Shift, store: BenchStore) -> Shift:
    over = replace(shift.session.desk, numbers=_Worse(store.records.ask))
    shift.session.desk = over
    shift.session._loaded = over
    return shift


@pytest.mark.parametrize("small", [False, True])
def test_every_item_type_that_stands_out_is_named_on_the_chart(shift: Shift, store: BenchStore, small: bool) -> None:
    worse(shift, store).session.small = small
    numbers = shift.session.desk.numbers
    assert numbers is not None
    asked = Asked(by=By.TYPE, since=date(2031, 3, 7), until=date(2031, 4, 3))
    out = [spot for spot in numbers.figures(asked, shift.session.desk.policy.shifts).spots if spot.out]
    assert sum(spot.above for spot in out) == 3
    named = [dot.words for dot in view(shift, Page.CHART, "28/type//").panels[0].drawing.dots if dot.words]
    names = [resources.item_types()[spot.label].name for spot in out]
    assert len(named) == len(names)
    for name in names:
        assert any(name.startswith(words.partition(":")[0]) for words in named)


def test_a_change_that_lasts_is_told_with_the_day_from_which_it_holds(shift: Shift, store: BenchStore) -> None:
    worse(shift, store)
    page = view(shift, Page.CHART, "28/sums//")
    assert page.help.startswith("More than usual since about 2")  # made so from 21 March on
    assert any(dot.out for dot in page.panels[0].drawing.dots)
    assert any(dot.second is not None for dot in page.panels[0].drawing.dots)


def test_days_that_differ_in_what_was_looked_at_send_on_to_findings_per_lumen(shift: Shift) -> None:
    page = view(shift, Page.CHART, "28/a_day//")
    assert page.help.startswith("Days differ too much for this chart: ")
    (right,) = [key.send for key in page.others if key.name == "per lumen"]
    assert right == c.Turn(page=Page.CHART, subject="28/per_lumen//")
    assert not [key for key in page.others if isinstance(key.send, c.FixBaseline)]


@pytest.mark.parametrize("by", [By.PER_LUMEN, By.PER_TRAY, By.A_DAY, By.AVERAGE, By.SUMS])
@pytest.mark.parametrize("language", ["en", "es"])
def test_each_chart_says_its_limits_and_the_choices_of_its_method_with_their_source(
    shift: Shift, by: By, language: str
) -> None:
    shift.session.words = resources.words(language)
    lines = " ".join(view(shift, Page.CHART, f"28/{by}//").lines)
    said = {
        By.AVERAGE: (f"{WEIGHT:g}", f"{SIGMAS:g}", "EWMA", "6.3.2.4", "Saccucci 1990"),
        By.SUMS: (f"{SLACK:g}", f"{DECISION:g}", "CUSUM", "6.3.2.3", "Montgomery"),
    }.get(by, ("Poisson", "Anhøj 2014"))
    assert not [word for word in said if word not in lines]


@pytest.mark.parametrize("language", ["en", "es"])
@pytest.mark.parametrize("by", list(By))
def test_a_chart_is_printed_with_its_days_its_limits_and_every_point(shift: Shift, by: By, language: str) -> None:
    page = view(shift, Page.CHART, f"91/{by}//")
    send = next(key.send for key in page.others if isinstance(key.send, c.PrintReport))
    (asked,) = shift.must(send)
    assert isinstance(asked, e.PrintAsked)
    until = "2031-04-02" if by is By.A_DAY else "2031-04-03"  # today is not over, which a plain count must be
    assert (asked.doc, asked.number[:3], asked.about) == ("chart_page", "CH-", f"{by}///2031-01-03/{until}")
    g = replace(shift.session.glance(), words=resources.words(language))
    report = compose_report(g, ReportOrder(doc="chart_page", number=asked.number, about=asked.about))
    assert "2031-01-03" in report.about
    words = words_of(render(report, language=language)).replace("\n", " ")
    for line in [line for section in report.sections for line in section.lines]:
        assert " ".join(line.label.split()) in " ".join(words.split())
        assert line.value in words
    assert report.sections[0].note.split(". ")[-1][:40] in words
    assert len(report.sections[0].drawing.dots) == sum(len(section.lines) for section in report.sections)  # type: ignore[union-attr]


@pytest.mark.parametrize(
    "about", ["", "day//", "day///soon/2031-04-03", "codes///2031-03-07/2031-04-03", "day///2031-04-03/2031-03-07"]
)
def test_a_paper_of_no_chart_is_refused(shift: Shift, about: str) -> None:
    assert shift.send(c.PrintReport(doc="chart_page", about=about)) == []
    assert shift.refused == "refused.not_asked"


def test_only_a_supervisor_fixes_what_is_usual_and_the_chart_then_says_since_when(
    shift: Shift, store: BenchStore
) -> None:
    page = view(shift, Page.CHART, "28/day//")
    fix = next(key.send for key in page.others if key.name == "fix the usual")
    assert shift.send(fix) == []
    asks = shift.session.view()
    assert isinstance(asks, v.AskView)
    assert asks.no.send == c.Turn(page=Page.CHART, subject="28/day//")
    assert asks.yes.send is not None
    (event,) = shift.must(asks.yes.send)
    assert isinstance(event, e.BaselineFixed)
    assert asks.title == f"Is {event.found} of {event.of} what is usual here?"
    assert (event.about, event.since, event.until) == ("day//", "2031-03-07", "2031-04-03")
    assert page.lines[0].startswith(f"Usual is {event.found} of {event.of}, over all points shown. ")
    store.keep([kept(replace(event, found=event.found * 2), LATER_MS, trip=None)])
    fixed = f"Usual is {event.found * 2} of {event.of}, as fixed from 2031-03-07 to 2031-04-03."
    for by in ("day", "average", "sums"):  # what is fixed for the days holds for what is made of them
        usual = view(shift, Page.CHART, f"28/{by}//").lines[0]
        assert usual.startswith(f"{fixed} All points: {event.found} of {event.of}. ")
    store.keep([kept(event, LATER_MS + 1, trip=None)])  # the newest one counts
    assert view(shift, Page.CHART, "28/day//").lines[0].startswith(f"Usual is {event.found} of {event.of}, as fixed")


@pytest.mark.parametrize(
    "fix",
    [
        c.FixBaseline(about="load//", since="2031-03-07", until="2031-04-03"),
        c.FixBaseline(about="nothing//", since="2031-03-07", until="2031-04-03"),
        c.FixBaseline(about="day", since="2031-03-07", until="2031-04-03"),
        c.FixBaseline(about="day//", since="2031-04-03", until="2031-03-07"),
        c.FixBaseline(about="day//", since="soon", until="2031-04-03"),
    ],
)
def test_a_baseline_of_anything_else_is_refused(shift: Shift, fix: c.FixBaseline) -> None:
    assert shift.send(fix) == []
    assert shift.refused == "refused.not_asked"


def test_a_baseline_of_a_few_days_is_refused_with_how_many_it_takes(shift: Shift) -> None:
    assert shift.send(c.FixBaseline(about="day//", since="2031-04-01", until="2031-04-03")) == []
    assert shift.session.view().notice == "A baseline takes 20 points or more."


def test_a_department_that_looked_at_nothing_says_so_in_one_sentence() -> None:
    shift = Shift()
    shift.sign_in("S1")
    page = view(shift, Page.NUMBERS)
    assert page.title == "No lumen was looked at in the last 28 days."
    assert page.panels[0].nothing == "Nothing was looked at in these days. Here each day will be a point."


@pytest.mark.parametrize("language", ["en", "es"])
def test_the_month_report_says_the_figures_of_the_page_and_how_they_are_counted(shift: Shift, language: str) -> None:
    g = replace(shift.session.glance(), words=resources.words(language))
    report = compose_report(g, ReportOrder(doc="month_report", number="MR-10001", about="2031-03"))
    numbers = g.desk.numbers
    assert numbers is not None
    (days,) = [each for each in report.sections if each.title == resources.words(language).say("numbers.report.table")]
    of = sum(int(line.value.split()[2]) for line in days.lines)
    assert str(of) in report.headline[0]
    begin = resources.words(language).say("numbers.report.begin", first="2031-03-03")
    assert report.about.endswith(f" · {begin}")
    assert {"ChartDrawing", "BarsDrawing", "MarksDrawing"} <= {
        type(section.drawing).__name__ for section in report.sections
    }
    assert report.sections[-1].paragraphs == resources.words(language).lines("numbers.report.how_lines")
    pdf = render(report, language=language)
    first = PdfDocument(pdf)[0].get_textpage().get_text_bounded()
    headed = [each for each in report.sections if each.title in first.splitlines()]
    sums = [resources.words(language).say(f"numbers.report.{key}") for key in ("groups", "shifts")]
    assert [each.title for each in headed][1:] == sums, "the headline figures stand on the first page"
    assert not [text for text in report.headline if "sterile" in text.lower() or "clean" in text.lower()]
