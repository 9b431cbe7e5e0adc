"""Every paper as a printer of 203 dpi and a reader see it: black and white, nothing clipped, small or in the way."""

from dataclasses import replace
from functools import cache
from itertools import combinations

import pypdfium2 as pdfium  # type: ignore[import-untyped]
import pypdfium2.raw as raw  # type: ignore[import-untyped]
import pytest

from kiosk.core.papers import Paper, TraySheet
from kiosk.paper.render import render
from tests.paper.invented import EVERY, PLAIN_TICKET
from tests.paper.reading import POINT_MM, Line, grays_of, lines_of, pages_of, words_of

every_paper = pytest.mark.parametrize("name", EVERY)
SLACK_MM = 0.1


@cache
def _pdf(name: str) -> bytes:
    return render(EVERY[name])


def _foot_cap(paper: Paper) -> float:
    return 6 * 25.4 / 72 * 0.668


@every_paper
def test_the_same_paper_gives_the_same_bytes(name: str) -> None:
    assert render(EVERY[name]) == _pdf(name)


@every_paper
def test_what_the_drawing_room_adds_is_said_in_the_language_of_the_house(name: str) -> None:
    """The page's number, the ends of a tube and its scale; the paper's own text is as it was composed."""
    said = {language: words_of(render(EVERY[name], language=language)) for language in ("en", "es")}
    added = ("Page 1 of", "ENTRY", "CLOSED END", "not to scale", "actual size", "drawn at", "length not known")
    there = [words for words in added if words in said["en"]]
    assert "Page 1 of" in there or "Page" not in said["en"]
    assert [words for words in there if said["es"].count(words) >= said["en"].count(words)] == []


@every_paper
def test_nothing_is_gray_or_colored(name: str) -> None:
    assert grays_of(_pdf(name)) <= {"0.0", "1.0", "0.0 0.0 0.0", "1.0 1.0 1.0"}


@every_paper
def test_no_type_stands_over_other_type(name: str) -> None:
    for page in lines_of(_pdf(name)):
        for one, other in combinations(page, 2):
            assert not _overlap(one, other), (one, other)


def _overlap(one: Line, other: Line) -> bool:
    """Do the boxes of ink share more than a sliver?"""
    wide = min(one.right, other.right) - max(one.left, other.left)
    high = min(one.bottom, other.bottom) - max(one.top, other.top)
    return wide > SLACK_MM and high > 0.25


@every_paper
def test_all_type_stands_inside_the_margins(name: str) -> None:
    pdf = _pdf(name)
    margin = 11.5 if isinstance(EVERY[name], TraySheet) else 3.5
    for image, page in zip(pages_of(pdf), lines_of(pdf), strict=True):
        width, height = image.width / 8, image.height / 8
        for line in page:
            assert line.left >= margin, line
            assert line.right <= width - margin, line
            assert line.top >= 2, line
            assert line.bottom <= height - 1.5, line


@every_paper
def test_no_letters_are_smaller_than_three_millimeters_but_those_of_the_foot(name: str) -> None:
    paper = EVERY[name]
    least = 1.9 if isinstance(paper, TraySheet) else 3.0
    for page in lines_of(_pdf(name)):
        small = [line for line in page if line.cap_mm < least - 0.01]
        assert all(abs(line.cap_mm - _foot_cap(paper)) < 0.02 for line in small), small
        if not isinstance(paper, TraySheet):
            assert all(line.top > 65 for line in small), small


@every_paper
def test_every_page_says_what_it_is_and_when_it_was_printed(name: str) -> None:
    paper = EVERY[name]
    pages = lines_of(_pdf(name))
    words = words_of(_pdf(name))
    for number in range(1, len(pages) + 1):
        assert f"Page {number} of {len(pages)}" in words
    for part in (paper.foot.printed, paper.foot.bench, paper.foot.versions, paper.foot.copy):
        assert words.count(part) >= len(pages)


@every_paper
def test_no_paper_claims_that_anything_is_sterile(name: str) -> None:
    assert "sterile" not in words_of(_pdf(name)).lower()


def test_the_finest_line_is_two_dots_wide() -> None:
    """Part 4 of the look: no hairlines under 2 dots. Read from the drawing operators, in the mm they are set in."""
    from io import BytesIO

    import pypdf

    for name in EVERY:
        for page in pypdf.PdfReader(BytesIO(_pdf(name))).pages:
            contents = page.get_contents()
            assert contents is not None
            scale, stack = 1.0, []
            for operands, operator in contents.operations:
                match operator:
                    case b"q":
                        stack.append(scale)
                    case b"Q":
                        scale = stack.pop()
                    case b"cm":
                        scale *= abs(float(operands[0]))
                    case b"w":
                        assert float(operands[0]) * scale * 25.4 / 72 >= 0.25 - 0.001, (name, operands)


def test_a_paper_does_not_load_the_drawing_library_before_it_is_needed() -> None:
    import subprocess
    import sys

    code = "import sys, kiosk.paper.render, kiosk.paper.printer; assert 'reportlab' not in sys.modules"
    subprocess.run([sys.executable, "-c", code], check=True)


def test_the_number_can_be_read_from_far() -> None:
    """NUREG-0700 1.3.1-4: at least 16 arcmin. 14.4 mm at 3 m is 16.5 arcmin."""
    largest = max(line.cap_mm for line in lines_of(render(PLAIN_TICKET))[0])
    assert largest == pytest.approx(14.4, abs=0.05)
    assert largest * 21600 / (6.283 * 3000) >= 16


@pytest.mark.parametrize("name", [name for name in EVERY if name.startswith(("ticket", "tag"))])
def test_no_letter_touches_a_rule(name: str) -> None:
    pdf = render(EVERY[name])
    for page, lines in zip(pdfium.PdfDocument(pdf), lines_of(pdf), strict=True):
        high = page.get_height()
        for path in page.get_objects(filter=[raw.FPDF_PAGEOBJ_PATH], max_depth=1):
            left, bottom, right, top = path.get_bounds()
            if (right - left) * POINT_MM < 80 or (top - bottom) * POINT_MM > 2:
                continue
            above = [line for line in lines if line.top * 1 < (high - top) * POINT_MM]
            near = max((line.bottom for line in above), default=0.0)
            assert near + 0.3 < (high - top) * POINT_MM, [line.text for line in above if line.bottom == near]


def test_warnings_wear_the_caution_sign() -> None:
    """ISO 15223-1, 5.4.4 caution: a triangle before the words, on the ticket and on the tag."""
    for name in ("ticket_full", "tag_full"):
        with_sign = sum(map(_paths, pdfium.PdfDocument(render(EVERY[name]))))
        none = {"ticket_full": {"warnings": ()}, "tag_full": {"warning": ""}}[name]
        assert with_sign > sum(map(_paths, pdfium.PdfDocument(render(replace(EVERY[name], **none)))))  # type: ignore[arg-type]


def _paths(page: pdfium.PdfPage) -> int:
    return sum(1 for _ in page.get_objects(filter=[raw.FPDF_PAGEOBJ_PATH], max_depth=1))
