"""The return ticket: part D travels with the piece, part C stays on the hold shelf; one number, one stock.

Letters by distance: the number 14.4 mm (83 arcmin at 60 cm), what to do 4.4 mm, nothing under 3.0 mm but the foot line.
"""

from collections.abc import Callable, Iterator, Sequence
from itertools import groupby

from reportlab.lib.units import mm
from reportlab.platypus import Flowable, NextPageTemplate, PageBreak, Table

from kiosk.codes.write import Matrix, number_code
from kiosk.core.papers import Mark, ReturnTicket
from kiosk.paper.page import TICKET_MM, Box, Form, Pen, Rule, count, largest, press
from kiosk.paper.parts import ALL, DataCode, PlaceForMark, fact, facts, signed, tight, whole
from kiosk.paper.symbols import MODULE_MM, QUIET_MM, Ring, draw_code
from kiosk.paper.tube import TubeStrip
from kiosk.paper.type import BOLD, CODE, HEAVY, LEAST_CAP_MM, REGULAR, fitted, height_of, paragraph, width_of

MARGIN_MM = 5.0
WIDTH_MM = TICKET_MM[0] - 2 * MARGIN_MM
BAND_MM = 26.2
FOOT_MM = 2.6  # of the foot line from the lower edge
NUMBER_MM, HEADER_MM, TODO_MM, SCOPE_MM, NAME_MM = 14.4, 4.0, 4.4, 8.6, 5.2
RULE_MM = 1.1  # least white on both sides of a rule: what hangs under a line of letters never touches it
SCOPE_LEAST_MM, RING_LEAST_MM = 5.4, 10.0  # the first decision of whoever reads it
SIDE_MM = 21 * MODULE_MM  # of the code, version 1
CODE_LEFT_MM = TICKET_MM[0] - QUIET_MM - SIDE_MM
CODE_TOP_MM = 108.75
BESIDE_MM = CODE_LEFT_MM - QUIET_MM - MARGIN_MM
AGAIN_MM = 5.6  # the number at the bottom
NUMBER_BASE_MM = 144.0
SIZES = tuple(n / 40 for n in range(40, 13, -1))  # of everything that may step down
PAGES_MOST = 4  # of either part


def draw_ticket(ticket: ReturnTicket) -> bytes:
    """Both parts as one PDF: each as large as one page allows, else on as few pages as it takes. Raises DoesNotFit.

    What is to be done stands on the first page wherever it can, even if all letters are then smaller.
    """
    code = number_code(ticket.code)
    form_d, form_c = _form("D", ticket, ticket.part_d, code), _form("C", ticket, ticket.part_c, code)
    part_d = _best(ticket, lambda size: list(_part_d(ticket, size)), form_d)
    first = _best(ticket, lambda size: list(_until_todo(ticket, size)), form_d)
    part_d = min(part_d, first)
    part_c = _best(ticket, lambda size: list(_part_c(ticket, size)), form_c)

    more = [PageBreak(), *_data(ticket)] if ticket.data else []
    story = [*_part_d(ticket, part_d), *more, NextPageTemplate("C"), PageBreak(), *_part_c(ticket, part_c)]
    return press(TICKET_MM, (form_d, form_c), story, _title(ticket))


def _best(ticket: ReturnTicket, part: Callable[[float], list[Flowable]], form: Form) -> float:
    """The largest size at which a part takes the fewest pages."""

    def pages(size: float) -> int:
        return count(TICKET_MM, [form], part(size), _title(ticket))

    return largest(SIZES, pages, PAGES_MOST, ticket.number)


def _title(ticket: ReturnTicket) -> str:
    return f"{ticket.header} {ticket.number}"


def _form(name: str, ticket: ReturnTicket, part: str, code: Matrix) -> Form:
    top, under = BAND_MM + 2.0, CODE_TOP_MM - QUIET_MM + 0.4
    upper = Box(left=MARGIN_MM, top=top, width=WIDTH_MM, height=under - top)
    beside = Box(left=MARGIN_MM, top=under, width=BESIDE_MM, height=_part_top(part) - under)
    return Form(id=name, frames=(upper, beside), draw=lambda pen: _frame(pen, ticket, part, code))


