"""The page that a new printer is tried with: words, a line to measure, solid black, fine bars, a code to scan."""

from io import BytesIO

from reportlab.lib.units import mm
from reportlab.pdfgen.canvas import Canvas

from kiosk.codes.write import Matrix
from kiosk.paper.page import DOT_MM, TICKET_MM, Pen
from kiosk.paper.symbols import MODULE_MM, draw_code
from kiosk.paper.type import BOLD, CODE, HEAVY, fitted, paragraph, width_of

LINE_MM = 80.0
"""Length of the line to measure; it stands on the narrowest stock of the house."""
MARGIN_MM = (TICKET_MM[0] - LINE_MM) / 2


def draw_test_page(title: str, lines: tuple[str, ...], measure: str, code: Matrix, code_text: str) -> bytes:
    """The PDF of the test page on ticket stock; the same words give the same bytes.

    `measure`: what stands over the line of `LINE_MM`. `code`: modules of the code whose text is `code_text`.
    """
    out = BytesIO()
    wide, high = TICKET_MM
    canvas = Canvas(out, pagesize=(wide * mm, high * mm), invariant=1, pageCompression=1)
    canvas.setTitle(title)
    pen = Pen(canvas, wide, high)
    top = MARGIN_MM
    top += pen.block(paragraph(title, fitted(title, 7.0, LINE_MM, HEAVY), HEAVY), MARGIN_MM, top, LINE_MM) + 3
    for line in lines:
        top += pen.block(paragraph(line, 3.4, BOLD, pitch=1.6), MARGIN_MM, top, LINE_MM)
    top += 3
    top += pen.block(paragraph(measure, 3.0), MARGIN_MM, top, LINE_MM) + 1
    pen.bar(MARGIN_MM, top + 2, LINE_MM, 2 * DOT_MM)
    for end in (MARGIN_MM, MARGIN_MM + LINE_MM - 2 * DOT_MM):
        pen.bar(end, top, 2 * DOT_MM, 4)
    top += 9
    pen.bar(MARGIN_MM, top, 24, 16)  # solid black: a worn head shows white lines in it
    for n in range(24):  # bars of one, two and three dots, each with as much white
        dots = 1 + n // 8
        pen.bar(MARGIN_MM + 29 + n * 2.1, top, dots * DOT_MM, 16)
    top += 16 + 8
    side = len(code) * MODULE_MM
    draw_code(canvas, code, (wide - side) / 2, top, high)
    left = (wide - width_of(code_text, 3.4, CODE)) / 2
    pen.words(code_text, left, top + side + 8, 3.4, CODE)
    canvas.showPage()
    canvas.save()
    return out.getvalue()
