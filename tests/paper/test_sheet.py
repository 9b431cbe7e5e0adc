"""The tray sheet: everything that OR and the next tech read, in order, on one page up to 60 lines."""

from dataclasses import replace
from typing import Literal

import numpy as np
import pytest
import zxingcpp

from kiosk.core.papers import SheetLumen
from kiosk.paper.render import render
from tests.paper.invented import PLAIN_SHEET, sheet_with
from tests.paper.reading import lines_of, pages_of, words_of


@pytest.mark.parametrize("size", ["letter", "a4"])
def test_sixty_count_lines_stand_on_one_page(size: Literal["letter", "a4"]) -> None:
    pdf = render(sheet_with(60, 3), size=size)
    assert len(pages_of(pdf)) == 1


@pytest.mark.parametrize("size", ["letter", "a4"])
def test_a_tray_of_110_lines_and_12_lumens_loses_none(size: Literal["letter", "a4"]) -> None:
    sheet = sheet_with(110, 12)
    pdf = render(sheet, size=size)
    words = words_of(pdf)
    for line in {line.label for line in sheet.counts}:
        assert words.count(line) >= sum(line == other.label for other in sheet.counts), line
    for piece in sheet.pieces:
        assert piece.name in words
    assert 2 <= len(pages_of(pdf)) <= 4


def test_the_sizes_are_letter_and_a4() -> None:
    sizes = [pages_of(render(PLAIN_SHEET, size=size))[0].size for size in ("letter", "a4")]
    assert [(round(w / 8), round(h / 8)) for w, h in sizes] == [(216, 280), (210, 297)]


def test_what_was_not_seen_stands_in_words() -> None:
    words = words_of(render(PLAIN_SHEET))
    assert PLAIN_SHEET.not_seen in words
    assert "inside not seen: all" in words
    assert PLAIN_SHEET.headline in words
    assert PLAIN_SHEET.shares in words


def test_exceptions_come_before_counts_and_lumens_come_last() -> None:
    words = words_of(render(PLAIN_SHEET))
    order = [*PLAIN_SHEET.exceptions, PLAIN_SHEET.count_title, PLAIN_SHEET.counts[-1].label]
    order += [piece.name for piece in PLAIN_SHEET.pieces] + [*PLAIN_SHEET.checked_by, PLAIN_SHEET.signature]
    places = [words.index(part) for part in order]
    assert places == sorted(places)


def test_each_lumen_names_its_checks_and_its_result() -> None:
    words = words_of(render(PLAIN_SHEET))
    for piece in PLAIN_SHEET.pieces:
        for one in piece.lumens:
            assert f"{one.name}: {one.checks}" in words
            assert one.result in words


def test_the_sheets_code_is_read_from_the_page() -> None:
    page = pages_of(render(PLAIN_SHEET))[0]
    assert [code.text for code in zxingcpp.read_barcodes(page)] == [PLAIN_SHEET.code]


def test_letters_are_large_enough_for_the_hand() -> None:
    """NUREG-0700 1.3.1-4 and ISO 9241-3: 16 arcmin or more; 1.9 mm at 40 cm is 16.3 arcmin."""
    caps = [line.cap_mm for page in lines_of(render(PLAIN_SHEET)) for line in page]
    read = [cap for cap in caps if cap > 1.5]  # the cautions and the foot are 6 pt
    assert min(read) * 21600 / (6.283 * 400) >= 16


def test_a_long_name_does_not_push_the_head_into_the_box_of_exceptions() -> None:
    page = lines_of(render(sheet_with(10, 1)))[0]
    share = next(line for line in page if line.text == PLAIN_SHEET.shares)
    exception = next(line for line in page if line.text == PLAIN_SHEET.exceptions[0])
    assert share.bottom + 1.2 < exception.top


def test_a_small_tray_has_larger_letters_and_never_a_page_more_for_it() -> None:
    small, large = (lines_of(render(sheet_with(n, 1))) for n in (6, 60))
    caps = [max(line.cap_mm for line in pages[0] if line.text == "Clamp, curved") for pages in (small, large)]
    assert len(small) == 1
    assert caps[0] > 1.2 * caps[1] >= 1.2 * 1.89


def test_the_stretch_that_nobody_looked_at_is_black_on_its_tube_and_no_other() -> None:
    tray = replace(PLAIN_SHEET, pieces=PLAIN_SHEET.pieces[1:2])  # a blind way of 128 mm, 32 mm of it not seen
    seen = replace(tray, pieces=tuple(replace(p, lumens=tuple(_seen(one) for one in p.lumens)) for p in tray.pieces))
    dark, bright = (np.array(pages_of(render(each))[0]) == 0 for each in (tray, seen))
    only = np.argwhere(dark & ~bright)
    (top, left), (bottom, right) = only.min(axis=0), only.max(axis=0)
    assert (right - left) / 8 == pytest.approx(32 / 3, abs=0.6)  # drawn at one third
    assert (bottom - top) / 8 < 6


def _seen(one: SheetLumen) -> SheetLumen:
    return replace(one, dark=None)


def test_the_load_and_the_cautions_wear_their_signs() -> None:
    """ISO 15223-1, 5.1.5 batch code; the words stand beside it."""
    words = words_of(render(PLAIN_SHEET))
    assert "LOT" in words
    assert words.index("LOT") < words.index("Washer load")
    plain = replace(PLAIN_SHEET, facts=tuple(replace(line, symbol="") for line in PLAIN_SHEET.facts))
    assert "LOT" not in words_of(render(plain))