def _part_top(part: str) -> float:
    return NUMBER_BASE_MM - AGAIN_MM - 1.8 - height_of(paragraph(part, LEAST_CAP_MM, BOLD), BESIDE_MM)


def _frame(pen: Pen, ticket: ReturnTicket, part: str, matrix: Matrix) -> None:
    """What every page of the ticket has: the number on black, the code, the number again, which part, the foot."""
    pen.bar(0, 0, TICKET_MM[0], BAND_MM)
    room = WIDTH_MM - (width_of(ticket.foot.copy, LEAST_CAP_MM, HEAVY) + 3 if ticket.foot.copy else 0)
    header = fitted(ticket.header, HEADER_MM, room, HEAVY)
    pen.words(ticket.header, MARGIN_MM, 3.2 + HEADER_MM, header, HEAVY, inverted=True)
    if ticket.foot.copy:
        left = TICKET_MM[0] - MARGIN_MM - width_of(ticket.foot.copy, LEAST_CAP_MM, HEAVY)
        pen.words(ticket.foot.copy, left, 3.2 + HEADER_MM, LEAST_CAP_MM, HEAVY, inverted=True)
    number = fitted(ticket.number, NUMBER_MM, WIDTH_MM, HEAVY)
    pen.words(ticket.number, MARGIN_MM - number * 0.05, BAND_MM - 2.7, number, HEAVY, inverted=True)
    draw_code(pen.canvas, matrix, CODE_LEFT_MM, CODE_TOP_MM, pen.height)
    words = paragraph(part, LEAST_CAP_MM, BOLD)
    pen.block(words, MARGIN_MM, _part_top(part), BESIDE_MM)
    pen.words(ticket.number, MARGIN_MM, NUMBER_BASE_MM, AGAIN_MM, HEAVY)
    code = fitted(ticket.code_text, 3.4, SIDE_MM + QUIET_MM, CODE)
    left = TICKET_MM[0] - MARGIN_MM - width_of(ticket.code_text, code, CODE)
    pen.words(ticket.code_text, left, NUMBER_BASE_MM, code, CODE)
    pen.foot(ticket.header, ticket.number, ticket.foot, left=MARGIN_MM, right=MARGIN_MM, bottom=FOOT_MM)


def _part_d(ticket: ReturnTicket, size: float) -> Iterator[Flowable]:
    yield from _until_todo(ticket, size)
    cap = max(3.6 * size, LEAST_CAP_MM)
    for line in ticket.todo[1:]:
        yield from whole(_line(line, cap, BOLD, after=1), WIDTH_MM)
    yield from whole(facts(ticket.facts, LEAST_CAP_MM), WIDTH_MM)
    if len(ticket.marks) == 1 and ticket.how_found:
        yield _line(ticket.how_found, LEAST_CAP_MM)
    more = " ".join(filter(None, (*ticket.warnings, ticket.together, ticket.effort)))
    if more:
        words = _line(more, cap, BOLD, after=0.6)
        yield signed("caution", words, cap * 1.5) if ticket.warnings else words
    yield PlaceForMark([ticket.biohazard, ticket.receive])
    for strip in strips(ticket.marks, size, lump=ticket.ring == "found")[1:]:
        yield from whole(strip, WIDTH_MM)


def _until_todo(ticket: ReturnTicket, size: float) -> Iterator[Flowable]:
    """What, which, where, and the first line of what is to be done."""
    yield from _copy(ticket, size)
    yield _what(ticket, size)
    yield Rule(0.5, max(1.5 * size, RULE_MM))
    yield from _which(ticket, size)
    drawn = strips(ticket.marks, size, lump=ticket.ring == "found")
    for strip in drawn[:1]:
        yield from whole(strip, WIDTH_MM)
    one = len(ticket.marks) == 1  # then how it was found stands under the facts
    yield from places(ticket.marks, "" if one else ticket.how_found, drawn=bool(drawn))
    yield Rule(0.5, max(1.5 * size, RULE_MM))
    for line in ticket.todo[:1]:
        yield from whole(_line(line, max(TODO_MM * size, 3.2), HEAVY, after=1), WIDTH_MM)


def _data(ticket: ReturnTicket) -> Iterator[Flowable]:
    """A page of part D: the code that tells it all, where the network does not. Its band says that it is a copy."""
    yield _line(ticket.data_words, 3.6, HEAVY, after=1)
    yield DataCode(ticket.data)


