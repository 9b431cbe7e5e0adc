"""The return ticket: part D travels with the piece, part C stays on the hold shelf; one number, one stock.

Letters by distance: the number 14.4 mm (83 arcmin at 60 cm), what to do 4.4 mm, nothing under 3.0 mm but the foot line.
"""

from collections.abc import Iterator, Sequence
from itertools import groupby

from reportlab.lib.units import mm
from reportlab.platypus import Flowable, NextPageTemplate, PageBreak, Table

from kiosk.core.papers import Mark, ReturnTicket
from kiosk.paper.matrix import square
from kiosk.paper.page import TICKET_MM, Box, DoesNotFit, Form, Pen, Rule, press
from kiosk.paper.parts import TIGHT, Facts, PlaceForMark, whole
from kiosk.paper.symbols import MODULE_MM, QUIET_MM, Ring, draw_code
from kiosk.paper.tube import TubeStrip
from kiosk.paper.type import BOLD, CODE, HEAVY, LEAST_CAP_MM, REGULAR, fitted, paragraph, width_of

MARGIN_MM = 5.0
WIDTH_MM = TICKET_MM[0] - 2 * MARGIN_MM
BAND_MM = 28.5
FOOT_MM = 3.0  # of the foot line from the lower edge
NUMBER_MM, HEADER_MM, TODO_MM, SCOPE_MM, NAME_MM = 14.4, 4.4, 4.4, 9.0, 5.2
SIDE_MM = 21 * MODULE_MM  # of the code, version 1
CODE_LEFT_MM = TICKET_MM[0] - QUIET_MM - SIDE_MM
CODE_TOP_MM = 108.75
BESIDE_MM = CODE_LEFT_MM - QUIET_MM - MARGIN_MM
AGAIN_MM = 5.6  # the number at the bottom
NUMBER_BASE_MM = 143.4
SIZES = (1.0, 0.95, 0.9, 0.85, 0.8, 0.75, 0.7)
PAGES_MOST = 4  # of part D


def draw_ticket(ticket: ReturnTicket) -> bytes:
    """Both parts as one PDF: as large as one page of part D allows, else as few pages as it takes. Raises DoesNotFit."""
    tries = ((size, _pressed(ticket, size)) for size in SIZES)
    best: tuple[int, bytes] | None = None
    for _, (pdf, forms) in tries:
        pages = forms.count("D")
        if pages == 1:
            return pdf
        if best is None or pages < best[0]:
            best = pages, pdf
    if best is None or best[0] > PAGES_MOST:
        raise DoesNotFit(f"{ticket.number} needs more than {PAGES_MOST} pages")
    return best[1]


def _pressed(ticket: ReturnTicket, size: float) -> tuple[bytes, list[str]]:
    top = BAND_MM + 2.5
    upper = Box(left=MARGIN_MM, top=top, width=WIDTH_MM, height=CODE_TOP_MM - QUIET_MM + 2 - top)
    under = CODE_TOP_MM - QUIET_MM + 2
    beside = Box(left=MARGIN_MM, top=under, width=BESIDE_MM, height=_part_top() - under)
    forms = (
        Form(id="D", frames=(upper, beside), draw=lambda pen: _frame(pen, ticket, ticket.part_d)),
        Form(id="C", frames=(upper, beside), draw=lambda pen: _frame(pen, ticket, ticket.part_c)),
    )

    def story() -> list[Flowable]:
        return [*_part_d(ticket, size), NextPageTemplate("C"), PageBreak(), *_part_c(ticket, size)]

    return press(TICKET_MM, forms, story, f"{ticket.header} {ticket.number}")


def _part_top() -> float:
    return CODE_TOP_MM + SIDE_MM + 1.5 - LEAST_CAP_MM - 2


def _frame(pen: Pen, ticket: ReturnTicket, part: str) -> None:
    """What every page of the ticket has: the number on black, the code, the number again, which part, the foot."""
    pen.bar(0, 0, TICKET_MM[0], BAND_MM)
    room = WIDTH_MM - (width_of(ticket.foot.copy, LEAST_CAP_MM, HEAVY) + 3 if ticket.foot.copy else 0)
    header = fitted(ticket.header, HEADER_MM, room, HEAVY)
    pen.words(ticket.header, MARGIN_MM, 4 + HEADER_MM, header, HEAVY, inverted=True)
    if ticket.foot.copy:
        left = TICKET_MM[0] - MARGIN_MM - width_of(ticket.foot.copy, LEAST_CAP_MM, HEAVY)
        pen.words(ticket.foot.copy, left, 4 + HEADER_MM, LEAST_CAP_MM, HEAVY, inverted=True)
    number = fitted(ticket.number, NUMBER_MM, WIDTH_MM, HEAVY)
    pen.words(ticket.number, MARGIN_MM - number * 0.08, BAND_MM - 3, number, HEAVY, inverted=True)
    side = draw_code(pen.canvas, square(ticket.code), CODE_LEFT_MM, CODE_TOP_MM, pen.height)
    bottom = CODE_TOP_MM + side
    pen.words(part, MARGIN_MM, bottom + 1.0, LEAST_CAP_MM, BOLD)
    pen.words(ticket.number, MARGIN_MM, NUMBER_BASE_MM, AGAIN_MM, HEAVY)
    code = fitted(ticket.code_text, 3.4, SIDE_MM + QUIET_MM, CODE)
    left = CODE_LEFT_MM + (side - width_of(ticket.code_text, code, CODE)) / 2
    pen.words(ticket.code_text, left, NUMBER_BASE_MM, code, CODE)
    pen.foot(ticket.header, ticket.number, ticket.foot, left=MARGIN_MM, right=MARGIN_MM, bottom=FOOT_MM)


