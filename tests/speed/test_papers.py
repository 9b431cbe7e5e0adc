"""A tray sheet of 60 lines and a return ticket, to the bytes of their PDF, against bare reportlab pages."""

from collections.abc import Callable
from dataclasses import replace
from io import BytesIO
from itertools import count

import pytest
from reportlab.graphics.barcode.qr import QrCodeWidget
from reportlab.graphics.renderPDF import draw
from reportlab.graphics.shapes import Drawing
from reportlab.lib.pagesizes import A6, LETTER
from reportlab.pdfgen.canvas import Canvas

from kiosk.core.papers import TraySheet
from kiosk.paper.render import render
from tests.paper.invented import PLAIN_TICKET, sheet_with
from tests.paper.reading import pages_of
from tests.speed.conftest import Tell
from tests.speed.figures import Figure, in_turn

pytestmark = pytest.mark.slow

RUNS = 9
LINES = 60


def _bare(strings: int, size: tuple[float, float]) -> Callable[[], bytes]:
    """One page of so many strings and one QR code, in a face that every reader of PDF has."""

    def page() -> bytes:
        out = BytesIO()
        canvas = Canvas(out, pagesize=size)
        canvas.setFont("Helvetica", 6)
        for n in range(strings):
            canvas.drawString(36 + 120 * (n % 2), size[1] - 20 - 6 * (n // 2), f"Clamp, curved, number {n}")
        code = Drawing(45, 45)
        code.add(QrCodeWidget("PLAIN-1"))
        draw(code, canvas, size[0] - 80, 40)
        canvas.showPage()
        canvas.save()
        return out.getvalue()

    return page


def test_a_tray_sheet_of_60_lines_against_a_bare_page(tell: Tell) -> None:
    sheet = sheet_with(LINES, 3)
    assert len(pages_of(render(sheet))) == 1
    numbers = count()

    def new_words() -> TraySheet:
        """The sheet of another tray: no two runs have a count line in common."""
        n = next(numbers)
        lines = tuple(replace(line, label=f"{line.label[:30]} {n}x{at}") for at, line in enumerate(sheet.counts))
        return replace(sheet, counts=lines)

    bare = _bare(2 * LINES, LETTER)
    assert bare().startswith(b"%PDF")
    ours, base = in_turn(lambda: render(new_words()), bare, RUNS)
    against = f"bare reportlab page, {2 * LINES} strings, one QR code"
    tell(Figure(row=6, what=f"tray sheet of {LINES} lines to PDF", against=against, ours=ours, base=base, goal=1.5))


def test_a_return_ticket_against_a_bare_page(tell: Tell) -> None:
    pages = len(pages_of(render(PLAIN_TICKET)))
    ours, base = in_turn(lambda: render(PLAIN_TICKET), _bare(20, A6), RUNS)
    what = f"return ticket to PDF, its {pages} parts, one page each"
    against = "bare reportlab page, 20 strings, one QR code"
    tell(Figure(row=7, what=what, against=against, ours=ours, base=base, goal=1.5))
