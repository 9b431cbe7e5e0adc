"""A report of the desk: title, what is read aloud, then sections with their tables, on as many pages as it takes.

No capital is under 3 mm but those of the foot line: a summary is read out standing, a handover list at arm's length
(3 mm at 60 cm are 17 arcmin; NUREG-0700 1.3.1-4 asks 16 or more). A report in two columns is one page to stand before:
its capitals are as large as one page lets them be, and at least 1.9 mm (16 arcmin at 40 cm).
"""

from collections.abc import Iterator, Sequence
from dataclasses import replace
from typing import Literal

from reportlab.lib.colors import black
from reportlab.lib.units import mm
from reportlab.platypus import CondPageBreak, Flowable, KeepTogether, PageBreak, Paragraph, Table

from kiosk.core.papers import Report, Section, SheetLine
from kiosk.paper.charts import Charted
from kiosk.paper.page import HAIR_MM, Box, Form, Pen, Rule, count, gap, largest, press
from kiosk.paper.parts import tight
from kiosk.paper.sheet import PAPER_MM
from kiosk.paper.stills import stills
from kiosk.paper.type import BOLD, CODE, HEAVY, LEAST_CAP_MM, REGULAR, fitted, height_of, paragraph, width_of

Size = Literal["letter", "a4"]
MARGIN_MM = 14.0
TITLE_MM, ABOUT_MM, ALOUD_MM, SECTION_MM, BODY_MM = 7.0, 3.6, 4.8, 4.2, LEAST_CAP_MM
HEAD_ON_MM = 10.0  # of the pages that follow
FOOT_MM = 6.0
VALUE_SHARE = 0.42  # of the width, at most, for what stands at the right
SIGN_MM = 11.0  # white above a line to sign on
MOST_PAGES = 4  # of a report in two columns
TOGETHER_MM = 26.0  # a section's title stands with at least so much of it
PITCH = 1.6
COLUMN_GAP_MM = 7.0
WALL_MM = (3.0, 2.8, 2.6, 2.4, 2.3, 2.2, 2.1, 2.0, 1.9)
"""Capitals of a report in two columns: the largest of these that keeps it to its fewest pages."""


def draw_report(paper: Report, size: Size = "letter") -> bytes:
    """The PDF of a report, on as many pages as it takes. Raises DoesNotFit."""
    page = PAPER_MM[size]
    width = page[0] - 2 * MARGIN_MM
    low = page[1] - MARGIN_MM - FOOT_MM
    column = (width - (paper.columns - 1) * COLUMN_GAP_MM) / paper.columns

    def body(top: float) -> tuple[Box, ...]:
        lefts = (MARGIN_MM + n * (column + COLUMN_GAP_MM) for n in range(paper.columns))
        return tuple(Box(left=left, top=top, width=column, height=low - top) for left in lefts)

    later = Form(id="later", frames=body(MARGIN_MM + HEAD_ON_MM), draw=lambda pen: _head_on(pen, paper))
    top = MARGIN_MM + sum(height_of(part, width) for part in _head_words(paper, width)) + 4
    first = Form(id="first", frames=body(top), draw=lambda pen: _head(pen, paper), then="later")
    name = f"{paper.title} {paper.number}"

    def pages_at(cap: float) -> int:
        return count(page, (first, later), list(_story(paper, column, cap)), name)

    cap = BODY_MM if paper.columns == 1 else largest(WALL_MM, pages_at, MOST_PAGES, name)
    return press(page, (first, later), list(_story(paper, column, cap)), name)


def _number(paper: Report) -> str:
    return " · ".join(filter(None, (paper.number, paper.foot.copy)))


def _head_words(paper: Report, width: float) -> list[Paragraph]:
    title = paragraph(paper.title, fitted(paper.title, TITLE_MM, width, HEAVY, lines=2), HEAVY, pitch=1.65)
    number = paragraph(_number(paper), fitted(_number(paper), ABOUT_MM, width, CODE), CODE, pitch=2.1)
    return [title, number, paragraph(paper.about, ABOUT_MM, BOLD, pitch=PITCH)]


def _head(pen: Pen, paper: Report) -> None:
    top, width = MARGIN_MM, pen.width - 2 * MARGIN_MM
    for part in _head_words(paper, width):
        top += pen.block(part, MARGIN_MM, top, width)
    pen.bar(MARGIN_MM, top + 1.2, width, 0.8)
    _foot(pen, paper)


def _head_on(pen: Pen, paper: Report) -> None:
    width = pen.width - 2 * MARGIN_MM
    number = _number(paper)
    wide = width_of(number, BODY_MM, CODE)
    pen.words(number, pen.width - MARGIN_MM - wide, MARGIN_MM + BODY_MM, BODY_MM, CODE)
    pen.words(
        _cut(f"{paper.title} · {paper.about.split(' · ')[0]}", width - wide - 4),
        MARGIN_MM,
        MARGIN_MM + BODY_MM,
        BODY_MM,
        BOLD,
    )
    pen.bar(MARGIN_MM, MARGIN_MM + BODY_MM + 2, width, 0.5)
    _foot(pen, paper)