def _part_c(ticket: ReturnTicket, size: float) -> Iterator[Flowable]:
    yield from _copy(ticket, size)
    yield _what(ticket, size)
    yield Rule(0.5, max(1.5 * size, RULE_MM))
    yield from _which(ticket, size)
    yield from places(ticket.marks, "")
    yield Rule(0.5, max(1.5 * size, RULE_MM))
    for line in ticket.c_lines:
        yield fact(line, max(3.6 * size, LEAST_CAP_MM), after=1)


def _copy(ticket: ReturnTicket, size: float) -> Iterator[Flowable]:
    """Of a copy, first of all: how the return went, that it was taken in, that this paper is only filed."""
    if ticket.copy_lines:
        text = f"{ticket.foot.copy}: {', '.join(ticket.copy_lines)}"
        yield _line(text, max(4.0 * size, LEAST_CAP_MM), HEAVY, after=1)


def _line(text: str, cap: float, face: str = REGULAR, *, after: float = 0.0) -> Flowable:
    return paragraph(text, cap, face, after=after)


def _what(ticket: ReturnTicket, size: float) -> Flowable:
    """The ring, and beside it: this piece or the whole tray, not clear, the findings' words."""
    ring = max(20 * size, RING_LEAST_MM)
    beside = WIDTH_MM - ring - 4
    scope = fitted(ticket.scope, max(SCOPE_MM * size, SCOPE_LEAST_MM), beside, HEAVY)
    word = min(fitted(ticket.not_clear, max(6.0 * size, 3.2), beside, HEAVY, lines=2), scope - 0.6)
    lines = [paragraph(ticket.scope, scope, HEAVY, pitch=1.32), paragraph(ticket.not_clear, word, HEAVY, pitch=1.4)]
    for said in ticket.said:
        cap = fitted(said, max(4.6 * size, LEAST_CAP_MM), beside, BOLD)
        lines.append(paragraph(said, cap, BOLD, pitch=1.45))
    return Table(
        [[Ring(ticket.ring, ring), lines]],
        colWidths=[(ring + 4) * mm, beside * mm],
        style=tight(("VALIGN", *ALL, "MIDDLE"), ("BOTTOMPADDING", *ALL, 0.6 * mm)),
    )


def _which(ticket: ReturnTicket, size: float) -> Iterator[Flowable]:
    for piece in ticket.pieces:
        yield paragraph(piece, _name_cap(piece, max(NAME_MM * size, LEAST_CAP_MM), size), HEAVY)
    yield paragraph(ticket.tray, max(3.4 * size, LEAST_CAP_MM), after=1)


def _name_cap(name: str, cap: float, size: float) -> float:
    """On one line if that leaves letters of 3.6 mm, else on two."""
    on_one = fitted(name, cap, WIDTH_MM, HEAVY, least=max(3.6 * size, LEAST_CAP_MM))
    return on_one if width_of(name, on_one, HEAVY) <= WIDTH_MM else fitted(name, cap, WIDTH_MM, HEAVY, lines=2)


def strips(marks: Sequence[Mark], size: float, *, lump: bool) -> list[TubeStrip]:
    """One strip for each lumen that has marks, in the order of the marks."""
    drawn = [mark for mark in marks if mark.lumen is not None]
    return [
        TubeStrip(tuple(here), numbered=len(marks) > 1, lump=lump, size=size)
        for _, here in groupby(drawn, key=lambda mark: mark.lumen)
    ]


def places(marks: Sequence[Mark], how_found: str, *, drawn: bool = False) -> Iterator[Flowable]:
    """Each place in words, with its flag's number where there are several; then how it was found.

    A single place that is written over its tube already (`drawn`) is not said twice.
    """
    if len(marks) == 1:
        on_strip = drawn and marks[0].lumen is not None and marks[0].place.at_mm is None
        words = " · ".join(filter(None, ("" if on_strip else marks[0].words, how_found)))
        if words:
            yield _line(words, LEAST_CAP_MM, after=0.25)
        return
    for mark in marks:
        yield _line(f"{mark.flag}  {mark.words}", LEAST_CAP_MM, BOLD, after=0.25)
    if how_found:
        yield _line(how_found, LEAST_CAP_MM, after=0.25)
