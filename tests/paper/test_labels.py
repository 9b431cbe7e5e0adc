"""The package label and the tags."""

from dataclasses import replace

import numpy as np
import pytest
import zxingcpp

from kiosk import resources
from kiosk.paper.label import BESIDE_MM, name_cap
from kiosk.paper.page import DoesNotFit
from kiosk.paper.render import render
from kiosk.paper.type import BOLD, LEAST_CAP_MM, width_of
from tests.paper.invented import FULL_LABEL, FULL_TAG, PLAIN_LABEL, PLAIN_TAG
from tests.paper.reading import lines_of, pages_of, words_of


def test_the_trays_name_can_be_read_at_two_meters() -> None:
    """ISO 9241-3 and NUREG-0700 1.3.1-4: 16 arcmin; height = 6.283 x distance x arcmin / 21600 = 9.3 mm."""
    least = 6.283 * 2000 * 16 / 21600
    largest = max(line.cap_mm for line in lines_of(render(PLAIN_LABEL))[0])
    assert largest == pytest.approx(least, abs=0.02)
    assert name_cap(PLAIN_LABEL.tray_name) == pytest.approx(least, abs=0.02)


def test_a_long_name_keeps_all_its_letters() -> None:
    words = words_of(render(FULL_LABEL))
    assert FULL_LABEL.tray_name in words
    assert FULL_LABEL.number in words


@pytest.mark.parametrize("label", [PLAIN_LABEL, FULL_LABEL])
def test_the_label_has_all_its_words_and_its_blanks(label: object) -> None:
    label = FULL_LABEL if label is FULL_LABEL else PLAIN_LABEL
    words = words_of(render(label))
    wanted = [label.tray_code, label.number, label.packed, label.care, *label.alerts, *label.blanks]
    for phrase in [*wanted, *(line.value for line in label.facts)]:
        assert phrase in words, phrase


@pytest.mark.parametrize("language", ["en", "es"])
def test_each_box_for_the_sterilizer_side_holds_its_name_with_room_to_write(language: str) -> None:
    names = resources.words(language).lines("paper.label.blanks")
    wide = [width_of(name, LEAST_CAP_MM, BOLD) for name in names]
    assert sum(wide) + len(names) * 2.4 <= BESIDE_MM


def test_alerts_are_white_on_black() -> None:
    pdf = render(PLAIN_LABEL)
    page = np.array(pages_of(pdf)[0])
    for line in lines_of(pdf)[0]:
        if line.text in PLAIN_LABEL.alerts:
            row = int((line.top + line.bottom) / 2 * 8)
            assert (page[row, int((line.left - 1.5) * 8) : int((line.left - 0.5) * 8)] == 0).all()


def test_a_label_that_can_not_hold_its_words_is_refused() -> None:
    with pytest.raises(DoesNotFit):
        render(replace(PLAIN_LABEL, alerts=tuple(f"HOUSE ALERT NUMBER {n}" for n in range(9))))


@pytest.mark.parametrize("paper", [PLAIN_LABEL, FULL_LABEL, PLAIN_TAG, FULL_TAG])
def test_the_code_is_read_from_the_page(paper: object) -> None:
    known = next(one for one in (PLAIN_LABEL, FULL_LABEL, PLAIN_TAG, FULL_TAG) if one is paper)
    for page in pages_of(render(known)):
        assert [code.text for code in zxingcpp.read_barcodes(page)] == [known.code]


def test_a_tag_says_what_it_is_before_anything_else() -> None:
    for tag in (PLAIN_TAG, FULL_TAG):
        words = words_of(render(tag))
        order = [words.index(part) for part in (tag.title, tag.number, tag.warning, tag.state, tag.piece[:20])]
        assert order == sorted(order) or not tag.warning
        for phrase in (tag.state, tag.tray, *tag.said, *(mark.words for mark in tag.marks)):
            assert phrase in words, phrase
