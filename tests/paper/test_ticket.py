"""The return ticket: what decontam reads first, where to look on the tube, and a code that stands wear."""

from dataclasses import replace
from decimal import Decimal

import numpy as np
import pytest
import zxingcpp
from PIL import Image, ImageFilter
from pyzbar import pyzbar

from kiosk import resources
from kiosk.core.catalogue import Lumen
from kiosk.core.papers import ReturnTicket
from kiosk.core.place import Place
from kiosk.paper.page import DoesNotFit
from kiosk.paper.render import render
from tests.codes.test_ticket_code import card, written
from tests.paper.invented import FULL_TICKET, PLAIN_TICKET, SUCTION, at
from tests.paper.reading import DOTS_PER_MM, creased, lines_of, pages_of, stained, words_of

MODULES = 21  # ISO/IEC 18004: version 1
MODULE_DOTS = 10


def test_both_parts_carry_the_same_number_at_top_and_bottom() -> None:
    pages = lines_of(render(PLAIN_TICKET))
    assert len(pages) == 2
    for page in pages:
        numbers = [line for line in page if line.text == PLAIN_TICKET.number]
        assert [line.top < 30 for line in numbers] == [True, False]


@pytest.mark.parametrize("ticket", [PLAIN_TICKET, FULL_TICKET])
def test_piece_or_tray_is_in_the_largest_letters_after_the_number(ticket: object) -> None:
    ticket = FULL_TICKET if ticket is FULL_TICKET else PLAIN_TICKET
    page = lines_of(render(ticket))[0]
    scope = next(line for line in page if line.text == ticket.scope)
    assert all(line.cap_mm < scope.cap_mm for line in page if line.text not in (ticket.scope, ticket.number))


def test_each_word_of_the_ticket_is_on_it() -> None:
    for ticket in (PLAIN_TICKET, FULL_TICKET):
        words = words_of(render(ticket)).replace(" · ", " ")
        wanted = [ticket.header, ticket.scope, *ticket.said, *ticket.todo, ticket.together, *ticket.warnings]
        wanted += [ticket.effort, ticket.how_found, ticket.receive, ticket.part_d, ticket.part_c, ticket.code_text]
        wanted += [mark.words for mark in ticket.marks] + [line.value for line in ticket.facts]
        for phrase in wanted:
            assert phrase.replace(" · ", " ") in words, phrase


def test_a_plain_ticket_is_one_page_for_each_part() -> None:
    assert len(pages_of(render(PLAIN_TICKET))) == 2


def test_the_place_is_drawn_with_its_centimeters_from_the_entry() -> None:
    words = words_of(render(replace(PLAIN_TICKET, marks=(at(1, SUCTION, 135),))))
    assert "13.5 cm" in words
    assert "ENTRY" in words
    assert "drawn at one third" in words


def test_the_flag_stands_at_its_share_of_the_drawn_length() -> None:
    """13 cm of a 24 cm tube drawn at one third of its size: 43.3 mm from the entry."""
    page = lines_of(render(PLAIN_TICKET))[0]
    entry = next(line for line in page if line.text == "ENTRY").left
    image = np.array(pages_of(render(PLAIN_TICKET))[0])
    label = next(line for line in page if line.text == "13 cm")
    row = int((label.top + 0.5) * DOTS_PER_MM)
    after = image[row, int((label.right + 1) * DOTS_PER_MM) :] == 0
    flag = int(label.right * DOTS_PER_MM) + DOTS_PER_MM + int(np.argmax(after))
    assert flag / DOTS_PER_MM - entry == pytest.approx(130 / 3, abs=1.0)


def test_a_named_place_without_a_measure_stands_in_words() -> None:
    lumen = Lumen(name="inner tube", inside_mm=Decimal("3.2"), length_mm=Decimal(130))
    place = "window teeth, inner tube"
    mark = replace(at(1, lumen, 0), place=Place(lumen="inner tube", landmark="window teeth"), words=place)
    ticket = replace(PLAIN_TICKET, marks=(mark,), together="both tubes of the pair")
    words = words_of(render(ticket))
    assert place in words
    assert "both tubes of the pair" in words


def test_a_ticket_that_would_take_too_many_pages_is_refused() -> None:
    with pytest.raises(DoesNotFit, match="pages"):
        render(replace(PLAIN_TICKET, todo=("Clean every part of it again. " * 12,) * 14))


