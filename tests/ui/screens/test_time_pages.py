"""Time and people on the glass and on paper: the answer first, nothing crowded, nothing planned before its page."""

import json
from collections.abc import Iterator
from dataclasses import fields, is_dataclass, replace
from datetime import date
from functools import partial
from typing import Any

import numpy as np
import pytest
from pypdfium2 import PdfDocument  # type: ignore[import-untyped]
from PySide6.QtCore import QRect
from PySide6.QtWidgets import QApplication, QWidget

from kiosk import resources
from kiosk.core import commands as c
from kiosk.core import views as v
from kiosk.core.catalogue import Kit
from kiosk.core.commands import Page
from kiosk.core.composing import ReportOrder, compose_report
from kiosk.core.decide.desk_papers import PREFIX
from kiosk.core.papers import Report
from kiosk.core.past.hours import Compared, EveryLumen, Need, Times
from kiosk.core.policy import Policy
from kiosk.core.shift import Shifts
from kiosk.paper.render import render
from kiosk.quality.department import Department
from kiosk.quality.department_hours import DepartmentHours
from kiosk.store.bench_store import BenchStore
from kiosk.ui.parts.pages import Pager
from kiosk.ui.screens.listing import OpenRow, ReadRow
from tests.core.department import Shift, desk
from tests.quality.four_weeks import HOURS, LAST, RARE, four_weeks
from tests.quality.small_log import at, store_of
from tests.ui.samples import PANELS
from tests.ui.screens.audited import wrong_on

WIDEST = tuple(sorted(resources.item_types(), key=lambda code: -len(resources.item_types()[code].name))[:8])
"""The item types with the longest names."""

LATER_MS = at((LAST - date(2031, 3, 3)).days, "18:00")
SWAB_ONLY = {"wide": ["light"], "middle": ["swab"], "narrow": ["swab"], "tiny": ["air"]}
SUBJECTS = ("", "types", "every", "benches/15", "benches/30", "benches/60", "draft")


class Counted:
    """Hours that note what is asked of them."""

    def __init__(self, own: DepartmentHours) -> None:
        self.own, self.asked = own, list[str]()

    def times(self, since: date, until: date, shifts: Shifts) -> Times:
        self.asked.append("times")
        return self.own.times(since, until, shifts)

    def every_lumen(self, since: date, until: date, policy: Policy, kit: Kit) -> EveryLumen:
        self.asked.append("every_lumen")
        return self.own.every_lumen(since, until, policy, kit)

    def need(self, since: date, until: date, wait_min: float) -> Need:
        self.asked.append("need")
        return self.own.need(since, until, wait_min)

    def compared(self, since: date, until: date, now: Policy, then: Policy, kit: Kit) -> Compared:
        self.asked.append("compared")
        return self.own.compared(since, until, now, then, kit)


@pytest.fixture(scope="module")
def store(tmp_path_factory: pytest.TempPathFactory) -> Iterator[BenchStore]:
    made = store_of(tmp_path_factory.mktemp("time") / "store", four_weeks(WIDEST)[0])
    yield made
    made.close()


@pytest.fixture(scope="module")
def counted(store: BenchStore) -> Counted:
    return Counted(DepartmentHours(store.records, "B1"))


@pytest.fixture
def shift(store: BenchStore, counted: Counted) -> Shift:
    """S1 at the desk, four weeks of work behind."""
    return at_the_desk(store, counted)


def at_the_desk(store: BenchStore, hours: Counted | DepartmentHours) -> Shift:
    shift = Shift(desk=desk(), at_ms=LATER_MS)
    shift.sign_in("S1")
    over = replace(shift.session.desk, records=store.records, numbers=Department(store.records.ask), hours=hours)
    shift.session.desk = over
    shift.session._loaded = over
    return shift


def drafted(shift: Shift) -> Shift:
    """With a draft: no scope check any more, and one rule that no plan rests on."""
    shift.must(c.DraftRule(key="by_size", value=json.dumps(SWAB_ONLY), group="checks"))
    shift.must(c.DraftRule(key="max_dry_tries", value="5", group="checks"))
    return shift


def view(shift: Shift, subject: str = "", number: int = 0, page: Page = Page.TIME) -> Any:
    shift.send(c.Turn(page=page, subject=subject, number=number))
    return shift.session.view()


def pages(shift: Shift) -> Iterator[tuple[str, Any]]:
    """Every page of time and people, each list to its end."""
    for subject in SUBJECTS:
        first = view(shift, subject)
        yield subject, first
        for n in range(1, getattr(first, "pages", 1)):
            yield f"{subject} {n}", view(shift, subject, n)
        yield f"how {subject}", view(shift, f"{subject}?")


def texts(part: Any) -> Iterator[str]:
    """Every text of a view or a paper."""
    if isinstance(part, str):
        yield part
    elif is_dataclass(part):
        for each in fields(part):
            yield from texts(getattr(part, each.name))
    elif isinstance(part, tuple):
        for each in part:
            yield from texts(each)


