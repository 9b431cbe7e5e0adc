"""A paper of the desk: read aloud from the top, nothing lost over the pages, no name of it cut away."""

from typing import Literal

import pytest

from kiosk.paper.render import render
from tests.paper.invented_reports import COPY, MANY, PLAIN
from tests.paper.reading import lines_of, pages_of, words_of


@pytest.mark.parametrize("size", ["letter", "a4"])
def test_every_line_of_a_long_report_stands_on_one_of_its_pages(size: Literal["letter", "a4"]) -> None:
    pdf = render(MANY, size=size)
    words = words_of(pdf)
    for line in MANY.sections[1].lines:
        assert line.label in words
        assert line.value in words
        assert line.note in words
    assert len(pages_of(pdf)) >= 4


def test_every_page_names_the_paper_and_its_number() -> None:
    for page in lines_of(render(MANY)):
        texts = [line.text for line in page if line.top < 30]
        assert any(MANY.title in text for text in texts)
        assert any(MANY.number in text for text in texts)


def test_what_is_read_aloud_comes_first_and_largest_of_the_text() -> None:
    page = lines_of(render(PLAIN))[0]
    aloud = [line for line in page if line.text in PLAIN.headline]
    rows = [line for line in page if line.text in {"Opened", "Trays", "Figures stand as counted at 15:00."}]
    assert len(aloud) == 2
    assert len(rows) == 3
    assert max(line.bottom for line in aloud) < min(line.top for line in rows)
    assert min(line.cap_mm for line in aloud) > max(line.cap_mm for line in rows)


def test_a_figure_stands_on_the_line_of_its_words() -> None:
    page = lines_of(render(PLAIN))[0]
    label = next(line for line in page if line.text == "Opened")
    value = next(line for line in page if line.text == "41")
    assert abs(label.top - value.top) < 1
    assert value.left > label.right


def test_a_section_that_wants_its_own_page_begins_one() -> None:
    first, second = lines_of(render(PLAIN))
    assert "How counted" not in " ".join(line.text for line in first)
    assert "How counted" in " ".join(line.text for line in second)


def test_long_names_are_wrapped_and_kept_whole() -> None:
    words = words_of(render(COPY)).replace(" ", "")
    for part in (COPY.title, COPY.about, *COPY.headline, *(line.label for line in COPY.sections[0].lines)):
        assert part.replace(" ", "") in words


def test_a_copy_says_so_in_letters_that_are_read() -> None:
    page = lines_of(render(COPY))[0]
    assert any("COPY 2" in line.text and line.cap_mm >= 3.0 for line in page)


def test_the_lines_to_sign_on_come_last_and_stay_together() -> None:
    page = lines_of(render(COPY))[-1]
    signs = [line for line in page if line.text in COPY.signature]
    assert len(signs) == 2
    others = [line for line in page if line.text not in COPY.signature and line.cap_mm >= 2.9]
    assert min(line.top for line in signs) > max(line.bottom for line in others)