def _code_of(page: Image.Image) -> Image.Image:
    """The code with its quiet zone, as cut from the page."""
    dark = np.array(page.crop((500, 800, 813, 1090))) < 128
    rows, columns = np.nonzero(dark)
    left, top = columns.max() - MODULES * MODULE_DOTS + 1 + 500, rows.max() + 1 + 800 - MODULES * MODULE_DOTS
    return page.crop((left - 40, top - 40, left + 250, top + 250))


def test_the_code_has_modules_of_ten_dots_and_four_modules_of_white() -> None:
    """ISO/IEC 18004: a quiet zone of 4 modules on every side."""
    code = np.array(_code_of(pages_of(render(PLAIN_TICKET))[0])) < 128
    assert code.shape == (290, 290)
    rows, columns = np.nonzero(code)
    for ends in ((rows.min(), rows.max() + 1), (columns.min(), columns.max() + 1)):
        assert ends == (pytest.approx(40, abs=1), pytest.approx(250, abs=1))
    finder = np.flatnonzero(np.diff(code[75].astype(int)))  # through the middle of the upper left finder
    assert np.diff(finder)[:4].tolist() == pytest.approx([10, 30, 10, 10], abs=1) or np.diff(finder)[
        0
    ] == pytest.approx(10, abs=1)


@pytest.mark.parametrize("ticket", [PLAIN_TICKET, FULL_TICKET])
def test_both_readers_read_the_code_from_every_page(ticket: object) -> None:
    ticket = FULL_TICKET if ticket is FULL_TICKET else PLAIN_TICKET
    for page in pages_of(render(ticket)):
        assert [code.data.decode() for code in pyzbar.decode(page)] == [ticket.code]
        assert [code.text for code in zxingcpp.read_barcodes(page)] == [ticket.code]


@pytest.mark.parametrize("language", ["en", "es"])
@pytest.mark.parametrize("findings", [1, 10, 20])
@pytest.mark.parametrize("ticket", [PLAIN_TICKET, FULL_TICKET])
def test_the_data_code_has_a_page_of_its_own_on_every_ticket_also_on_a_copy(
    ticket: ReturnTicket, findings: int, language: str
) -> None:
    """Twenty findings are the most that a code carries. Read by zxing-cpp, at 203 dots an inch."""
    text = written(card(findings))
    words = resources.words(language).say("paper.ticket.data")
    bare, pages = pages_of(render(ticket)), pages_of(render(replace(ticket, data=text, data_words=words)))
    assert len(pages) == len(bare) + 1
    read = [{code.text for code in zxingcpp.read_barcodes(page)} for page in pages]
    assert read.count({ticket.code, text}) == 1
    assert read.count({ticket.code}) == len(bare)


def _reads(image: Image.Image, code: str) -> bool:
    """What the kiosk does: one reader, and where it cannot, the other."""
    found = {symbol.data.decode() for symbol in pyzbar.decode(image)}
    return code in found or code in {symbol.text for symbol in zxingcpp.read_barcodes(image)}


@pytest.mark.slow
@pytest.mark.parametrize(("wear", "least"), [("blur", 1.0), ("crease", 0.6), ("stain", 0.9), ("all", 0.9)])
def test_the_code_reads_after_wear(wear: str, least: float) -> None:
    """Simulated, 60 tries from one seed: a blur of a third of a module, a drop of 3 mm, a fold pulled in by 0.25 mm
    with its ink cracked off 0.4 mm wide.

    Measured when written: blur 60, crease 42, stain 60, all three 60 of 60. A crack in sharp ink is the hardest: the
    same crease reads once the picture is softer.
    """
    rng = np.random.default_rng(2031)
    code = _code_of(pages_of(render(PLAIN_TICKET))[0])
    tries, read = 60, 0
    for _ in range(tries):
        image = code
        if wear in ("stain", "all"):
            image = stained(image, rng)
        if wear in ("crease", "all"):
            image = creased(image, rng)
        soft = MODULE_DOTS / (3 if wear in ("blur", "all") else 6)  # no camera is sharper than a sixth of a module
        image = image.filter(ImageFilter.GaussianBlur(soft))
        read += _reads(image, PLAIN_TICKET.code)
    assert read / tries >= least, f"{read} of {tries} read"