def _part_d(ticket: ReturnTicket, size: float) -> Iterator[Flowable]:
    yield _what(ticket, size)
    yield Rule(0.5, 1.6 * size)
    yield from _which(ticket, size)
    strip, *more = strips(ticket.marks, size, lump=ticket.ring == "found") or [None]
    if strip:
        yield from whole(strip, WIDTH_MM)
    yield from _said_of(ticket.marks, ticket.how_found)
    yield Rule(0.5, 1.6 * size)
    for number, line in enumerate(ticket.todo):
        cap = TODO_MM * size if number == 0 else 3.6 * size
        yield _line(line, max(cap, LEAST_CAP_MM), HEAVY if number == 0 else BOLD, after=1)
    for line in filter(None, (ticket.together, *ticket.warnings, ticket.effort)):
        yield _line(line, max(3.6 * size, LEAST_CAP_MM), BOLD, after=0.6)
    yield Facts(ticket.facts)
    if ticket.biohazard:
        yield PlaceForMark(ticket.biohazard)
    yield _line(ticket.receive, LEAST_CAP_MM)
    for strip in more:
        if strip:
            yield from whole(strip, WIDTH_MM)


def _part_c(ticket: ReturnTicket, size: float) -> Iterator[Flowable]:
    yield _what(ticket, size)
    yield Rule(0.5, 1.6 * size)
    yield from _which(ticket, size)
    yield from _said_of(ticket.marks, "")
    yield Rule(0.5, 1.6 * size)
    yield Facts(ticket.c_lines, cap=max(3.6 * size, LEAST_CAP_MM), columns=1)


def _line(text: str, cap: float, face: str = REGULAR, *, after: float = 0.0) -> Flowable:
    return paragraph(text, cap, face, after=after)


def _what(ticket: ReturnTicket, size: float) -> Flowable:
    """The ring, and beside it: this piece or the whole tray, not clear, the findings' words."""
    ring = 20 * size
    beside = WIDTH_MM - ring - 4
    scope = fitted(ticket.scope, SCOPE_MM, beside, HEAVY)
    word = min(fitted(ticket.not_clear, 6.0 * size, beside, HEAVY, lines=2), scope - 0.6)
    lines = [paragraph(ticket.scope, scope, HEAVY, pitch=1.45), paragraph(ticket.not_clear, word, HEAVY, pitch=1.5)]
    for said in ticket.said:
        cap = fitted(said, max(4.6 * size, LEAST_CAP_MM), beside, BOLD)
        lines.append(paragraph(said, cap, BOLD, pitch=1.55))
    return Table(
        [[Ring(ticket.ring, ring), lines]],
        colWidths=[(ring + 4) * mm, beside * mm],
        style=[("VALIGN", (0, 0), (-1, -1), "MIDDLE"), *TIGHT],
    )


def _which(ticket: ReturnTicket, size: float) -> Iterator[Flowable]:
    for piece in ticket.pieces:
        cap = fitted(piece, max(NAME_MM * size, LEAST_CAP_MM), WIDTH_MM, HEAVY, lines=2)
        yield paragraph(piece, cap, HEAVY, pitch=1.6)
    yield paragraph(ticket.tray, max(3.4 * size, LEAST_CAP_MM), after=1)


def strips(marks: Sequence[Mark], size: float, *, lump: bool) -> list[TubeStrip]:
    """One strip for each lumen that has marks, in the order of the marks."""
    drawn = [mark for mark in marks if mark.lumen is not None]
    return [
        TubeStrip(tuple(here), numbered=len(marks) > 1, lump=lump, size=size)
        for _, here in groupby(drawn, key=lambda mark: mark.lumen)
    ]


def _said_of(marks: Sequence[Mark], how_found: str) -> Iterator[Flowable]:
    """Each place in words, with its flag's number where there are several; then how it was found."""
    if len(marks) == 1:
        yield _line(" · ".join(filter(None, (marks[0].words, how_found))), LEAST_CAP_MM)
        return
    for mark in marks:
        yield _line(f"{mark.flag}  {mark.words}", LEAST_CAP_MM, BOLD)
    if how_found:
        yield _line(how_found, LEAST_CAP_MM)