def _cut(text: str, room: float) -> str:
    """As many whole words as stand in the room; the first page has them all."""
    words = text.split()
    while len(words) > 1 and width_of(" ".join(words), BODY_MM, BOLD) > room:
        words.pop()
    return " ".join(words).rstrip(" ·,:")


def _foot(pen: Pen, paper: Report) -> None:
    pen.foot(paper.title, paper.number, paper.foot, left=MARGIN_MM, right=MARGIN_MM, bottom=MARGIN_MM - 5)


def _story(paper: Report, width: float, cap: float) -> Iterator[Flowable]:
    larger = cap / BODY_MM
    for line in paper.headline:
        yield paragraph(line, ALOUD_MM * larger, BOLD, pitch=1.55, after=1.2)
    for section in paper.sections:
        parts = list(_section(section, width, cap))
        whole = section.drawing is not None or section.columns > 1  # a chart stands with its title and its words
        yield from [KeepTogether(parts)] if whole else parts
    if paper.signature:
        yield KeepTogether(list(_signatures(paper.signature, cap)))


def _section(section: Section, width: float, cap: float) -> Iterator[Flowable]:
    larger = cap / BODY_MM
    if section.new_page:
        yield PageBreak()
    else:
        yield CondPageBreak(TOGETHER_MM * larger * mm)
        yield Rule(0.5, 1.6 * larger)
    if section.title:
        yield paragraph(section.title, SECTION_MM * larger, HEAVY, pitch=1.65, after=1.4 * larger)
    for text in section.paragraphs:
        yield paragraph(text, cap, pitch=PITCH, after=1.2 * larger)
    if section.drawing is not None:
        yield Charted(section.drawing, width)
        yield gap(1.2)
    yield from stills(section.pictures, width, cap)
    if section.lines and section.columns > 1:
        yield _beside(section, width, cap)
    elif section.lines:
        yield _table(section, width, cap)
    if section.note:
        yield gap(0.8)
        yield paragraph(section.note, cap, pitch=PITCH)


def _table(section: Section, width: float, cap: float) -> Flowable:
    """A row a line: what it is with its note below, its value at the right, a hairline under it."""
    lines = section.lines
    wide = max((width_of(line.value, cap, BOLD) for line in lines), default=0.0)
    room = min(wide + 1, width * VALUE_SHARE) if wide else 0.0
    cells = [_row(line, section.room_mm, cap) for line in lines]
    style = tight(
        ("LINEBELOW", (0, 0), (-1, -1 if section.room_mm else -2), HAIR_MM * mm, black),
        ("TOPPADDING", (0, 0), (-1, -1), 0.5 * mm),
        ("BOTTOMPADDING", (0, 0), (-1, -1), 1.7 * mm),
        ("RIGHTPADDING", (0, 0), (0, -1), 4 * mm if room else 0),
        ("VALIGN", (0, 0), (-1, -1), "TOP"),
    )
    widths = [(width - room) * mm, room * mm] if room else [width * mm]
    return Table([row[: len(widths)] for row in cells], colWidths=widths, style=style)


def _beside(section: Section, width: float, cap: float) -> Flowable:
    """Short lines in columns, read down one after the other."""
    deep = -(-len(section.lines) // section.columns)
    column = (width - (section.columns - 1) * COLUMN_GAP_MM) / section.columns
    parts = [replace(section, lines=section.lines[n : n + deep], columns=1) for n in range(0, len(section.lines), deep)]
    cells: list[object] = []
    widths: list[float] = []
    for n, part in enumerate(parts):
        cells += [*([""] if n else []), _table(part, column, cap)]
        widths += [*([COLUMN_GAP_MM * mm] if n else []), column * mm]
    return Table([cells], colWidths=widths, style=tight(("VALIGN", (0, 0), (-1, -1), "TOP")), hAlign="LEFT")


def _row(line: SheetLine, room: float, cap: float) -> list[Sequence[Flowable]]:
    strong = BOLD if line.note or room else REGULAR
    left: list[Flowable] = [paragraph(line.label, cap, strong, pitch=1.5)] if line.label else []
    if line.note:
        left.append(paragraph(line.note, cap, pitch=1.5))
    if room:
        left.append(gap(room))
    return [left, [paragraph(line.value, cap, BOLD, align="right", pitch=1.5)] if line.value else []]


def _signatures(labels: Sequence[str], cap: float) -> Iterator[Flowable]:
    for label in labels:
        yield gap(SIGN_MM)
        yield Rule(HAIR_MM, 0.4)
        yield paragraph(label, cap)