def _on_screen(widget: QWidget, screen: QWidget) -> QRect:
    return QRect(widget.mapTo(screen, widget.rect().topLeft()), widget.size())


def rows_under_the_pager(screen: QWidget) -> list[str]:
    """Rows that the keys of the pages lie on."""
    pagers = [_on_screen(each, screen) for each in screen.findChildren(Pager)]
    rows = [*screen.findChildren(OpenRow), *screen.findChildren(ReadRow)]
    return [
        f"{row.accessibleName()} lies under the pager"
        for row in rows
        for pager in pagers
        if _on_screen(row, screen).intersects(pager)
    ]


@pytest.mark.parametrize("language", ["en", "es"])
@pytest.mark.parametrize("panel", sorted(PANELS))
def test_no_page_of_time_is_cut_or_crowded(qapp: QApplication, shift: Shift, panel: str, language: str) -> None:
    shift.session.words = resources.words(language)
    for prepare in (shift.session.glance, partial(drafted, shift)):
        prepare()
        assert wrong_on(partial(pages, shift), shift, panel, rows_under_the_pager) == ""


def test_the_answer_stands_first_and_the_bars_are_the_medians_of_the_log(shift: Shift) -> None:
    """Percentiles against numpy's default."""
    first = view(shift)
    assert isinstance(first, v.PanelsView)
    seconds = four_weeks(WIDEST)[1]
    each = {
        method: [value for (one, _), values in seconds.items() if one == method for value in values]
        for method, _ in seconds
    }
    shifts = 3 * 28  # one tray a day at night, three on the day shift, one on the late
    assert first.title == f"{sum(map(sum, each.values())) / 60 / shifts:.0f} minutes of checks a shift."
    assert first.help.startswith(f"{sum(map(len, each.values())) + 56} answers in {shifts} shifts")
    bars = first.panels[0].drawing
    assert isinstance(bars, v.BarsDrawing)
    assert [bar.n for bar in bars.bars] == sorted((bar.n for bar in bars.bars), reverse=True)
    for bar in bars.bars:
        name = bar.words.partition(":")[0]
        method = next(one for one in each if resources.words().say(f"name.{one}") == name)
        median, p90 = np.percentile(each[method], [50, 90])
        assert (bar.n, bar.words) == (round(median), f"{name}: 9 of 10 within {p90:.0f} s")
    assert first.panels[0].note == f"{len(each) - len(bars.bars)} more on paper"


def test_no_tray_is_planned_again_before_its_page_is_opened(shift: Shift, counted: Counted) -> None:
    drafted(shift)
    for page, subject, asked in (
        (Page.NUMBERS, "", set()),
        (Page.TIME, "", {"times"}),
        (Page.TIME, "types", {"times"}),
        (Page.TIME, "every", {"times", "every_lumen"}),
        (Page.TIME, "benches/30", {"times", "need"}),
        (Page.TIME, "draft", {"times", "compared"}),
    ):
        counted.asked.clear()
        view(shift, subject, page=page)
        assert set(counted.asked) == asked, subject


def test_item_types_have_median_and_90th_percentile_or_the_count_alone(shift: Shift, counted: Counted) -> None:
    told = [row for n in range(view(shift, "types").pages) for row in view(shift, "types", n).rows]
    seconds = four_weeks(WIDEST)[1]
    for code in WIDEST:
        each = [value for (_, kind), values in seconds.items() if kind == code for value in values]
        median, p90 = np.percentile(each, [50, 90])
        row = next(row for row in told if row.title == resources.item_types()[code].name)
        assert row.value == f"{median:.0f} s / {p90:.0f} s"
    assert told[0].title == "Checks of the whole tray"
    assert RARE not in {row.title for row in told}


def test_an_item_type_answered_seldom_has_its_count_only() -> None:
    from kiosk.core.composing.timed import took_words
    from kiosk.core.past.hours import Took

    few = Took(method="", type="x", answers=19, not_timed=0, interrupted=0, spread=None, minutes_a_shift=None)
    assert took_words(Shift().session.glance(), few) == "19 answers"


def test_every_lumen_is_told_with_its_low_and_high(shift: Shift, counted: Counted) -> None:
    page = view(shift, "every")
    g = shift.session.glance()
    told = counted.own.every_lumen(date(2031, 3, 3), LAST, g.desk.policy, g.desk.catalogue.kit)
    more = told.every.middle - told.now.middle
    assert more > 0
    assert page.title == f"Every check of every lumen: {more:.{0 if more >= 10 else 1}f} minutes more a shift."
    every, now = page.panels[0].drawing.bars
    assert (every.n, now.n) == (round(told.every.middle), round(told.now.middle))
    assert [f"{side:.{0 if side >= 10 else 1}f}" for side in (told.now.low, told.now.high)] == now.words.split(": ")[
        1
    ].split(" to ")


