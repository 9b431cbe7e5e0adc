"""Papers are laid out the short way: held here against the long way of the same general-purpose PDF library."""

from io import BytesIO
from random import Random
from typing import Any
from xml.sax.saxutils import escape

import pypdf
import pytest
from reportlab.lib.units import mm
from reportlab.pdfbase.ttfonts import TTFont
from reportlab.pdfgen.canvas import Canvas
from reportlab.platypus import Flowable, Paragraph

from kiosk.core.papers import SheetLine
from kiosk.paper.page import Box, DoesNotFit, Form, Pen, count, largest, press
from kiosk.paper.parts import fact
from kiosk.paper.type import BOLD, HEAVY, PITCH, REGULAR, fitted, loaded, paragraph, points, width_of
from kiosk.places import RESOURCES
from tests.paper.invented import LONG_ITEM, LONG_TRAY, UNBROKEN
from tests.paper.reading import pages_of

TEXTS = (
    LONG_ITEM, LONG_TRAY, UNBROKEN, "one", "two words", "a \u00b7 b", "5 < 6 & 7", "no\u00a0break here",
    "soft\u00adhyphen in a long word", "  white   space  ", "line\nbreak", "",
)  # fmt: skip
PAGE = (100.0, 60.0)


def _lines(part: Any, width: float) -> tuple[list[list[str]], float]:
    """The words of each line, and how high all stand in points."""
    _, high = part.wrap(width * mm, 1e6)
    runs = part.blPara.kind == 1  # several runs of letters in a line
    lines = part.blPara.lines
    return [[run.text for run in line.words] if runs else [str(word) for word in line[1]] for line in lines], float(
        high
    )


@pytest.mark.parametrize("text", TEXTS)
@pytest.mark.parametrize("face", [REGULAR, BOLD, HEAVY])
def test_words_break_where_the_library_breaks_them(text: str, face: str) -> None:
    """The long way: the library's own parser and its own counting out of words."""
    for cap in (1.9, 3.0, 5.2):
        for width in (8.0, 20.0, 33.3, 60.0, width_of(text, cap, face), width_of(text, cap, face) + 0.01, 400.0):
            ours = paragraph(text, cap, face)
            assert _lines(ours, max(width, 1)) == _lines(Paragraph(escape(text), ours.style), max(width, 1))


def test_a_line_is_as_wide_as_the_library_says() -> None:
    for face in (REGULAR, HEAVY):
        plain = TTFont(face, str(RESOURCES / "fonts" / f"{face}.ttf"))
        for text in TEXTS * 2:  # the second time from what is known
            assert width_of(text, 3.1, face) == plain.stringWidth(text, points(3.1)) / mm


def test_a_fact_looks_as_it_does_by_the_librarys_markup() -> None:
    lines = [
        SheetLine(label="Washer load", value="W-9114, W-9120", note="and one more"),
        SheetLine(label="", value="alone & <bold>"),
        SheetLine(label="A label without a value", value="", note="its note"),
        SheetLine(label=LONG_TRAY, value=UNBROKEN, note=LONG_ITEM),
    ]
    for line in lines:
        value = f'<font name="{loaded(BOLD)}">{escape(line.value)}</font>' if line.value else ""
        markup = " ".join(filter(None, (escape(line.label), value, escape(line.note))))
        ours, theirs = (_picture(part) for part in (fact(line, 3.0), Paragraph(markup, paragraph("", 3.0).style)))
        assert ours == theirs, line


def _picture(part: Flowable) -> bytes:
    out = BytesIO()
    canvas = Canvas(out, pagesize=(PAGE[0] * mm, PAGE[1] * mm))
    _, high = part.wrap(80 * mm, 1e6)
    part.drawOn(canvas, 10 * mm, 55 * mm - high)
    canvas.save()
    (page,) = pages_of(out.getvalue())
    assert page.getextrema() == (0, 255)
    return page.tobytes()


def test_the_letters_that_fit_are_those_found_by_trying_each_size() -> None:
    for text in filter(str.strip, TEXTS):
        for width in (12.0, 30.0, 55.0, 90.0):
            for lines in (1, 2):
                cap = 8.6
                while cap > 3.0:
                    part = Paragraph(escape(text), paragraph("", cap, HEAVY).style)
                    high = part.wrap(width * mm, 1e6)[1] / mm
                    whole = all(width_of(word, cap, HEAVY) <= width for word in text.split())
                    if whole and high <= (lines + 0.5) * cap * PITCH:
                        break
                    cap = round(cap - 0.1, 3)
                assert fitted(text, 8.6, width, HEAVY, lines=lines) == max(cap, 3.0), (text, width, lines)


def _form(drawn: list[tuple[int, int]]) -> Form:
    def draw(pen: Pen) -> None:
        drawn.append((pen.page, pen.of))

    return Form(id="page", frames=(Box(left=10, top=5, width=80, height=50),), draw=draw)


@pytest.mark.parametrize("parts", [1, 7, 12, 40])
def test_pages_that_are_only_counted_are_as_many_as_are_printed(parts: int) -> None:
    def story() -> list[Flowable]:
        return [paragraph(f"{n} {TEXTS[n % 5]}", 3.0, after=1) for n in range(parts)]

    drawn: list[tuple[int, int]] = []
    pdf = press(PAGE, [_form(drawn)], story(), "counted")
    printed = len(pypdf.PdfReader(BytesIO(pdf)).pages)
    assert count(PAGE, [_form([])], story(), "counted") == printed
    assert drawn == [(n + 1, printed) for n in range(printed)]


def test_what_is_larger_than_a_page_is_refused_when_counted_and_when_printed() -> None:
    class Tall(Flowable):
        def wrap(self, width: float, _height: float) -> tuple[float, float]:
            return width, 70 * mm

    for make in (count, press):
        with pytest.raises(DoesNotFit, match="larger than a page"):
            make(PAGE, [_form([])], [Tall()], "tall")


def test_the_largest_letters_with_the_fewest_pages_are_found_as_by_trying_all() -> None:
    chance = Random(20310506)
    for _ in range(300):
        sizes = tuple(n / 10 for n in range(chance.randint(2, 20), 0, -1))
        pages = sorted((chance.randint(1, 4) for _ in sizes), reverse=True)
        at = dict(zip(sizes, pages, strict=True))
        assert largest(sizes, at.__getitem__, 4, "T-1") == max(size for size in sizes if at[size] == pages[-1])
    with pytest.raises(DoesNotFit, match="more than 1 pages"):
        largest((2.0, 1.0), lambda _: 2, 1, "T-1")
