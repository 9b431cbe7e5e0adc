"""Papers of a department in which everything is long: nothing lost, nothing over another, no page half empty."""

from functools import cache

import pytest

from kiosk.core.composing.summary import WAIT_FIRST
from kiosk.core.papers import Paper, Report, ReturnTicket, Tag
from kiosk.paper.render import render
from tests.paper.crowded import MANY, of_nothing, papers
from tests.paper.exceptional import PAPERS
from tests.paper.reading import Line, lines_of, words_of

REPORTS = (
    "shift_summary", "handover_list", "lookback_report", "scope_log", "policy_page", "downtime_sheet", "audit_pack",
)  # fmt: skip
NAMELESS = ("shift_summary", "lookback_report", "audit_pack", "return_ticket", "package_label")
"""Papers that name nobody: FORMS 0.7 and the never rows of 4 and 8."""


@cache
def told() -> dict[str, Paper]:
    return {**dict(papers()), **{f"long_{name}": make() for name, make in PAPERS.items()}}


def of_kind(doc: str) -> list[Paper]:
    return [paper for name, paper in told().items() if name.partition("_")[2] == doc]


@cache
def pdf_of(name: str) -> bytes:
    return render(told()[name])


def _over(one: Line, other: Line) -> bool:
    return (
        min(one.right, other.right) - max(one.left, other.left) > 0.3
        and min(one.bottom, other.bottom) - max(one.top, other.top) > 0.3
    )


def test_every_kind_of_paper_is_there() -> None:
    docs = {name.partition("_")[2] for name in told()}
    assert {*REPORTS, "return_ticket", "tray_sheet", "package_label"} <= docs


def test_what_to_do_stands_on_the_first_page_of_a_ticket_with_long_names() -> None:
    ticket = told()["long_return_ticket_again"]
    assert isinstance(ticket, ReturnTicket)
    first = " ".join(line.text for line in lines_of(pdf_of("long_return_ticket_again"))[0])
    assert ticket.todo[0].replace(" ", "") in first.replace(" ", "").replace("\u00a0", "")


def test_a_tag_says_whether_a_spare_was_used_and_whether_its_piece_is_soiled() -> None:
    """Repair tag "loan or spare used", quarantine tag "clean or soiled"."""
    repair, quarantine = told()["long_repair_tag"], told()["long_quarantine_tag"]
    assert isinstance(repair, Tag)
    assert isinstance(quarantine, Tag)
    assert "Spare used" in [line.label for line in repair.facts]
    assert quarantine.state == "still soiled: bag it"


def test_no_words_stand_over_others_on_any_paper() -> None:
    for name in told():
        for number, page in enumerate(lines_of(pdf_of(name)), 1):
            over = [(a.text, b.text) for n, a in enumerate(page) for b in page[n + 1 :] if _over(a, b)]
            assert not over, (name, number, over[:3])


@pytest.mark.parametrize("doc", REPORTS)
def test_every_word_of_a_report_is_printed(doc: str) -> None:
    for name, paper in told().items():
        if name.partition("_")[2] != doc or not isinstance(paper, Report):
            continue
        printed = words_of(pdf_of(name)).replace(" ", "").replace("\u00a0", "")
        parts = [paper.title, paper.number, *paper.headline, *paper.signature]
        for section in paper.sections:
            parts += [section.title, section.note, *section.paragraphs]
            parts += [part for line in section.lines for part in (line.label, line.value, line.note)]
        for part in parts:
            assert part.replace(" ", "").replace("\u00a0", "") in printed, (name, part)


@pytest.mark.parametrize("doc", NAMELESS)
def test_papers_that_cross_or_are_shown_around_name_nobody(doc: str) -> None:
    for name in told():
        if name.partition("_")[2] == doc:
            assert "Featherstonehaugh" not in words_of(pdf_of(name)), name


def test_forty_holds_are_all_told_and_the_first_page_names_the_oldest() -> None:
    (summary,) = of_kind("shift_summary")
    assert isinstance(summary, Report)
    waits, whole = (
        next(section.lines for section in summary.sections if section.title == title)
        for title in ("What waits", "All that waits")
    )
    assert sum(line.label.startswith("K-") for line in waits) == WAIT_FIRST
    for n in range(MANY):
        assert any(f"TR-{1000 + n}" in line.note for line in whole)
        assert any(f"TR-{1000 + n}" in line.label for line in whole)


def test_no_page_of_a_report_but_its_last_is_left_half_empty() -> None:
    for name, paper in told().items():
        if not isinstance(paper, Report) or paper.doc in {"downtime_sheet", "audit_pack"}:  # a form, a trip a page
            continue
        pages = lines_of(pdf_of(name))
        for number, page in enumerate(pages[:-1], 1):
            low = max(line.bottom for line in page if line.cap_mm > 2.5 or paper.columns > 1)
            ends = [section.title for section in paper.sections if section.new_page]
            if not any(title in line.text for line in pages[number] for title in ends):
                assert low > 279.4 / 2, (name, number)


def test_the_policy_is_one_page_and_so_is_each_spare_form() -> None:
    """JOB: printed in plain words on one page, for the surveyor and for the wall."""
    for name in (name for name in told() if name.endswith("policy_page")):
        assert len(lines_of(pdf_of(name))) == 1
    for name in (name for name in told() if name.endswith("downtime_sheet")):
        assert len(lines_of(pdf_of(name))) == 1 + 2  # the list of the pad, and its two forms


def test_the_summary_of_an_empty_shift_says_its_zeros_with_both_numbers_and_no_share() -> None:
    """FORMS 4: no percentage without both numbers; a shift in which nothing was done has none at all."""
    said = words_of(render(of_nothing()))
    for sentence in ("0 tray trips opened", "0 pieces with soil of 0 checked", "0 of 0 lumens not seen inside"):
        assert sentence in said
    assert "%" not in said