def test_the_key_leads_to_the_benches_of_the_next_wait(shift: Shift, counted: Counted) -> None:
    page = view(shift, "benches/30")
    need = counted.own.need(date(2031, 3, 3), LAST, 30)
    assert [row.title for row in page.rows] == [
        f"{hour.hour:02}:00–{(hour.hour + 1) % 24:02}:00" for hour in need.hours[:4]
    ]
    assert page.rows[0].value == ("1 bench" if need.hours[0].benches == 1 else f"{need.hours[0].benches} benches")
    seen = []
    for _ in range(3):
        seen.append(shift.session.turn.subject if shift.session.turn else "")
        shift.send(page.others[0].send)
        page = shift.session.view()
    assert seen == ["benches/30", "benches/60", "benches/15"]


def test_without_a_draft_the_page_says_that_one_is_compared_here(shift: Shift) -> None:
    page = view(shift, "draft")
    assert page.title == "No draft of the policy lies here."
    assert page.nothing.startswith("A draft of the policy is compared here")
    assert page.main.send == c.Turn(page=Page.POLICY)


def test_a_draft_says_what_it_saves_and_first_what_is_not_seen_for_it(shift: Shift) -> None:
    """By hand: five trays a day of two tubes, a scope check each, at numpy's median of its seconds."""
    page = view(drafted(shift), "draft")
    scope = [value for (method, _), values in four_weeks(WIDEST)[1].items() if method == "scope" for value in values]
    bores = 2 * len(HOURS) * 28
    minutes = bores * float(np.median(scope)) / 60
    assert page.title == f"The draft saves {minutes / (3 * 28):.1f} minutes a shift."
    assert page.help == f"{bores} times a lumen is not seen any more. 140 trays of 28 days planned again under both."
    rows = [row for n in range(page.pages) for row in view(shift, "draft", n).rows]
    values = {row.title: row.value for row in rows}
    assert values["Minutes in all 28 days"] == f"−{minutes:.0f}"
    assert values["not seen any more"] == f"{bores} times"
    assert values["scope"] == f"−{bores}"
    assert "it is in no figure" in rows[-1].sub
    assert "5" in rows[-1].title


def test_a_log_of_a_few_days_says_so_in_one_sentence(tmp_path_factory: pytest.TempPathFactory) -> None:
    few = store_of(tmp_path_factory.mktemp("few") / "store", four_weeks(days=6)[0])
    shift = at_the_desk(few, DepartmentHours(few.records, "B1"))
    sentence = "Answers of 6 days: times are told from 7 days on."
    for subject in SUBJECTS:
        page = view(shift, subject)
        assert (page.panels[0].nothing, page.main, page.others) == (sentence, None, ()), subject
    assert report(shift).headline == (sentence,)
    assert report(shift).sections == ()
    few.close()


def test_a_department_that_answered_nothing_or_counts_nowhere_says_so() -> None:
    shift = Shift()
    shift.sign_in("S1")
    page = view(shift)
    assert page.panels[0].nothing.startswith("No check was answered in the last 28 days.")
    assert report(shift).headline == (page.panels[0].nothing,)


def report(shift: Shift, language: str = "en") -> Report:
    g = replace(shift.session.paper_glance(), words=resources.words(language))
    return compose_report(g, ReportOrder(doc="time_report", number="TP-10001", about=LAST.isoformat()))


@pytest.mark.parametrize("language", ["en", "es"])
def test_the_paper_has_every_figure_of_the_pages_with_its_limits(shift: Shift, language: str) -> None:
    drafted(shift)
    shift.session.words = words = resources.words(language)
    paper = report(shift, language)
    titles = [view(shift, subject).title for subject in ("", "every", "benches/30", "draft")]
    assert len(paper.headline) == len(titles)
    assert all(line.startswith(title) for line, title in zip(paper.headline, titles, strict=True))
    printed = " ".join(texts(paper))
    for part in ("times", "every", "benches", "draft"):
        assert " ".join(words.lines(f"hours.limits.{part}")) in printed, part
    assert words.say(f"name.{RARE}") in printed
    second = PdfDocument(render(paper, language=language))[1].get_textpage().get_text_bounded()
    assert f"{paper.title} · {paper.about.partition(' · ')[0]}" in second, "the running head has the days whole"
    assert "sterile" not in printed.lower()
    assert "clean" not in printed.lower().replace("cleaning a scope", "").replace("scope cleaning", "")


def test_the_paper_is_asked_for_at_the_desk_under_its_own_letters(shift: Shift) -> None:
    first = view(shift)
    (asked,) = shift.must(first.main.send)
    assert (asked.doc, asked.number[:3], asked.about) == ("time_report", "TP-", LAST.isoformat())  # type: ignore[union-attr]
    assert PREFIX["time_report"] == "TP"


def test_nobody_is_named_on_a_page_or_on_the_paper(shift: Shift) -> None:
    drafted(shift)
    said = [text for _, page in pages(shift) for text in texts(replace(page, head=v.Head(title="")))]
    said += texts(report(shift))
    assert not [text for text in said if "P-014" in text or "Person" in text]


def test_the_hours_stay_when_other_surroundings_come(shift: Shift, counted: Counted) -> None:
    shift.session.use(desk())
    assert shift.session.desk.hours is counted
