"""Repair and quarantine tags: hang on the lidded bin, not on the item."""

from collections.abc import Callable, Iterator

from reportlab.platypus import Flowable, Paragraph

from kiosk.codes.write import qr
from kiosk.core.papers import Tag
from kiosk.paper.page import TICKET_MM, Box, Form, Pen, Rule, count, largest, press
from kiosk.paper.parts import fact, signed, whole
from kiosk.paper.symbols import MODULE_MM, QUIET_MM, draw_code
from kiosk.paper.ticket import RULE_MM, SIZES, places, strips
from kiosk.paper.type import BOLD, CAPITAL_EM, CODE, HEAVY, LEAST_CAP_MM, fitted, height_of, paragraph, width_of

MARGIN_MM = 5.0
WIDTH_MM = TICKET_MM[0] - 2 * MARGIN_MM
NUMBER_MM = 9.5
FOOT_MM = 2.6
BOTTOM_MM = 144.0  # baseline of the last line of letters
PAGES_MOST = 2


def draw_tag(tag: Tag) -> bytes:
    """The tag as a PDF, as large as one page allows; a second page at most. Raises DoesNotFit.

    What it is, why and where stand on the first page wherever they can.
    """
    forms, title = (_form(tag),), f"{tag.title} {tag.number}"

    def best(story: Callable[[Tag, float], Iterator[Flowable]]) -> float:
        return largest(SIZES, lambda size: count(TICKET_MM, forms, list(story(tag, size)), title), PAGES_MOST, title)

    size = min(best(_story), best(_until_where))
    return press(TICKET_MM, forms, list(_story(tag, size)), title)


def _form(tag: Tag) -> Form:
    side = len(qr(tag.code)) * MODULE_MM
    code_top = BOTTOM_MM - LEAST_CAP_MM - QUIET_MM - side
    upper_end = code_top - QUIET_MM + 0.4
    top = _band(tag) + 2
    frames = (
        Box(left=MARGIN_MM, top=top, width=WIDTH_MM, height=upper_end - top),
        Box(left=MARGIN_MM, top=upper_end, width=WIDTH_MM - side - QUIET_MM, height=BOTTOM_MM - upper_end),
    )
    return Form(id="tag", frames=frames, draw=lambda pen: _frame(pen, tag, side, code_top))


def _title_cap(tag: Tag) -> float:
    return fitted(tag.title, 9.0, WIDTH_MM, HEAVY, lines=2)


def _title(tag: Tag) -> Paragraph:
    return paragraph(tag.title, _title_cap(tag), HEAVY, inverted=True, pitch=1.35)


def _band(tag: Tag) -> float:
    return MARGIN_MM + height_of(_title(tag), WIDTH_MM) + NUMBER_MM + 3


def _frame(pen: Pen, tag: Tag, side: float, code_top: float) -> None:
    band = _band(tag)
    pen.bar(0, 0, TICKET_MM[0], band)
    above = _title_cap(tag) * (1 / CAPITAL_EM - 1)  # white over the capitals of the first line
    pen.block(_title(tag), MARGIN_MM, MARGIN_MM - above, WIDTH_MM)
    number = fitted(tag.number, NUMBER_MM, WIDTH_MM, HEAVY)
    pen.words(tag.number, MARGIN_MM, band - 3, number, HEAVY, inverted=True)
    right = TICKET_MM[0] - MARGIN_MM
    draw_code(pen.canvas, qr(tag.code), right - side, code_top, pen.height)
    cap = fitted(tag.number, 3.4, side + QUIET_MM, CODE)
    pen.words(tag.number, right - width_of(tag.number, cap, CODE), BOTTOM_MM, cap, CODE)
    pen.foot(tag.title, tag.number, tag.foot, left=MARGIN_MM, right=MARGIN_MM, bottom=FOOT_MM)


def _story(tag: Tag, size: float) -> Iterator[Flowable]:
    yield from _until_where(tag, size)
    for line in tag.facts:
        yield fact(line, max(3.6 * size, LEAST_CAP_MM), after=0.8)
    for strip in strips(tag.marks, size, lump=False)[1:]:
        yield from whole(strip, WIDTH_MM)


def _until_where(tag: Tag, size: float) -> Iterator[Flowable]:
    """What it is, what not to do, which piece, why, and where on it."""
    if tag.warning:
        cap = fitted(tag.warning, 6.4 * size, WIDTH_MM - 9, HEAVY, lines=2)
        yield signed("caution", paragraph(tag.warning, cap, HEAVY, after=1), min(cap * 1.4, 7.0))
    yield paragraph(tag.state, max(4.6 * size, LEAST_CAP_MM), HEAVY, after=0.6)
    yield Rule(0.5, max(1.5 * size, RULE_MM))
    yield paragraph(tag.piece, fitted(tag.piece, max(5.2 * size, LEAST_CAP_MM), WIDTH_MM, HEAVY, lines=2), HEAVY)
    yield paragraph(tag.tray, max(3.4 * size, LEAST_CAP_MM), after=1)
    for said in tag.said:
        yield paragraph(said, max(4.4 * size, LEAST_CAP_MM), BOLD)
    for strip in strips(tag.marks, size, lump=False)[:1]:
        yield from whole(strip, WIDTH_MM)
    yield from places(tag.marks, "")
    yield Rule(0.5, max(1.5 * size, RULE_MM))
